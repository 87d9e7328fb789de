package plan_test

import (
	"cmp"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"tengram/internal/kernel/danger"
	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/plan"
	"tengram/internal/kernel/source"
)

var findings = []change{
	lops, weakPulse, noPulse, deformity, pastUlcer, smoker, dialysis, toeLost, charcotFoot, ulcer,
	skin(exam.Callus), skin(exam.Blister), skin(exam.Fungus), skin(exam.DrySkin), skin(exam.RedSpot), nail(exam.ThickNail), nail(exam.IngrownNail),
	pressures(120, 96, 60), pressures(120, 45, 28),
	func(p *person) { p.Ask.LowVision, p.Ask.Helper = yes, no },
	func(p *person) { p.Ask.GlucoseAboveTarget = yes },
	func(p *person) { p.Ask.UlcerHistory = 0 },
	func(p *person) { p.Footwear.WornOut = yes },
	func(p *person) { p.bg.Age = 70 },
	func(p *person) { p.Vitals.TemperatureC = known.TenthsOf(390) },
}

// An action without a source could not be traced, one twice would be done
// twice, and an order that changes would make two prints of one plan differ.
func TestEveryPlanIsOrderedWithoutRepeatsAndExplained(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := healthy()
		for _, i := range rapid.SliceOfN(rapid.IntRange(0, len(findings)-1), 0, 8).Draw(t, "findings") {
			findings[i](p)
		}
		checkPlan(t, assessed(us(), monday, p).Plan)
		checkPlan(t, assessed(uk(), monday, p).Plan)
	})
}

func checkPlan(t *rapid.T, p plan.Plan) {
	ids := map[string]bool{}
	for i, a := range p.Actions {
		if ids[a.ID] {
			t.Errorf("%s stands twice", a.ID)
		}
		ids[a.ID] = true
		if a.Says == "" || a.To == "" || a.Kind == "" || a.ID != strings.ToLower(a.ID) {
			t.Errorf("%s is not complete: %+v", a.ID, a)
		}
		if a.Due != plan.Deadline(monday, a.Urgency) {
			t.Errorf("%s is due on %v", a.ID, a.Due)
		}
		checkReasons(t, a.ID, a.Because)
		if timed := a.Urgency != danger.Routine; timed && !slices.ContainsFunc(a.Because, givesTime) {
			t.Errorf("%s: nobody says where its time comes from: %+v", a.ID, a.Because)
		}
		if i > 0 {
			b := p.Actions[i-1]
			if cmp.Or(cmp.Compare(b.Urgency, a.Urgency), cmp.Compare(b.ID, a.ID)) >= 0 {
				t.Errorf("%s stands before %s", b.ID, a.ID)
			}
		}
	}
	checkReasons(t, "recall", p.Recall.Because)
	if r := p.Recall; r.From > r.Due || r.Due > r.Overdue || r.MinMonths < 1 {
		t.Errorf("recall %+v", r)
	}
}

// givesTime reports a reason that a deadline can rest on: a time of NICE or of
// the ladder of urgency, or a rule of days such as off-loading at once.
func givesTime(r source.Reason) bool {
	if r.Source == nil {
		return false
	}
	switch r.Source.ID {
	case "nice-ng19", "tengram-ladder", "iwgdf-2023-charcot", "acc-aha-2024-pad", "iwgdf-idsa-2023-infection":
		return true
	}
	return false
}

func checkReasons(t *rapid.T, id string, b source.Because) {
	sourced := false
	said := map[string]bool{}
	for _, r := range b {
		key := r.Says + "|" + r.Fact
		if r.Says == "" || said[key] {
			t.Errorf("%s: the reason %q is empty or given twice", id, r.Says)
		}
		said[key] = true
		if r.Source != nil {
			sourced = true
			if r.Source.Standing == "" || r.Source.Place == "" {
				t.Errorf("%s: %q cites %s without place or standing", id, r.Says, r.Source.ID)
			}
		}
	}
	if !sourced {
		t.Errorf("%s has no source: %+v", id, b)
	}
}
