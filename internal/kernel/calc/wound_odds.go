package calc

import (
	"fmt"
	"math"

	"tengram/internal/kernel/known"
	"tengram/internal/kernel/source"
	"tengram/internal/kernel/wound"
)

func margolisCalculator() Calculator {
	return Calculator{
		Name: "margolis", Title: "Share of neuropathic ulcers not healed by week 20 (Margolis 2003)",
		Inputs: []Input{
			{Name: "age-days", Says: "days since the ulcer began, 0 to 10000"},
			{Name: "area-mm2", Says: "area, whole mm2, 0 to 250000"},
			{Name: "grade", Says: "depth grade on a scale of 0 to 5, such as Meggitt-Wagner"},
		},
		Example: "age-days=70 area-mm2=210 grade=3",
		Run:     runMargolis,
	}
}

func runMargolis(a *Args) (Output, error) {
	more := func(r known.Reading, than int) known.Tri {
		if !r.Known() {
			return known.Unknown
		}
		return known.Of(r.Value > than)
	}
	r := wound.Margolis(
		more(a.Int("age-days", 0, 10000, "days"), wound.MargolisDays),
		more(a.Int("area-mm2", 0, 250000, "mm2"), wound.MargolisMM2),
		more(a.Int("grade", 0, 5, "the grade"), wound.MargolisGrade-1))
	result := Fields{
		{"lowPoints", r.LowPoints}, {"highPoints", r.HighPoints},
		{"lowNotHealedByWeek20", decimal(r.LowPercent, 2)}, {"highNotHealedByWeek20", decimal(r.HighPercent, 2)},
		{"missing", unanswered(a, "age-days", "area-mm2", "grade")},
	}
	if r.LowPoints == r.HighPoints {
		result = append(Fields{{"points", r.LowPoints}, {"notHealedByWeek20", decimal(r.LowPercent, 2)}}, result...)
	}
	return output(result, r.Because), nil
}

func probeCalculator() Calculator {
	return Calculator{
		Name: "ptb", Title: "What a probe-to-bone test says about osteomyelitis",
		Inputs: []Input{
			{Name: "prevalence", Says: "share with osteomyelitis before the test, 0 to 1", Required: true},
			{Name: "study", Says: "accuracy from: lam-2016 (pooled, when not given) or lavery-2007"},
			{Name: "sensitivity", Says: "own sensitivity, 0 to 1, with specificity, in place of a study"},
			{Name: "specificity", Says: "own specificity, 0 to 1, with sensitivity, in place of a study"},
		},
		Example: "prevalence=0.12 study=lavery-2007",
		Run:     runProbe,
	}
}

func runProbe(a *Args) (Output, error) {
	prevalence, _ := a.Float("prevalence", 0, 1, "a share")
	accuracy := wound.ProbePooled()
	if a.Word("study", "lam-2016", "lavery-2007") == "lavery-2007" {
		accuracy = wound.ProbeLavery()
	}
	se, okSe := a.Float("sensitivity", 0, 1, "a share")
	sp, okSp := a.Float("specificity", 0, 1, "a share")
	switch {
	case okSe != okSp:
		a.refuse("give sensitivity and specificity together, or neither")
	case okSe && a.Has("study"):
		a.refuse("give a study, or sensitivity and specificity, not both")
	case okSe:
		accuracy = wound.ProbeAccuracy{Sensitivity: se, Specificity: sp}
	}
	if a.Text("prevalence") == "unknown" {
		a.Bad("prevalence", "a share from 0 to 1 is needed")
	}
	if a.err() != nil {
		return Output{}, nil
	}
	ppv, npv, ok := wound.PredictiveValues(accuracy, prevalence)
	if !ok {
		a.refuse("with these values no test would come out positive, or none negative: use a prevalence and accuracy between 0 and 1")
		return Output{}, nil
	}
	thousandths := func(v float64) any { return decimal(int(math.Round(v*1000)), 3) }
	why := source.Because{{Says: fmt.Sprintf("Sensitivity %g, specificity %g, prevalence %g.", accuracy.Sensitivity, accuracy.Specificity, prevalence), Source: accuracy.Source},
		{Says: "PPV = Se p / (Se p + (1-Sp)(1-p)); NPV = Sp (1-p) / (Sp (1-p) + (1-Se) p).", Source: wound.ProbeRule()}}
	return output(Fields{{"ppv", thousandths(ppv)}, {"npv", thousandths(npv)}}, why), nil
}
