package wound

import (
	"math"
	"testing"

	"tengram/internal/kernel/known"
)

// Expected shares: Margolis 2003, abstract, validation set (reference, 7.4).
func TestMargolis(t *testing.T) {
	y, n, u := known.Yes, known.No, known.Unknown
	for _, tt := range []struct {
		older, larger, deep    known.Tri
		low, high              int
		lowPercent, highPecent int
	}{
		{n, n, n, 0, 0, 35, 35}, {y, n, n, 1, 1, 47, 47}, {n, y, y, 2, 2, 66, 66}, {y, y, y, 3, 3, 81, 81},
		{u, y, n, 1, 2, 47, 66}, {u, u, u, 0, 3, 35, 81},
	} {
		r := Margolis(tt.older, tt.larger, tt.deep)
		if r.LowPoints != tt.low || r.HighPoints != tt.high || r.LowPercent != tt.lowPercent || r.HighPercent != tt.highPecent {
			t.Errorf("%v %v %v: got %+v, want %+v", tt.older, tt.larger, tt.deep, r, tt)
		}
	}
}

// Expected values: reference, 6.7 (derived); the first pair is printed in the
// abstract of Lavery 2007.
func TestPredictiveValues(t *testing.T) {
	for _, tt := range []struct {
		accuracy      ProbeAccuracy
		prevalence    float64
		ppv, npv      float64
		noSuchResults bool
	}{
		{ProbeLavery(), 0.12, 0.569, 0.981, false},
		{ProbePooled(), 0.60, 0.885, 0.810, false},
		{ProbePooled(), 0.20, 0.561, 0.962, false},
		{ProbeAccuracy{Sensitivity: 1, Specificity: 1}, 0, 0, 0, true},
		{ProbePooled(), 1.2, 0, 0, true},
		{ProbePooled(), math.NaN(), 0, 0, true},
	} {
		ppv, npv, ok := PredictiveValues(tt.accuracy, tt.prevalence)
		if ok == tt.noSuchResults || math.Abs(ppv-tt.ppv) > 0.0005 || math.Abs(npv-tt.npv) > 0.0005 {
			t.Errorf("%+v at %v: %.4f %.4f %v, want %.3f %.3f", tt.accuracy, tt.prevalence, ppv, npv, ok, tt.ppv, tt.npv)
		}
	}
}
