package wound

import (
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/perfusion"
	"tengram/internal/kernel/when"
)

// Input is everything that one ulcer is judged by.
type Input struct {
	Ulcer Ulcer
	// Past are earlier observations of the same ulcer, in any order; those of
	// another ulcer, without a day, or not before On are left out.
	Past []Past
	// LOPS is the answer for the ulcer's foot.
	LOPS known.Tri
	// Leg holds the pulses and pressures of the ulcer's leg, and Perfusion what
	// was concluded from them.
	Leg       perfusion.Leg
	Perfusion perfusion.LegResult
	// Gangrene of the ulcer's foot.
	Gangrene Gangrene
	Systemic Systemic
	// On is the day of the exam.
	On when.Day
}

// Past is the ulcer as seen on an earlier day.
type Past struct {
	On    when.Day
	Ulcer Ulcer
}

// Judge says what can be said of one ulcer on one day: its area, its classes,
// its trend, and why it may need a new look.
//
// The classes of an open ulcer are, in this order: sinbad, texas, wagner,
// pedis, infection-2023, infection-2012, wifi. A closed ulcer has texas and
// wagner; the infection grades where signs were looked for; and wifi where the
// foot has gangrene. The others class an open ulcer.
func Judge(in Input) Result {
	u := &in.Ulcer
	r := Result{ID: u.ID, Side: u.Side, Place: u.Place, Open: u.Open(), Problems: Problems(*u)}
	r.AreaMM2, r.Method, _ = Area(u.Size)
	open := r.Open == known.Yes
	if !open {
		r.AreaMM2, r.Method = known.Reading{}, MethodUnknown
	}

	at := "ulcers." + u.ID
	g23 := GradeInfection(at+".infection", u.Infection, in.Systemic, Infection2023)
	g12 := GradeInfection(at+".infection", u.Infection, in.Systemic, Infection2012)
	f := read(&in, g23)
	f.area = r.AreaMM2
	r.Classes = make([]Class, 0, 7)
	if open {
		r.Classes = append(r.Classes, f.sinbad(g23))
	}
	r.Classes = append(r.Classes, f.texas(g23), f.wagner())
	if open {
		r.Classes = append(r.Classes, f.pedis(g12))
	}
	if open || !u.Infection.IsZero() {
		r.Classes = append(r.Classes, g23.Class(), g12.Class())
	}
	if open || in.Gangrene.Any() == known.Yes {
		r.Classes = append(r.Classes, f.wifi(g12))
	}

	h := look(&in)
	if !open {
		if t, ok := closing(h.sizes, in.On); ok {
			r.Healing = healing(t, false)
		}
		return r
	}
	if h.today {
		if t, ok := trendOf(h.sizes); ok {
			r.Healing = healing(t, true)
		}
	}
	r.Worry = worry(&in, at, &h, r.Healing)
	return r
}
