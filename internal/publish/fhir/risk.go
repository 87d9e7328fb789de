package fhir

import (
	"strconv"
	"strings"

	"tengram/internal/kernel/danger"
	"tengram/internal/kernel/plan"
	"tengram/internal/kernel/record"
	"tengram/internal/kernel/risk"
	"tengram/internal/kernel/source"
	"tengram/internal/kernel/when"
)

// risk writes the risk category twice: as an observation, to search and follow
// by, and as a RiskAssessment with its reasons.
//
// Both lead with the category that the plan follows; where the published
// table's own text gives a lower one, that stands beside it. While the category
// is not settled the observation has no value but the two ends, and the
// RiskAssessment predicts the higher first, so that a reader of one line is not
// reassured.
func (w *examWriter) risk() {
	r := w.a.Risk()
	low, high := r.ForPlan()
	w.result("risk", w.riskObservation(&r, low, high))

	a := &riskAssessment{
		ResourceType: "RiskAssessment", ID: w.id("risk-assessment"), Meta: w.version, Status: w.status,
		Method: coded(r.Name, local(r.System)), Code: coded("assessment of foot risk", riskExam.coding()),
		Subject: w.subject, Occurrence: w.at,
		Basis: w.roles("lops", "pad", "visual", "filament", "pulses", "history", "loss/right", "loss/left"),
		Note:  []annotation{{w.a.Caution}},
	}
	for i := range w.d.Ulcers {
		a.Basis = append(a.Basis, w.roles("ulcer/"+strconv.Itoa(i))...)
	}
	rationale := says(r.Because)
	if r.Cautious != nil {
		rationale = says(r.Cautious.Because)
	}
	if low.Rank == high.Rank {
		a.predict(r.System, high, rationale)
	} else {
		unsettled := "Not settled; the answer to this would settle it: " + factors(r) + ". "
		a.predict(r.System, high, unsettled+"The highest category still possible. "+rationale)
		a.predict(r.System, low, unsettled+"The lowest category still possible.")
	}
	if r.Cautious != nil {
		a.Prediction = append(a.Prediction, prediction{Outcome: *valueUlcer(), QualitativeRisk: literal(&r), Rationale: "By the letter of the published table. " + says(r.Because)})
	}
	if o := w.d.Override; o != nil {
		text := "Set by a clinician in place of the computed category"
		if w.o.Names {
			text += ": " + o.Reason
		}
		a.Prediction = append(a.Prediction, prediction{Outcome: *valueUlcer(), QualitativeRisk: w.override(r.System), Rationale: text + "."})
	}
	if m := w.a.Plan.Recall; !m.Due.IsZero() {
		a.Mitigation = "Next full exam due " + m.Due.String() + ", late after " + m.Overdue.String() + "."
	}
	w.resources = append(w.resources, a)
	w.by["risk-assessment"] = reference{Reference: "RiskAssessment/" + a.ID}
}

func (w *examWriter) riskObservation(r *risk.Result, low, high risk.Category) *observation {
	o := &observation{Code: ownCode(categoryCode(r.System)), DerivedFrom: w.roles("lops", "pad", "visual", "history"), Method: &concept{Text: r.Name}}
	if low.Rank == high.Rank {
		o.ValueCodeableConcept = category(r.System, high)
	} else {
		o.DataAbsentReason = absent("unknown", "not settled: "+between(low, high))
		o.Component = append(o.Component, categoryPart("risk-low", r.System, low), categoryPart("risk-high", r.System, high))
	}
	if r.Cautious != nil {
		x := named("risk-literal")
		x.ValueCodeableConcept = literal(r)
		o.Component = append(o.Component, x.component)
	}
	if w.d.Override != nil {
		x := named("risk-override")
		x.ValueCodeableConcept = w.override(r.System)
		o.Component = append(o.Component, x.component)
	}
	return o
}

// override is the clinician's own category: one of the system, or its text.
func (w *examWriter) override(system string) *concept {
	said := w.d.Override.Category
	if said == "" {
		return &concept{Text: "not named"}
	}
	if c := local(categoryValue(system, said)); c.Display != "" {
		return coded(said, c)
	}
	return &concept{Text: said}
}

