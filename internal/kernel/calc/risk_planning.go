package calc

import (
	"fmt"
	"math"
	"strconv"

	"tengram/internal/kernel/risk"
	"tengram/internal/kernel/source"
)

// panel makes one input a category, and reads them. A number that is not given
// counts as wrong, not as nobody.
func panel(prefix string, s string, n int) []Input {
	var inputs []Input
	for i := range n {
		name := prefix + strconv.Itoa(i)
		inputs = append(inputs, Input{Name: name, Says: fmt.Sprintf("people with %s %d, 0 to 100000000", s, i), Required: true})
	}
	return inputs
}

func people(a *Args, prefix string, n int) []int {
	out := make([]int, n)
	for i := range out {
		name := prefix + strconv.Itoa(i)
		v := a.Int(name, 0, 100_000_000, "people")
		if !v.Known() {
			a.Bad(name, "a number of people is needed")
		}
		out[i] = v.Value
	}
	return out
}

// derived is the one reason of a planning figure.
func derived(formula string) source.Because {
	return source.Because{{Says: formula, Source: risk.PlanningSource(formula)}}
}

func visitsCalculator() Calculator {
	return Calculator{
		Name: "visits", Title: "Foot visits a year of a panel by IWGDF 2023 category",
		Inputs:  panel("category-", "IWGDF category", 4),
		Example: "category-0=600 category-1=200 category-2=150 category-3=50",
		Run: func(a *Args) (Output, error) {
			s, _ := risk.ByID("iwgdf-2023")
			low, high, err := risk.Visits(s, people(a, "category-", len(s.Categories)))
			if err != nil {
				return Output{}, err
			}
			why := derived("lowest = sum of people x 12 / longest months, highest = sum of people x 12 / shortest months")
			why = append(why, source.Reason{Says: "Months by category: 12, 6 to 12, 3 to 6, 1 to 3.", Source: s.Source})
			return output(Fields{{"lowest", fixed(low, 0)}, {"highest", fixed(high, 0)}}, why), nil
		},
	}
}

func treatCalculator() Calculator {
	return Calculator{
		Name: "nnt", Title: "Number needed to treat for one person to be spared",
		Inputs: []Input{
			{Name: "baseline-percent", Says: "risk without the intervention, per cent, 0.001 to 100", Required: true},
			{Name: "relative-risk", Says: "relative risk with the intervention, 0 to 1", Required: true},
		},
		Example: "baseline-percent=40 relative-risk=0.53",
		Run: func(a *Args) (Output, error) {
			p, okP := a.Float("baseline-percent", 0.001, 100, "per cent")
			rr, okR := a.Float("relative-risk", 0, 1, "relative risk")
			if !okP || !okR {
				return refuseUnknown(a, "baseline-percent", "relative-risk")
			}
			n, ok := risk.NumberToTreat(p/100, rr)
			if !ok {
				a.Bad("relative-risk", "nobody is spared at a relative risk of 1")
				return Output{}, nil
			}
			// A hair below a whole number is that number: 1/(0.5*0.5) must not ask for 5.
			whole := int(math.Ceil(n - 1e-9))
			return output(Fields{{"nnt", fixed(n, 1)}, {"people", whole}}, derived("NNT = 1 / (baseline x (1 - relative risk))")), nil
		},
	}
}

func yearlyCalculator() Calculator {
	return Calculator{
		Name: "yearly-risk", Title: "Yearly equivalent of a risk over several years",
		Inputs: []Input{
			{Name: "percent", Says: "risk over the years, per cent, 0 to 100", Required: true},
			{Name: "years", Says: "years, 0.1 to 100", Required: true},
		},
		Example: "percent=14.0 years=2",
		Run: func(a *Args) (Output, error) {
			p, okP := a.Float("percent", 0, 100, "per cent")
			years, okY := a.Float("years", 0.1, 100, "years")
			if !okP || !okY {
				return refuseUnknown(a, "percent", "years")
			}
			return output(Fields{{"yearlyPercent", percent(risk.Yearly(p/100, years), 2)}},
				derived("yearly = 1 - (1 - risk)^(1/years), at a constant hazard")), nil
		},
	}
}

func overCalculator() Calculator {
	return Calculator{
		Name: "risk-over-years", Title: "Risk over several years at a constant yearly risk",
		Inputs: []Input{
			{Name: "yearly-percent", Says: "risk in one year, per cent, 0 to 100", Required: true},
			{Name: "years", Says: "years, 0.1 to 100", Required: true},
		},
		Example: "yearly-percent=1 years=21",
		Run: func(a *Args) (Output, error) {
			p, okP := a.Float("yearly-percent", 0, 100, "per cent")
			years, okY := a.Float("years", 0.1, 100, "years")
			if !okP || !okY {
				return refuseUnknown(a, "yearly-percent", "years")
			}
			return output(Fields{{"percent", percent(risk.Over(p/100, years), 1)}},
				derived("risk = 1 - (1 - yearly risk)^years")), nil
		},
	}
}

func panelCalculator() Calculator {
	return Calculator{
		Name: "podus-panel", Title: "People of a panel expected to have a foot ulcer within 2 years, by PODUS points",
		Inputs:  panel("points-", "PODUS points", 5),
		Example: "points-0=700 points-1=150 points-2=80 points-3=50 points-4=20",
		Run: func(a *Args) (Output, error) {
			s, _ := risk.ByID("podus-2020")
			n, err := risk.Expected(s, people(a, "points-", len(s.Categories)))
			if err != nil {
				return Output{}, err
			}
			why := derived("expected = sum of people x published 2-year risk of their points")
			why = append(why, source.Reason{Says: "The rule said too much in its validation cohort.", Source: s.Source})
			return output(Fields{{"years", 2}, {"expected", fixed(n, 2)}}, why), nil
		},
	}
}

func recurrenceCalculator() Calculator {
	years := []string{"0", "1", "3", "5"}
	return Calculator{
		Name: "recurrence", Title: "Recurrence of a foot ulcer after healing",
		Inputs: []Input{
			{Name: "free-years", Says: "years since healing without a new ulcer: 0, 1, 3 or 5", Required: true},
			{Name: "by-years", Says: "by how many years since healing: 0, 1, 3 or 5", Required: true},
		},
		Example: "free-years=1 by-years=3",
		Run: func(a *Args) (Output, error) {
			free, _ := strconv.Atoi(a.Word("free-years", years...))
			by, _ := strconv.Atoi(a.Word("by-years", years...))
			p, ok := risk.Recurrence(free, by)
			if !ok {
				a.Bad("by-years", "must not be before free-years")
				return Output{}, nil
			}
			_, src, _ := risk.UlcerFree(by)
			return output(Fields{{"percent", percent(p, 1)}}, source.Because{
				{Says: "Of 100 people, 60, 40 and 35 are free of a new ulcer 1, 3 and 5 years after healing.", Source: src},
			}), nil
		},
	}
}

// refuseUnknown names the inputs that were given as unknown where a number is
// needed.
func refuseUnknown(a *Args, names ...string) (Output, error) {
	for _, n := range names {
		if a.Text(n) == "unknown" {
			a.Bad(n, "a number is needed")
		}
	}
	return Output{}, nil
}
