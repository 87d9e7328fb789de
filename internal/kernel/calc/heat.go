package calc

import (
	"fmt"

	"tengram/internal/kernel/foot"
	"tengram/internal/kernel/heat"
	"tengram/internal/kernel/known"
)

// heatCalculators lists the calculators of this room.
func heatCalculators() []Calculator {
	return []Calculator{temperatureCalculator(), charcotCalculator(), homeLogCalculator()}
}

const (
	unitSays        = "unit of the temperatures, C or F"
	temperatureSays = "skin temperature, 10.0 to 45.0 in C, 50.0 to 113.0 in F, at most one decimal, or absent (lost to amputation), not-possible"
)

func temperatureCalculator() Calculator {
	c := Calculator{
		Name:    "temperature",
		Title:   "skin temperature spot by spot between the two feet, at one visit",
		Inputs:  []Input{{Name: "unit", Says: unitSays, Required: true}},
		Example: "unit=C right-hallux=33.2 left-hallux=30.9 right-heel=31.0 left-heel=31.4",
		Run:     runTemperature,
	}
	for _, side := range foot.Sides {
		for s := range heat.SpotCount {
			c.Inputs = append(c.Inputs, Input{Name: fmt.Sprintf("%s-%s", side, s), Says: temperatureSays})
		}
	}
	return c
}

func runTemperature(a *Args) (Output, error) {
	unit := unitOf(a)
	in := heat.Input{Unit: unit}
	pairs := 0
	for s := range heat.SpotCount {
		in.Right[s], in.Left[s] = degrees(a, "right-"+s.String(), unit), degrees(a, "left-"+s.String(), unit)
		if in.Right[s].Known() && in.Left[s].Known() {
			pairs++
		}
	}
	r := heat.Judge(in)
	if pairs == 0 {
		return Output{}, fmt.Errorf("give the temperature of at least one spot on both feet, such as right-hallux and left-hallux")
	}
	var spots []string
	result := Fields{{"hot", known.Of(len(r.Spots) > 0).String()}, {"pairs", pairs}}
	for _, s := range r.Spots {
		spots = append(spots, fmt.Sprintf("%s: %s foot warmer by %v %v", s.Spot, s.Warmer, s.Difference, s.Unit))
	}
	limit, _ := unit.Limit()
	result = append(result, Field{"limit", decimal(limit, 1)}, Field{"spots", spots}, Field{"notCompared", r.NotCompared})
	out := output(result, r.Because)
	out.Steps = append(out.Steps, fmt.Sprintf("A pair counts when it differs by more than %v degrees %v; differences are compared in the unit measured.", known.TenthsOf(limit), unit))
	return withSource(out, heat.SourceOfLimit), nil
}

func charcotCalculator() Calculator {
	c := Calculator{
		Name:    "charcot",
		Title:   "whether an acute Charcot foot must be thought of",
		Example: "right-lops=yes left-lops=yes right-swollen=yes left-swollen=no unit=C right-temperature=33.6 left-temperature=31.0",
		Run:     runCharcot,
	}
	for _, side := range foot.Sides {
		c.Inputs = append(c.Inputs,
			Input{Name: side.String() + "-lops", Says: "loss of protective sensation: yes, no or unknown"},
			Input{Name: side.String() + "-warm", Says: "clearly warmer than the other foot to the hand: yes, no or unknown"},
			Input{Name: side.String() + "-swollen", Says: "clearly more swollen than the other foot: yes, no or unknown"},
			Input{Name: side.String() + "-red", Says: "red: yes, no or unknown"},
			Input{Name: side.String() + "-ulcer", Says: "open ulcer: yes, no or unknown"},
			Input{Name: side.String() + "-gone", Says: "foot lost to amputation: yes, no or unknown"},
			Input{Name: side.String() + "-temperature", Says: "at the same point of both feet: " + temperatureSays},
		)
	}
	c.Inputs = append(c.Inputs, Input{Name: "unit", Says: unitSays + ", needed with temperatures"})
	return c
}

func runCharcot(a *Args) (Output, error) {
	in := heat.Input{}
	temperatures := [2]*heat.Temperatures{&in.Right, &in.Left}
	given := a.Has("right-temperature") || a.Has("left-temperature")
	if given && !a.Has("unit") {
		return Output{}, fmt.Errorf("input unit is needed with temperatures: C or F")
	}
	if a.Has("unit") {
		in.Unit = unitOf(a)
	}
	for _, side := range foot.Sides {
		name := side.String()
		in.LOPS[side], in.Warm[side] = a.Tri(name+"-lops"), a.Tri(name+"-warm")
		in.Swollen[side], in.Red[side] = a.Tri(name+"-swollen"), a.Tri(name+"-red")
		in.OpenUlcer[side] = a.Tri(name + "-ulcer")
		if a.Tri(name+"-gone") == known.Yes {
			in.Loss[side].Level = foot.BelowKnee
		}
		if given {
			temperatures[side][heat.SpotMidfoot] = degrees(a, name+"-temperature", in.Unit)
		}
	}
	r := heat.Judge(in)
	var sides []string
	for _, s := range r.CharcotSides {
		sides = append(sides, s.String())
	}
	comparison := "not-done"
	switch {
	case in.Loss[foot.Right].FootGone() || in.Loss[foot.Left].FootGone():
		comparison = "not-possible"
	case in.Right[heat.SpotMidfoot].Known() && in.Left[heat.SpotMidfoot].Known():
		comparison = "done"
	}
	result := Fields{{"charcotSuspected", r.CharcotSuspected.String()}, {"sides", sides}, {"temperatureComparison", comparison}}
	return withSource(output(result, r.Because), heat.SourceOfCharcot), nil
}

func unitOf(a *Args) (u heat.Unit) {
	if w := a.Word("unit", "C", "F"); w != "" {
		_ = u.UnmarshalText([]byte(w)) // Word has checked it
	}
	return u
}

// degrees reads one skin temperature; the ranges are what a skin can have.
func degrees(a *Args, name string, unit heat.Unit) known.Tenths {
	switch a.Text(name) {
	case "absent", "not-possible":
		return known.Tenths{State: known.CannotMeasure}
	}
	if unit == heat.Fahrenheit {
		return a.Tenths(name, 500, 1130, "degrees F")
	}
	return a.Tenths(name, 100, 450, "degrees C")
}
