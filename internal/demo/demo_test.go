package demo_test

import (
	"bytes"
	"encoding/json"
	"regexp"
	"testing"
	"time"

	"tengram/internal/clinic"
	"tengram/internal/demo"
	"tengram/internal/kernel/cohort"
	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/measure"
	"tengram/internal/kernel/plan"
	"tengram/internal/kernel/recall"
	"tengram/internal/kernel/record"
	"tengram/internal/kernel/when"
)

func written(t *testing.T, c *demo.Clinic) []byte {
	t.Helper()
	text, err := json.Marshal(c)
	if err != nil {
		t.Fatal(err)
	}
	return text
}

func TestTheSameSeedAndDayMakeTheSameClinicToTheByte(t *testing.T) {
	zone := time.FixedZone("", -5*3600)
	first := written(t, demo.Generate(7, november, demo.Options{Zone: zone}))
	again := written(t, demo.Generate(7, november, demo.Options{Zone: zone}))
	if !bytes.Equal(first, again) {
		t.Error("two runs differ")
	}
	if bytes.Equal(first, written(t, demo.Generate(8, november, demo.Options{Zone: zone}))) {
		t.Error("another seed makes the same clinic")
	}
	if !bytes.Contains(first, []byte("-05:00")) {
		t.Error("no time stands in the practice's zone")
	}
}

func TestTheClinicMovesWithTheDay(t *testing.T) {
	const days = 7 // the same day of the week
	now, later := look(demo.Generate(1, november, demo.Options{})), look(demo.Generate(1, november+days, demo.Options{}))
	booked := 0
	for id, p := range now.people {
		q := later.people[id]
		if p.Family != q.Family || p.Given != q.Given || p.Clinician != q.Clinician {
			t.Fatalf("%s is another person a week later", id)
		}
		for _, f := range now.facts[id] {
			if f.Kind != record.Appointment || f.Standing != record.Planned {
				continue
			}
			booked++
			day, _ := f.Start.Days(nil)
			if !onDay(later.facts[id], record.Appointment, day+days) {
				t.Errorf("%s is booked for %s, and not a week after that a week later", id, day)
			}
		}
	}
	if booked < 200 {
		t.Errorf("%d appointments compared, want 200 or more", booked)
	}
}

func onDay(facts []record.Fact, kind record.Kind, day when.Day) bool {
	for _, f := range facts {
		if on, _ := f.Start.Days(nil); f.Kind == kind && on == day {
			return true
		}
	}
	return false
}

func TestASmallClinicIsMadeToo(t *testing.T) {
	for n := 1; n <= 300; n += 13 {
		if made := demo.Generate(uint64(n), november, demo.Options{People: n}); len(made.People) < n {
			t.Errorf("%d people, want %d or more", len(made.People), n)
		}
	}
}

// The size and the standing of the programme, on days all over the year and for
// several seeds. The rates are those that the generator aims at; where they come
// from stands beside its constants.
func TestTheProgrammeStandsHalfWayOnAnyDay(t *testing.T) {
	for _, c := range []struct {
		today string
		seed  uint64
		rate  [2]float64
	}{
		{"2026-11-24", 1, [2]float64{0.58, 0.66}},
		{"2026-11-24", 2, [2]float64{0.58, 0.66}},
		{"2026-06-13", 1, [2]float64{0.58, 0.66}},
		{"2028-02-29", 3, [2]float64{0.55, 0.69}},
		{"2027-12-31", 4, [2]float64{0.58, 0.66}},
		{"2027-01-06", 1, [2]float64{0.35, 0.85}}, // few have come yet
		{"2027-01-01", 1, [2]float64{0, 1}},
	} {
		t.Run(c.today, func(t *testing.T) {
			today := when.MustDay(c.today)
			made := demo.Generate(c.seed, today, demo.Options{})
			n := standing(t, made, today)
			for _, r := range []struct {
				what           string
				got, low, high int
			}{
				{"people", len(made.People), 3000, 3030},
				{"facts", len(made.Facts), 15000, 26000},
				{"people on the diabetes panel", n.diabetes, 370, 430},
				{"signed revisions", len(made.Visits), 600, 900},
				{"open ulcers", n.ulcers, 8, 13},
				{"overdue at moderate or high risk", n.overdueAtRisk, 32, 50},
				{"booked today", n.today, 30, 45},
			} {
				if r.got < r.low || r.got > r.high {
					t.Errorf("%d %s, want %d to %d", r.got, r.what, r.low, r.high)
				}
			}
			rate := float64(n.met) / float64(max(1, n.counted))
			if rate < c.rate[0] || rate > c.rate[1] {
				t.Errorf("%d of %d meet the measure, %.3f; want %v", n.met, n.counted, rate, c.rate)
			}
		})
	}
}

type standingCounts struct{ diabetes, ulcers, overdueAtRisk, today, counted, met int }

