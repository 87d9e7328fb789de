package measure

import (
	"cmp"
	"slices"
)

// Tally counts results. The zero value is an empty tally. Add and Merge give
// the same answer in any order and any grouping, so that the parts of a panel
// can be counted apart.
type Tally struct {
	Counts
	// Strata are the groups in order of name, where the measure has groups.
	Strata []Stratum `json:"strata,omitempty"`
}

// Counts are the numbers of one tally or one group of it.
type Counts struct {
	People               int `json:"people"`
	InitialPopulation    int `json:"initial-population"`
	Denominator          int `json:"denominator"`
	DenominatorExclusion int `json:"denominator-exclusion"`
	Exception            int `json:"exception,omitempty"`
	Numerator            int `json:"numerator"`
	// Doubtful counts people with an entry in Quality.
	Doubtful int `json:"doubtful"`
}

// Stratum is one group of a tally.
type Stratum struct {
	Name string `json:"name"`
	Counts
}

// Rate returns the numerator over the denominator without exclusions and
// exceptions, between 0 and 1. ok is false where nobody is left to divide by:
// the rate is then undefined, and not 0 (reference: MeasureReport R4, score).
func (c Counts) Rate() (rate float64, ok bool) {
	d := c.Denominator - c.DenominatorExclusion - c.Exception
	if d <= 0 {
		return 0, false
	}
	return float64(c.Numerator) / float64(d), true
}

// Add counts one result.
func (t *Tally) Add(r Result) {
	one := Counts{
		People:               1,
		InitialPopulation:    count(r.InitialPopulation),
		Denominator:          count(r.Denominator),
		DenominatorExclusion: count(r.DenominatorExclusion),
		Exception:            count(r.Exception),
		Numerator:            count(r.Numerator),
		Doubtful:             count(len(r.Quality) > 0),
	}
	t.Counts = t.plus(one)
	if r.Stratum != "" {
		t.stratum(Stratum{r.Stratum, one})
	}
}

// Merge adds another tally.
func (t *Tally) Merge(o Tally) {
	t.Counts = t.plus(o.Counts)
	for _, s := range o.Strata {
		t.stratum(s)
	}
}

func (t *Tally) stratum(s Stratum) {
	i, found := slices.BinarySearchFunc(t.Strata, s.Name, func(s Stratum, name string) int { return cmp.Compare(s.Name, name) })
	if found {
		t.Strata[i].Counts = t.Strata[i].plus(s.Counts)
		return
	}
	t.Strata = slices.Insert(t.Strata, i, s)
}

func (c Counts) plus(o Counts) Counts {
	return Counts{
		People:               c.People + o.People,
		InitialPopulation:    c.InitialPopulation + o.InitialPopulation,
		Denominator:          c.Denominator + o.Denominator,
		DenominatorExclusion: c.DenominatorExclusion + o.DenominatorExclusion,
		Exception:            c.Exception + o.Exception,
		Numerator:            c.Numerator + o.Numerator,
		Doubtful:             c.Doubtful + o.Doubtful,
	}
}

func count(b bool) int {
	if b {
		return 1
	}
	return 0
}
