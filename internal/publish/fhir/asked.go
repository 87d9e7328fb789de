package fhir

import (
	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/known"
)

// asked writes what was asked: history and symptoms, smoking, footwear, and the
// signs of a systemic response.
func (w *examWriter) asked() {
	var p parts
	for _, q := range questions(w.d.Ask) {
		p.add(answered("ask-"+q.name, q.answer))
	}
	// The last HbA1c as told has no day of its own. Under the code of the
	// laboratory test it would pass for one of today.
	p.add(tenths("a1c-told", w.d.Ask.A1c, "%"))
	if p.any() {
		w.result("history", &observation{Code: ownCode("foot-history"), Component: p.list})
	}
	w.smoking()
	w.footwear()
	w.systemic()
}

func (w *examWriter) smoking() {
	var s *Standard
	switch w.d.Ask.Smoking {
	case exam.NeverSmoked:
		s = neverSmoked
	case exam.PastSmoker:
		s = exSmoker
	case exam.CurrentSmoker:
		s = smoker
	default:
		return
	}
	w.result("smoking", &observation{
		Code:                 concept{Coding: []coding{smokingStatus.coding()}, Text: smokingStatus.For},
		ValueCodeableConcept: coded(s.For, s.coding()),
	})
}

func (w *examWriter) footwear() {
	var p parts
	for _, q := range questions(w.d.Footwear) {
		p.add(answered("footwear-"+q.name, q.answer))
	}
	x, ok := finding("footwear-adequate", w.d.Footwear.Suitable, "normal", "abnormal")
	if !ok && !p.any() {
		return
	}
	o := &observation{Code: x.Code, ValueCodeableConcept: x.ValueCodeableConcept, DataAbsentReason: x.DataAbsentReason, Interpretation: x.Interpretation, Component: p.list}
	if !ok {
		o.DataAbsentReason = absent("not-performed", "not judged as a whole")
	}
	w.result("footwear", o)
}

func (w *examWriter) systemic() {
	v, p := &w.d.Vitals, parts{}
	p.add(tenths("body-temperature", v.TemperatureC, "Cel"))
	p.add(reading("heart-rate", v.HeartRate, "/min"))
	p.add(reading("respiratory-rate", v.RespiratoryRate, "/min"))
	p.add(tenths("white-cells", v.WhiteCells, "10*9/L"))
	p.add(tenths("immature-cells", v.ImmatureCells, "%"))
	p.add(reading("paco2", v.PaCO2, "mm[Hg]"))
	p.add(answered("unwell", v.Unwell))
	if p.any() {
		w.result("systemic", &observation{Code: ownCode("systemic-signs"), Component: p.list})
	}
}

// teaching writes foot care education as a procedure, if it was given or
// declined.
func (w *examWriter) teaching() {
	p := &procedure{
		ResourceType: "Procedure", ID: w.id("teaching"), Meta: w.version, Subject: w.subject, Performed: w.at,
		Code: concept{Coding: []coding{footTeaching.coding()}, Text: footTeaching.For},
	}
	switch w.d.Teach.Given {
	case known.AnswerYes:
		p.Status = "completed"
	case known.Declined:
		p.Status, p.StatusReason = "not-done", coded("refused", refused.coding())
	default:
		return
	}
	if w.d.Teach.TaughtBack == known.AnswerYes {
		p.Outcome = &concept{Text: "said or showed it back right"}
	}
	for _, e := range w.examiner {
		p.Performer = append(p.Performer, performer{e})
	}
	w.resources = append(w.resources, p)
}