func categoryPart(code, system string, c risk.Category) component {
	x := named(code)
	x.ValueCodeableConcept = category(system, c)
	return x.component
}

// category is a risk category: a number and a word.
func category(system string, c risk.Category) *concept {
	return coded(c.Words(), local(categoryValue(system, c.Code)))
}

// literal is the category by the letter of the published table.
func literal(r *risk.Result) *concept {
	if r.Settled() {
		return category(r.System, r.High)
	}
	return &concept{Text: between(r.Low, r.High)}
}

// categories are the conclusion codes of the report: nothing while the category
// is not settled.
func (w *examWriter) categories() []concept {
	r := w.a.Risk()
	low, high := r.ForPlan()
	if low.Rank != high.Rank {
		return nil
	}
	return []concept{*category(r.System, high)}
}

func valueUlcer() *concept { return coded("foot ulcer", footUlcer.coding()) }

func (a *riskAssessment) predict(system string, c risk.Category, rationale string) {
	a.Prediction = append(a.Prediction, prediction{Outcome: *valueUlcer(), QualitativeRisk: category(system, c), Rationale: rationale})
}

// factors names what would settle the category.
func factors(r risk.Result) string {
	settle := r.SettledBy
	if r.Cautious != nil && len(r.Cautious.SettledBy) > 0 {
		settle = r.Cautious.SettledBy
	}
	var words []string
	for _, f := range settle {
		words = append(words, f.Words())
	}
	return strings.Join(words, ", ")
}

// says joins reasons with their sources.
func says(because source.Because) string {
	var lines []string
	for _, b := range because {
		line := b.Says
		if b.Source != nil {
			line += " [" + b.Source.Title + " " + b.Source.Edition + "; " + string(b.Source.Standing) + "]"
		}
		lines = append(lines, line)
	}
	return strings.Join(lines, " ")
}

// referrals writes a ServiceRequest for each referral of the plan, with its
// deadline: an order with its state where the practice has opened it, and a
// proposal where it has not.
func (w *examWriter) referrals(signed record.SignedExam) {
	for i := range w.a.Plan.Actions {
		a := &w.a.Plan.Actions[i]
		if a.Kind != plan.Refer {
			continue
		}
		r := &serviceRequest{
			ResourceType: "ServiceRequest", ID: w.id("referral/" + a.ID), Meta: w.version, Status: "active", Intent: "proposal",
			Priority: priority(a.Urgency), Code: coded(a.Says, local(a.ID)), Subject: w.subject, AuthoredOn: dateTime(signed.SignedAt),
			PerformerType: coded(plain(string(a.To)), local("to-"+string(a.To))), Requester: &w.signer,
			ReasonReference: w.roles("risk"), SupportingInfo: []reference{{Reference: "DiagnosticReport/" + w.reportID()}},
		}
		due := a.Due
		if opened := w.opened(a.ID); opened != nil {
			r.Intent, r.Status = "order", state(opened)
			if !opened.Due.IsZero() {
				due = opened.Due
			}
		}
		r.Occurrence = until(w.a.On, due)
		for _, b := range a.Because {
			r.ReasonCode = append(r.ReasonCode, concept{Text: b.Says})
		}
		w.resources = append(w.resources, r)
	}
}

// opened is the referral that carries an action of this exam out.
func (w *examWriter) opened(action string) *record.Referral {
	for i := range w.o.Referrals {
		if r := &w.o.Referrals[i]; r.Exam == w.d.ID && r.Action == action {
			return r
		}
	}
	return nil
}

func state(r *record.Referral) string {
	for _, s := range r.Steps {
		switch s.What {
		case "closed":
			return "completed"
		case "declined":
			return "revoked"
		}
	}
	return "active"
}

// until is the time in which a referral is to happen; without a deadline it is
// left open.
func until(from, due when.Day) *period {
	if due.IsZero() {
		return nil
	}
	if from > due {
		from = due
	}
	return &period{Start: from.String(), End: due.String()}
}

// priority is the word of FHIR for an urgency.
func priority(u danger.Urgency) string {
	switch u {
	case danger.Now:
		return "stat"
	case danger.SameDay:
		return "asap"
	case danger.OneWorkingDay, danger.FourDays:
		return "urgent"
	}
	return "routine"
}
