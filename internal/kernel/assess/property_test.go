package assess

import (
	"encoding/json"
	"fmt"
	"reflect"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"tengram/internal/kernel/danger"
	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/foot"
	"tengram/internal/kernel/source"
)

func TestAWorseFindingNeverLowersRiskNorDelaysAnAction(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := draw(t)
		for _, i := range rapid.SliceOfNDistinct(rapid.IntRange(0, len(blanks)-1), 0, 3, rapid.ID[int]).Draw(t, "blanks") {
			blanks[i].to(&p)
		}
		worse := p.clone()
		step := worsenings[rapid.IntRange(0, len(worsenings)-1).Draw(t, "step")]
		step.to(&worse)
		for _, e := range Editions() {
			compareWorse(t, e.ID+", "+step.name, p.judge(e), worse.judge(e))
		}
	})
}

func compareWorse(t *rapid.T, name string, a, b Assessment) {
	for i := range a.Risks {
		aLow, aHigh := a.Risks[i].ForPlan()
		bLow, bHigh := b.Risks[i].ForPlan()
		if a.Risks[i].Undefined || b.Risks[i].Undefined {
			continue // the published text has no row to compare
		}
		if bLow.Rank < aLow.Rank || bHigh.Rank < aHigh.Rank {
			t.Errorf("%s: %s falls from %d..%d to %d..%d", name, a.Risks[i].System, aLow.Rank, aHigh.Rank, bLow.Rank, bHigh.Rank)
		}
	}
	if b.Plan.Recall.Overdue > a.Plan.Recall.Overdue || b.Plan.Recall.Due > a.Plan.Recall.Due {
		t.Errorf("%s: the next exam moves from %v to %v", name, a.Plan.Recall.Due, b.Plan.Recall.Due)
	}
	if a.Plan.Recall.EveryVisit && !b.Plan.Recall.EveryVisit {
		t.Errorf("%s: the feet are no longer looked at every visit", name)
	}
	for _, before := range a.Plan.Actions {
		for _, after := range b.Plan.Actions {
			if after.ID == before.ID && after.Urgency > before.Urgency {
				t.Errorf("%s: %s moves from %v to %v", name, before.ID, before.Urgency, after.Urgency)
			}
		}
	}
	if before, after := soonest(&a), soonest(&b); after > before {
		t.Errorf("%s: the first action moves from %v to %v", name, before, after)
	}
	for _, before := range a.Flags {
		i := slices.IndexFunc(b.Flags, func(f danger.Flag) bool { return f.ID == before.ID })
		if i < 0 {
			if before.ID != "ulcer-checks-missing" {
				t.Errorf("%s: flag %s goes out", name, before.ID)
			}
		} else if b.Flags[i].Urgency > before.Urgency {
			t.Errorf("%s: flag %s is softened", name, before.ID)
		}
	}
}

// soonest is the urgency of the first action; to complete the exam is done once
// the answer is there.
func soonest(a *Assessment) danger.Urgency {
	for _, act := range a.Plan.Actions {
		if act.ID != "complete-exam" {
			return act.Urgency
		}
	}
	return danger.Routine
}

// Every action of the plan, every flag and every conclusion can say by which
// document, and how surely that was read.
func TestAnAssessmentIsExplainedAndTheSameTwice(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := draw(t)
		before := written(t, p)
		for _, e := range Editions() {
			a := p.judge(e)
			for _, act := range a.Plan.Actions {
				if !sourced(act.Because) {
					t.Errorf("action %s has no source: %+v", act.ID, act.Because)
				}
			}
			for _, f := range a.Flags {
				if !sourced(f.Because) {
					t.Errorf("flag %s has no source: %+v", f.ID, f.Because)
				}
			}
			for _, r := range a.Risks {
				if !sourced(r.Because) {
					t.Errorf("%s has no source", r.System)
				}
			}
			everySource(reflect.ValueOf(a), func(s source.Source) {
				if s.ID == "" || s.Title == "" || s.Edition == "" || s.Place == "" || s.Standing == "" {
					t.Errorf("a source says too little: %+v", s)
				}
			})
			if again := p.judge(e); !reflect.DeepEqual(a, again) {
				t.Error("the same exam gives two answers")
			}
			if _, err := json.Marshal(a); err != nil {
				t.Errorf("cannot be written: %v", err)
			}
		}
		if diff := cmp.Diff(before, written(t, p)); diff != "" {
			t.Errorf("judging changed the exam or the record:\n%s", diff)
		}
	})
}

