package record

import "tengram/internal/kernel/when"

// Ages is a time told by the person's age: from Low to High whole units, both
// included. "At 45" is from the 45th birthday to the day before the 46th.
type Ages struct {
	Low  int `json:"low"`
	High int `json:"high"`
	// Unit is "a" (years), "mo", "wk" or "d", as in UCUM.
	Unit string `json:"unit"`
}

// IsZero reports that no age was told.
func (a Ages) IsZero() bool { return a == Ages{} }

// After returns when the age was reached, as wide as age and birth leave it. It
// is no moment where the birth or the unit is not known.
func (a Ages) After(birth when.Moment) when.Moment {
	low, high := birth.Days(nil)
	add := addUnits(a.Unit)
	if birth.IsZero() || add == nil {
		return when.Moment{}
	}
	return when.Between(when.OnDay(add(low, a.Low)), when.OnDay(add(high, a.High+1)-1))
}

func addUnits(unit string) func(d when.Day, n int) when.Day {
	switch unit {
	case "a":
		return func(d when.Day, n int) when.Day { return d.AddMonths(12 * n) }
	case "mo":
		return when.Day.AddMonths
	case "wk":
		return func(d when.Day, n int) when.Day { return d.AddDays(7 * n) }
	case "d":
		return when.Day.AddDays
	}
	return nil
}

// PlaceAges fills Start and End of facts that were told by age, now that the
// birth is known. What is dated already stays as it is.
func (r *Record) PlaceAges() {
	for i := range r.Facts {
		f := &r.Facts[i]
		if f.Start.IsZero() && !f.StartAge.IsZero() {
			f.Start = f.StartAge.After(r.Person.Birth)
		}
		if f.End.IsZero() && !f.EndAge.IsZero() {
			f.End = f.EndAge.After(r.Person.Birth)
		}
	}
}
