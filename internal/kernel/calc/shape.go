package calc

import (
	"fmt"

	"tengram/internal/kernel/exam"
)

// shapeCalculators lists the calculators of shape and shoes.
func shapeCalculators() []Calculator {
	return []Calculator{
		{
			Name: "shoe-length", Title: "whether the length of a pair of shoes suits the feet in it",
			Inputs: []Input{
				{Name: "inner-mm", Says: "inner length of the shoe, whole millimetres, 100 to 450", Required: true},
				{Name: "right-mm", Says: "right foot standing, heel to longest toe, whole millimetres, 100 to 400"},
				{Name: "left-mm", Says: "left foot standing, heel to longest toe, whole millimetres, 100 to 400"},
			},
			Example: "inner-mm=270 right-mm=260 left-mm=258",
			Run:     runShoeLength,
		},
		{
			Name: "ankle-lunge", Title: "equinus by the weight-bearing lunge with the knee straight",
			Inputs:  []Input{{Name: "degrees", Says: "angle of the shin in the lunge, whole degrees, 0 to 90", Required: true}},
			Example: "degrees=29",
			Run:     runLunge,
		},
		{
			Name: "toe-shape", Title: "name of a lesser toe's deformity from its three joints",
			Inputs: []Input{
				{Name: "base-up", Says: "base joint bent up: yes, no or unknown"},
				{Name: "middle-down", Says: "middle joint bent down: yes, no or unknown"},
				{Name: "end-down", Says: "end joint bent down: yes, no or unknown"},
			},
			Example: "base-up=yes middle-down=yes end-down=yes",
			Run:     runToe,
		},
	}
}

func runShoeLength(a *Args) (Output, error) {
	inner := a.Int("inner-mm", 100, 450, "mm")
	right, left := a.Int("right-mm", 100, 400, "mm"), a.Int("left-mm", 100, 400, "mm")
	if a.err() != nil {
		return Output{}, nil
	}
	room, fit, because, ok := exam.ShoeLength(inner, right, left)
	if !ok {
		return Output{}, fmt.Errorf("give the inner length and the length of at least one foot: right-mm or left-mm")
	}
	return output(Fields{{"roomMm", room}, {"fit", string(fit)}}, because), nil
}

func runLunge(a *Args) (Output, error) {
	degrees := a.Int("degrees", 0, 90, "degrees")
	is, because := exam.LungeEquinus(degrees)
	if !is.Known() {
		return refuseUnknown(a, "degrees")
	}
	return output(Fields{{"equinus", is.String()}}, because), nil
}

func runToe(a *Args) (Output, error) {
	base, middle, end := a.Tri("base-up"), a.Tri("middle-down"), a.Tri("end-down")
	if a.err() != nil {
		return Output{}, nil
	}
	d, because, ok := exam.ToeShape(base, middle, end)
	switch {
	case !ok:
		return Output{}, fmt.Errorf("middle-down and end-down are needed, and base-up where both are yes")
	case d == exam.NoDeformity:
		return output(Fields{{"deformity", "none"}}, because), nil
	}
	return output(Fields{{"deformity", d.String()}}, because), nil
}
