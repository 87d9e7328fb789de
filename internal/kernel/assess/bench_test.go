//go:build unix

package assess

import (
	"encoding/json"
	"syscall"
	"testing"
	"time"

	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/neuro"
)

// BenchmarkAssess judges exams with everything asked and tested. Besides the
// time on the clock it gives the time on the processor, which a busy machine
// does not stretch.
func BenchmarkAssess(b *testing.B) {
	twoFindings := full()
	twoFindings.Left.Test.Filament[neuro.SiteMTH1] = known.Abnormal
	twoFindings.Right.Look.Shape, twoFindings.Right.Look.Deformities = known.Abnormal, []exam.Deformity{exam.ClawToe}
	sick := sound()
	withUlcers(&sick)
	for _, w := range worsenings {
		if w.name == "fever" || w.name == "pulse lost left" || w.name == "filament lost right" {
			w.to(&sick)
		}
	}
	for _, bm := range []struct {
		name string
		d    exam.Draft
	}{
		{"NothingFound", full()},
		{"FullExam", twoFindings},
		{"TwoUlcersAndFever", sick.Draft},
	} {
		b.Run(bm.name, func(b *testing.B) {
			in := Input{Exam: &bm.d, Edition: DefaultEdition(), On: examDay}
			b.ReportAllocs()
			began := processorTime()
			for b.Loop() {
				Assess(in)
			}
			b.ReportMetric(float64(processorTime()-began)/float64(b.N), "cpu-ns/op")
		})
	}
}

// BenchmarkFloor is what the surroundings of an assessment cost: reading the
// exam it judges from the document that the browser sends.
func BenchmarkFloorReadDocument(b *testing.B) {
	document, err := json.Marshal(full())
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	began := processorTime()
	for b.Loop() {
		var d exam.Draft
		if err := json.Unmarshal(document, &d); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(processorTime()-began)/float64(b.N), "cpu-ns/op")
}

// processorTime is what this process has used of all processors.
func processorTime() time.Duration {
	var u syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
		return 0
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}
