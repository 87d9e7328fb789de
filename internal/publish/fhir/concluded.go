package fhir

import (
	"fmt"
	"strings"

	"tengram/internal/kernel/foot"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/perfusion"
	"tengram/internal/kernel/record"
	"tengram/internal/kernel/risk"
)

// concluded writes what was concluded from the findings: loss of protective
// sensation, artery disease, and the red flags. Each rests on what it was
// derived from.
func (w *examWriter) concluded() {
	l := &w.a.LOPS
	lops := tri("lops", l.LOPS)
	o := &observation{
		Code: lops.Code, ValueBoolean: lops.ValueBoolean, DataAbsentReason: lops.DataAbsentReason,
		Method: &concept{Text: l.Name}, DerivedFrom: w.roles("filament", "vibration", "pinprick", "warm-cold", "ankle-reflexes", "light-touch", "vpt"),
	}
	for _, s := range foot.Sides {
		x := tri(onSide("lops", s), l.Feet[s].LOPS)
		if l.Feet[s].Gone {
			x, _ = named(onSide("lops", s)).lost()
		}
		o.Component = append(o.Component, x.component)
	}
	w.result("lops", o)
	w.artery()
	for i := range w.a.Flags {
		f := &w.a.Flags[i]
		o := &observation{Code: ownCode("red-flag"), ValueCodeableConcept: valueOf("flag-"+f.ID, nil), Interpretation: interpret("AA"),
			DerivedFrom: w.roles("visual", "pulses", "filament", "warmth-and-swelling", "circulation-signs")}
		o.ValueCodeableConcept.Text = f.Says
		if f.Suspected {
			o.Interpretation[0].Text = "suspected"
		}
		if len(f.Sides) == 1 {
			o.BodySite = site(f.Sides[0])
		}
		w.result(fmt.Sprintf("flag/%d", i), o)
	}
}

func (w *examWriter) artery() {
	pad := &w.a.PAD
	p := level("pad", pad.Level)
	o := &observation{
		Code: p.Code, ValueCodeableConcept: p.ValueCodeableConcept, DataAbsentReason: p.DataAbsentReason, Interpretation: p.Interpretation,
		DerivedFrom: w.roles("pulses", "circulation-signs", "abi/right", "tbi/right", "abi/left", "tbi/left", "history"),
	}
	for _, s := range foot.Sides {
		x := level(onSide("pad", s), pad.Legs[s].Level)
		if pad.Legs[s].Gone {
			x, _ = named(onSide("pad", s)).lost()
		}
		o.Component = append(o.Component, x.component)
	}
	w.result("pad", o)
}

// level is how far the evidence speaks for artery disease. Suspected is what the
// pulses or legs raise, and no diagnosis.
func level(code string, l perfusion.Level) part {
	p := named(code)
	switch l {
	case perfusion.CannotSay:
		return p.without(absent("unknown", "cannot be said from what was recorded"))
	case perfusion.Unlikely:
		return p.is(known.No, "pad-"+l.String())
	}
	return p.is(known.Yes, "pad-"+l.String())
}

// report writes the DiagnosticReport that holds the exam together.
func (w *examWriter) report() {
	r := &diagnosticReport{
		ResourceType: "DiagnosticReport", ID: w.reportID(), Meta: w.version, Status: w.status, Code: ownCode("foot-exam"),
		Identifier: []identifier{{System: Base + "/NamingSystem/exam", Value: w.exam}},
		Subject:    w.subject, Effective: w.at, Issued: w.issued, Performer: w.examiner, ResultsInterpreter: []reference{w.signer},
		Result: w.results, Conclusion: w.conclusion(), ConclusionCode: w.categories(),
	}
	w.resources = append(w.resources, r)
}

func (w *examWriter) reportID() string { return idOf("exam", w.exam, "report") }

// conclusion says the exam in a few sentences: what cannot wait, the risk, the
// next exam, the caution.
func (w *examWriter) conclusion() string {
	var says []string
	for _, f := range w.a.Flags {
		says = append(says, f.Urgency.Words()+": "+f.Says)
	}
	if w.a.Active != "" {
		says = append(says, w.a.Active)
	}
	says = append(says, w.riskWords())
	if r := w.a.Plan.Recall; !r.Due.IsZero() {
		says = append(says, fmt.Sprintf("Next full exam due %s, late after %s.", r.Due, r.Overdue))
	}
	if w.d.Note != "" && w.o.Names {
		says = append(says, "Note: "+w.d.Note)
	}
	return strings.Join(append(says, w.a.Caution), "\n")
}

func (w *examWriter) riskWords() string {
	r := w.a.Risk()
	low, high := r.ForPlan()
	text := "Risk by " + r.Name + ": " + between(low, high) + "."
	if r.Cautious != nil {
		text += " The table's own text gives " + between(r.Low, r.High) + "; the plan follows the cautious reading."
	}
	if o := w.d.Override; o != nil {
		text += " A clinician set " + o.Category + "."
	}
	return text
}

// between is a category, or the two that it lies between.
func between(low, high risk.Category) string {
	if low.Rank == high.Rank {
		return high.Words()
	}
	return "between " + low.Words() + " and " + high.Words()
}

// provenance says who signed, when, by which rules, and why an exam was
// amended.
func (w *examWriter) provenance(signed record.SignedExam) {
	p := &provenance{
		ResourceType: "Provenance", ID: w.id("signature/" + w.version.VersionID), Recorded: instant(signed.SignedAt),
		Target: []reference{{Reference: "DiagnosticReport/" + w.reportID()}},
		Policy: []string{Base + "/edition/" + w.a.Edition},
		Agent:  []agent{{Who: w.signer}},
	}
	if a := w.d.Amends; a != nil {
		text := fmt.Sprintf("amends revision %d", a.Revision)
		if w.o.Names {
			text += ": " + a.Reason
		}
		p.Reason = []concept{{Text: text}}
	}
	w.resources = append(w.resources, p)
}
