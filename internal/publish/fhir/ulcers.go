package fhir

import (
	"strconv"

	"tengram/internal/kernel/known"
	"tengram/internal/kernel/wound"
)

// ulcers writes an observation for each ulcer: what was seen and measured, and
// its classes. The identifier follows the ulcer through the exams of a person.
func (w *examWriter) ulcers() {
	for i := range w.d.Ulcers {
		u := &w.d.Ulcers[i]
		var p parts
		sizes(&p, u)
		if !u.Depth.IsZero() {
			p.add(named("ulcer-depth").is(known.Unknown, "depth-"+u.Depth.String()), true)
		}
		p.add(answered("probe-to-bone", u.ProbeToBone))
		if since := dateTime(u.Since); since != "" {
			x := named("ulcer-since")
			x.ValueDateTime = since
			p.add(x, true)
		}
		p.list = append(p.list, infectionSigns(u.Infection)...)
		if r := w.judged(u); r != nil {
			p.add(reading("ulcer-area", r.AreaMM2, "mm2"))
			for _, c := range r.Classes {
				x := named("class-" + c.ID)
				x.ValueString = class(c)
				p.add(x, true)
			}
		}
		o := &observation{
			Code:       concept{Coding: []coding{ulcerExam.coding()}, Text: "assessment of an ulcer"},
			Identifier: []identifier{{System: Base + "/NamingSystem/ulcer", Value: w.o.Pseudonym.Of("person", w.d.Patient) + "/" + u.ID}},
			BodySite:   place(u.Side, u.Place), Component: p.list,
		}
		switch u.Open() {
		case known.Yes:
			o.ValueCodeableConcept, o.Interpretation = valueOf("ulcer-open", footUlcer), interpret("A")
		default:
			o.ValueCodeableConcept = valueOf("ulcer-healed", nil)
		}
		if u.Note != "" && w.o.Names {
			o.Note = []annotation{{u.Note}}
		}
		w.result("ulcer/"+strconv.Itoa(i), o)
	}
}

func sizes(p *parts, u *wound.Ulcer) {
	p.add(reading("ulcer-length", u.Size.LengthMM, "mm"))
	p.add(reading("ulcer-width", u.Size.WidthMM, "mm"))
}

// judged is what was concluded of an ulcer.
func (w *examWriter) judged(u *wound.Ulcer) *wound.Result {
	for i := range w.a.Ulcers {
		if r := &w.a.Ulcers[i]; r.ID == u.ID && r.Side == u.Side {
			return r
		}
	}
	return nil
}

// class is a class, or the two that it lies between.
func class(c wound.Class) string {
	if c.Low == c.High {
		return c.Low
	}
	return c.Low + " to " + c.High + " (not settled)"
}
