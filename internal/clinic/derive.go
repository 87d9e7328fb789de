package clinic

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"tengram/internal/kernel/measure"
	"tengram/internal/kernel/recall"
	"tengram/internal/kernel/record"
	"tengram/internal/kernel/source"
	"tengram/internal/kernel/when"
	"tengram/internal/kernel/wound"
)

// rulesVersion is raised when a rule of the kernel changes in a way that shows
// on the panel, so that rows made by an older program are made again.
const rulesVersion = 1

// freshDays is for how long a derived row is trusted at most; our choice.
const freshDays = 30

// rules is everything beside the record that the derived rows depend on.
type rules struct {
	policy   recall.Policy
	measures []keptMeasure
	zone     string
}

// keptMeasure is one measure and year whose results are kept for everybody.
type keptMeasure struct {
	measure.Measure
	year int
}

// rules reads the rules in force.
func (c *Clinic) rules(ctx context.Context) (rules, error) {
	edition, err := c.Edition(ctx)
	if err != nil {
		return rules{}, err
	}
	r := rules{policy: recall.Default(), zone: c.Zone.String()}
	r.policy.Zone, r.policy.Choice, r.policy.Risk = c.Zone, edition.RecallChoice, edition.Risk
	r.measures, err = c.keptMeasures(ctx)
	return r, err
}

// name tells one set of rules from another.
func (r rules) name() string {
	kept := make([]string, 0, len(r.measures))
	for _, m := range r.measures {
		kept = append(kept, fmt.Sprintf("%s %s:%d", m.ID, m.Version, m.year))
	}
	return fmt.Sprintf("%d; %s; %s, %s, %d months, %d days; %s", rulesVersion, r.zone,
		r.policy.Risk, r.policy.Choice, r.policy.LongestMonths, r.policy.UlcerDays, strings.Join(kept, ", "))
}

// derive computes everything that is kept beside a record. It is the only place
// where a record becomes a row.
func (r rules) derive(rec *record.Record, today when.Day) (Derived, source.Because) {
	s := recall.Of(rec, r.policy, today)
	p := &rec.Person
	d := Derived{
		Standing: Standing{
			Person: p.ID, Family: p.Family, Given: p.Given, Birth: p.Birth, Phone: p.Phone,
			Language: p.Language, Clinician: p.Clinician, Site: p.Site,
			Diabetes: s.Diabetes, Watched: s.Watched,
			RiskLow: s.RiskLow, RiskHigh: s.RiskHigh, RiskWord: s.RiskWord,
			LastExam: s.LastExam, Due: s.Due, OverdueAfter: s.OverdueAfter, Why: s.Why,
			NextVisit: s.NextVisit, OpenUlcers: s.OpenUlcers, UlcerDue: s.UlcerDue, OpenReferrals: s.OpenReferrals,
		},
		Place:   s.Place(),
		Ulcers:  r.followed(rec, s.OpenUlcers, today),
		Until:   today.AddDays(freshDays),
		Version: rec.Version,
		Rules:   r.name(),
	}
	if s.Until != 0 {
		d.Until = min(d.Until, s.Until)
	}
	for _, m := range r.measures {
		// An explanation costs several times the answer and is read for people
		// who count, or whose record should be looked at.
		context := measure.Context{Period: measure.Year(m.year), Zone: r.policy.Zone}
		if plain := m.Evaluate(rec, context); plain.InitialPopulation || len(plain.Quality) > 0 {
			context.Explain = true
			d.Measures = append(d.Measures, m.Evaluate(rec, context))
		}
	}
	return d, s.Because
}

// followed lists the open ulcers through the exams that saw them, and one entry
// for each that no exam here has seen.
func (r rules) followed(rec *record.Record, open int, today when.Day) []FollowedUlcer {
	var list []FollowedUlcer
	for _, course := range measure.Courses(rec, r.policy.Zone, today) {
		if course.Healed == 0 {
			list = append(list, r.follow(rec, course))
		}
	}
	for len(list) < open {
		list = append(list, FollowedUlcer{Unseen: true})
	}
	return list
}

func (r rules) follow(rec *record.Record, course measure.Course) FollowedUlcer {
	f := FollowedUlcer{First: course.First}
	for i := range rec.Exams {
		x := &rec.Exams[i]
		_, on := x.Exam.At.Days(r.policy.Zone)
		for _, u := range x.Exam.Ulcers {
			if u.ID == course.ID && u.Side == course.Side {
				f.Last, f.On, f.Exam = u, on, x.Exam.ID
			}
		}
		n := slices.IndexFunc(x.Assessment.Ulcers, func(w wound.Result) bool { return w.ID == course.ID && w.Side == course.Side })
		if n < 0 {
			continue
		}
		f.Result = x.Assessment.Ulcers[n]
		if f.Result.AreaMM2.Known() {
			f.Sizes = append(f.Sizes, UlcerSize{On: on, Exam: x.Exam.ID, AreaMM2: f.Result.AreaMM2.Value, Method: f.Result.Method})
		}
	}
	return f
}
