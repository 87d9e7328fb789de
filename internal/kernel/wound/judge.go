package wound

import (
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/perfusion"
	"tengram/internal/kernel/when"
)

// Input is everything that one ulcer is judged by.
type Input struct {
	Ulcer Ulcer
	// Past are earlier observations of the same ulcer, in any order.
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

// Judge says what can be said of one ulcer on one day: its area, its classes
// in a fixed order, its trend, and why it may need a new look.
func Judge(in Input) Result {
	u := &in.Ulcer
	r := Result{ID: u.ID, Side: u.Side, Place: u.Place, Open: u.Open()}
	r.AreaMM2, r.Method, _ = Area(u.Size)
	at := "ulcers." + u.ID + ".infection"
	g23 := GradeInfection(at, u.Infection, in.Systemic, Infection2023)
	g12 := GradeInfection(at, u.Infection, in.Systemic, Infection2012)
	r.Classes = []Class{g23.Class(), g12.Class()}
	return r
}