func written(t *rapid.T, p someone) string {
	d, err := json.Marshal(p.Draft)
	if err != nil {
		t.Fatal(err)
	}
	bg, err := json.Marshal(p.bg)
	if err != nil {
		t.Fatal(err)
	}
	return string(d) + "\n" + string(bg)
}

func sourced(b source.Because) bool {
	return slices.ContainsFunc(b, func(r source.Reason) bool { return r.Source != nil })
}

// everySource calls f with each source anywhere in v.
func everySource(v reflect.Value, f func(source.Source)) {
	switch v.Kind() {
	case reflect.Pointer:
		if !v.IsNil() {
			everySource(v.Elem(), f)
		}
	case reflect.Slice, reflect.Array:
		for i := range v.Len() {
			everySource(v.Index(i), f)
		}
	case reflect.Struct:
		if s, ok := v.Interface().(source.Source); ok {
			f(s)
			return
		}
		for i := range v.NumField() {
			if v.Type().Field(i).IsExported() {
				everySource(v.Field(i), f)
			}
		}
	}
}

func TestTheMirroredExamHasTheMirroredAnswer(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := draw(t)
		m := p.clone()
		m.Right, m.Left = m.Left, m.Right
		m.Arms.Right, m.Arms.Left = m.Arms.Left, m.Arms.Right
		for i := range m.Ulcers {
			m.Ulcers[i].Side = m.Ulcers[i].Side.Other()
		}
		for _, e := range Editions() {
			a, b := p.judge(e), m.judge(e)
			if diff := cmp.Diff(a.essence(mirrorSides), b.essence(keepSides)); diff != "" {
				t.Errorf("%s: the mirror differs:\n%s", e.ID, diff)
			}
			for _, s := range foot.Sides {
				if a.LOPS.Feet[s].LOPS != b.LOPS.Feet[s.Other()].LOPS || a.PAD.Legs[s].Level != b.PAD.Legs[s.Other()].Level ||
					a.PAD.Legs[s].Critical != b.PAD.Legs[s.Other()].Critical {
					t.Errorf("the %v foot is not the mirror's %v foot", s, s.Other())
				}
			}
		}
	})
}

func keepSides(s string) string { return s }

func mirrorSides(s string) string {
	return strings.NewReplacer("right", "left", "left", "right").Replace(s)
}

// essence is what an assessment concludes, one line each, in order of the
// alphabet where the assessment has no order of its own.
func (a *Assessment) essence(side func(string) string) []string {
	var lines []string
	say := func(format string, v ...any) { lines = append(lines, fmt.Sprintf(format, v...)) }
	for _, r := range a.Risks {
		say("risk %s %v..%v cautious %v", r.System, r.Low, r.High, r.Cautious != nil)
	}
	say("disagreement %s", a.Disagreement)
	say("LOPS %v PAD %v pressures %v hot %v charcot %v", a.LOPS.LOPS, a.PAD.Level, a.PAD.PressuresNeeded, a.Heat.Hot, a.Heat.CharcotSuspected)
	for _, f := range a.Flags {
		var sides []string
		for _, s := range f.Sides {
			sides = append(sides, side(s.String()))
		}
		slices.Sort(sides)
		say("flag %s %v suspected %v %v %s", f.ID, f.Urgency, f.Suspected, sides, f.Says)
	}
	for _, act := range a.Plan.Actions {
		say("action %s %v %s by %v: %s", act.ID, act.Urgency, act.To, act.Due, act.Says)
	}
	r := a.Plan.Recall
	say("recall %v %v %v every visit %v", r.From, r.Due, r.Overdue, r.EveryVisit)
	var loose []string
	for _, f := range a.Findings {
		var sides []string
		for _, s := range f.Sides {
			sides = append(sides, side(s.String()))
		}
		loose = append(loose, fmt.Sprintf("finding %s %v %s", f.ID, sides, f.Says))
	}
	for _, m := range a.Missing {
		loose = append(loose, fmt.Sprintf("missing %s %s", m.Purpose, side(m.Field)))
	}
	for _, u := range a.Ulcers {
		for _, c := range u.Classes {
			loose = append(loose, fmt.Sprintf("ulcer %s %s %s..%s", u.ID, c.ID, c.Low, c.High))
		}
		loose = append(loose, fmt.Sprintf("ulcer %s worries %d", u.ID, len(u.Worry)))
	}
	slices.Sort(loose)
	return append(lines, loose...)
}