func standing(t *testing.T, c *demo.Clinic, today when.Day) (n standingCounts) {
	t.Helper()
	policy := recall.Default()
	policy.Zone = time.UTC
	for _, rec := range records(t, c) {
		if cohort.Diabetes(&rec, today).Is == known.Yes {
			n.diabetes++
		}
		s := recall.Of(&rec, policy, today)
		n.ulcers += s.OpenUlcers
		if s.Watched && s.RiskHigh >= 2 && s.RiskLow == s.RiskHigh && !s.OverdueAfter.IsZero() && s.OverdueAfter < today {
			n.overdueAtRisk++
		}
		if s.NextVisit == today {
			n.today++
		}
		r := measure.FootExam().Evaluate(&rec, measure.Context{Period: measure.Year(today.Year()), Zone: time.UTC})
		if r.Denominator && !r.DenominatorExclusion {
			n.counted++
			if r.Numerator {
				n.met++
			}
		}
	}
	return n
}

func TestEveryExamCanBeSignedInItsOrder(t *testing.T) {
	c := demo.Generate(1, november, demo.Options{})
	v := look(c)
	roles := map[string]string{}
	for _, p := range demo.Staff() {
		roles[p.ID] = p.Role
	}
	revision := map[string]int{}
	var before time.Time
	for _, x := range c.Visits {
		d := &x.Draft
		if _, problems := exam.Check(*d); exam.Blocked(problems) {
			t.Errorf("%s: %v", d.ID, problems)
		}
		if x.SignedAt.Before(before) {
			t.Errorf("%s is signed out of order", d.ID)
		}
		before = x.SignedAt
		on, _ := d.At.Days(nil)
		if ms, _ := d.At.UnixMilli(); x.SignedAt.UnixMilli() <= ms || when.DayOf(x.SignedAt) >= november {
			t.Errorf("%s of %s is signed at %s", d.ID, on, x.SignedAt)
		}
		if on.Weekday() == time.Saturday || on.Weekday() == time.Sunday {
			t.Errorf("%s is on a %s", d.ID, on.Weekday())
		}
		if d.Revision != revision[d.ID]+1 {
			t.Errorf("%s: revision %d after %d", d.ID, d.Revision, revision[d.ID])
		}
		revision[d.ID] = d.Revision
		if !clinic.May(x.By, clinic.Examine) || (d.Override != nil && !clinic.May(x.By, clinic.Overrule)) || roles[x.By.ID] != x.By.Role {
			t.Errorf("%s may not sign %s", x.By.ID, d.ID)
		}
		p := v.people[d.Patient]
		if died, _ := p.DiedAt.Days(nil); died != 0 && on > died {
			t.Errorf("%s is examined after death", d.Patient)
		}
		if born, _ := p.Birth.Days(nil); on < born {
			t.Errorf("%s is examined before birth", d.Patient)
		}
		if !onDay(v.facts[d.Patient], record.Encounter, on) && !movedVisit(v, p, on) {
			t.Errorf("%s is examined on %s without a visit", d.Patient, on)
		}
	}
}

// movedVisit reports a visit that came under the id of a merged record.
func movedVisit(v view, p record.Person, on when.Day) bool {
	for _, q := range v.people {
		if q.ReplacedBy == p.ID && onDay(v.facts[q.ID], record.Encounter, on) {
			return true
		}
	}
	return false
}

func TestEveryStepHasAReferralThatIsOpen(t *testing.T) {
	c := demo.Generate(1, november, demo.Options{})
	asked := map[string]bool{}
	for _, rec := range records(t, c) {
		for _, x := range rec.Exams {
			for _, a := range x.Assessment.Plan.Actions {
				if a.Kind == plan.Refer {
					asked[x.Exam.ID+"."+a.ID] = true
				}
			}
		}
	}
	over := map[string]bool{}
	kinds := map[string]int{}
	for _, s := range c.Steps {
		id := s.Exam + "." + s.Action
		if !asked[id] {
			t.Errorf("no exam asks for the referral %s", id)
		}
		if over[id] {
			t.Errorf("step %q of %s after its end", s.Step.What, id)
		}
		over[id] = s.Step.What == "closed" || s.Step.What == "declined"
		kinds[s.Step.What]++
	}
	for _, what := range []string{"sent", "booked", "seen", "closed", "declined"} {
		if kinds[what] == 0 {
			t.Errorf("no step %q", what)
		}
	}
}

// TestNobodysNumberIsGiven: 555-0100 to 555-0199 are kept free for stories (US
// numbering plan, from memory).
func TestNobodysNumberIsGiven(t *testing.T) {
	free := regexp.MustCompile(`^\(\d{3}\) 555-01\d\d$`)
	if !free.MatchString(demo.Phone) {
		t.Errorf("the practice's number %s may be somebody's", demo.Phone)
	}
	for _, p := range demo.Generate(1, november, demo.Options{}).People {
		if p.Phone != "" && !free.MatchString(p.Phone) {
			t.Errorf("%s has the number %s, which may be somebody's", p.ID, p.Phone)
		}
	}
}
