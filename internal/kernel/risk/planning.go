package risk

import (
	"fmt"
	"math"

	"tengram/internal/kernel/source"
)

// PlanningSource names the arithmetic of a planning figure.
func PlanningSource(formula string) *source.Source {
	return source.OurArithmetic.At(formula, source.Derived)
}

// Yearly is the yearly probability that adds up to p over years at a constant
// hazard: 1 - (1-p)^(1/years). p is 0 to 1, years above 0.
func Yearly(p, years float64) float64 { return 1 - math.Pow(1-p, 1/years) }

// Over is the probability over years at a constant yearly one: 1 - (1-i)^years.
func Over(yearly, years float64) float64 { return 1 - math.Pow(1-yearly, years) }

// NumberToTreat is how many must be treated for one to be spared:
// 1 / (p * (1 - rr)). ok is false where nobody is spared: no baseline risk, or
// a relative risk of 1 or more.
func NumberToTreat(p, rr float64) (n float64, ok bool) {
	if p <= 0 || rr >= 1 {
		return 0, false
	}
	return 1 / (p * (1 - rr)), true
}

// Visits is the range of recall visits a year of a panel: people counts those
// in each category of the system, in rank order. The longest interval gives the
// lowest number.
func Visits(s System, people []int) (lowest, highest float64, err error) {
	if len(people) != len(s.Categories) {
		return 0, 0, fmt.Errorf("%s has %d categories, and %d numbers of people were given", s.Name, len(s.Categories), len(people))
	}
	for i, n := range people {
		c := s.Categories[i]
		if n < 0 {
			return 0, 0, fmt.Errorf("%d people in category %s of %s: a number of people is 0 or more", n, c.Code, s.Name)
		}
		if c.Recall.IsZero() {
			return 0, 0, fmt.Errorf("%s gives no recall interval for category %s", s.Name, c.Code)
		}
		lowest += float64(n) * 12 / float64(c.Recall.MaxMonths)
		highest += float64(n) * 12 / float64(c.Recall.MinMonths)
	}
	return lowest, highest, nil
}

// Expected is the expected number of people with an ulcer within the span that
// the system's probabilities are for.
func Expected(s System, people []int) (ulcers float64, err error) {
	if len(people) != len(s.Categories) {
		return 0, fmt.Errorf("%s has %d categories, and %d numbers of people were given", s.Name, len(s.Categories), len(people))
	}
	for i, n := range people {
		p := s.Categories[i].Probability
		if p == nil {
			return 0, fmt.Errorf("%s gives no probability for category %s", s.Name, s.Categories[i].Code)
		}
		ulcers += float64(n) * float64(p.Percent.Value) / 1000
	}
	return ulcers, nil
}