// The order in which ulcers, skin findings, nails and deformities were entered
// is nobody's finding.
func TestTheOrderOfInputNeverMatters(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := draw(t)
		q := p.clone()
		q.Ulcers = shuffled(t, "ulcers", q.Ulcers)
		for _, s := range foot.Sides {
			l := &q.Foot(s).Look
			l.Lesions = shuffled(t, "lesions", l.Lesions)
			l.NailKind = shuffled(t, "nails", l.NailKind)
			l.Deformities = shuffled(t, "deformities", l.Deformities)
		}
		for _, e := range Editions() {
			a, b := p.judge(e), q.judge(e)
			if diff := cmp.Diff(a.essence(keepSides), b.essence(keepSides)); diff != "" {
				t.Errorf("%s: the order of entry matters:\n%s", e.ID, diff)
			}
			if diff := cmp.Diff(a.reasons(), b.reasons()); diff != "" {
				t.Errorf("%s: the reasons depend on the order of entry:\n%s", e.ID, diff)
			}
		}
	})
}

func shuffled[T any](t *rapid.T, name string, all []T) []T {
	if len(all) < 2 {
		return all
	}
	return rapid.Permutation(all).Draw(t, name)
}

// reasons are those of flags and actions, whatever their order.
func (a *Assessment) reasons() []string {
	var all []string
	for _, f := range a.Flags {
		for _, r := range f.Because {
			all = append(all, f.ID+": "+r.Says)
		}
	}
	for _, act := range a.Plan.Actions {
		for _, r := range act.Because {
			all = append(all, act.ID+": "+r.Says)
		}
	}
	slices.Sort(all)
	return slices.Compact(all)
}

func TestLearningAnUnknownNeverLeavesTheInterval(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		whole := draw(t)
		partial := whole.clone()
		for _, i := range rapid.SliceOfDistinct(rapid.IntRange(0, len(blanks)-1), rapid.ID[int]).Draw(t, "blanks") {
			blanks[i].to(&partial)
		}
		a, b := partial.judge(DefaultEdition()), whole.judge(DefaultEdition())
		for i := range a.Risks {
			if a.Risks[i].Undefined || b.Risks[i].Undefined {
				continue
			}
			aLow, aHigh := a.Risks[i].ForPlan()
			bLow, bHigh := b.Risks[i].ForPlan()
			if bLow.Rank < aLow.Rank || bHigh.Rank > aHigh.Rank {
				t.Errorf("%s: %d..%d becomes %d..%d when more is known", a.Risks[i].System, aLow.Rank, aHigh.Rank, bLow.Rank, bHigh.Rank)
			}
		}
	})
}

// An override is recorded with its reason; everything computed stays beside it.
// Only the recall follows the clinician.
func TestAnOverrideTouchesNothingButTheRecall(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := draw(t)
		q := p.clone()
		q.Override = &exam.Override{Category: rapid.SampledFrom([]string{"0", "1", "2", "3"}).Draw(t, "category"), Reason: "knows the person", By: exam.Person{ID: "c1"}}
		a, b := p.judge(DefaultEdition()), q.judge(DefaultEdition())
		if a.Override != nil || b.Override == nil || b.Override.Reason != "knows the person" {
			t.Fatalf("override %+v", b.Override)
		}
		if !slices.ContainsFunc(b.Plan.Recall.Because, func(r source.Reason) bool { return strings.Contains(r.Says, "knows the person") }) {
			t.Errorf("the recall does not give the reason: %+v", b.Plan.Recall.Because)
		}
		b.Override, b.Plan.Recall = nil, a.Plan.Recall
		if !reflect.DeepEqual(a, b) {
			t.Error("something computed follows the override")
		}
	})
}
