package demo_test

import (
	"slices"
	"strings"
	"testing"
	"time"

	"tengram/internal/demo"
	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/foot"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/record"
	"tengram/internal/kernel/term"
	"tengram/internal/kernel/when"
	"tengram/internal/kernel/wound"
)

// dx is a condition with an ICD-10-CM code.
func dx(code string) func(record.Fact) bool {
	return func(f record.Fact) bool { return has(f, record.Condition, term.ICD10CM, code) }
}

func both(a, b func(record.Fact) bool) func(record.Fact) bool {
	return func(f record.Fact) bool { return a(f) && b(f) }
}

func category(prefix string) func(record.Fact) bool {
	return func(f record.Fact) bool {
		return f.Kind == record.Condition && slices.ContainsFunc(f.Codes, func(c term.Code) bool {
			return c.System == term.ICD10CM && strings.HasPrefix(c.Code, prefix)
		})
	}
}

func observed(code string) func(record.Fact) bool {
	return func(f record.Fact) bool { return has(f, record.Observation, term.SNOMED, code) }
}

// anyPart is an imported part of a foot exam.
func anyPart(f record.Fact) bool {
	return observed("401191002")(f) || observed("134388005")(f) || observed("91161007")(f)
}

// TestEveryKindOfMessIsThere: whatever a page, a list or a measure must cope
// with can be met in the demo, on any day and with any seed.
func TestEveryKindOfMessIsThere(t *testing.T) {
	for _, day := range []string{"2026-11-24", "2027-01-01", "2028-02-29"} {
		for seed := uint64(1); seed <= 3; seed++ {
			today := when.MustDay(day)
			v := look(demo.Generate(seed, today, demo.Options{}))
			for _, m := range mess(today) {
				if n := m.count(v); n < m.least {
					t.Errorf("%s, seed %d: %d %s, want %d or more", day, seed, n, m.what, m.least)
				}
			}
		}
	}
}

type item struct {
	what  string
	least int
	count func(view) int
}

func people(is func(record.Person) bool) func(view) int {
	return func(v view) int { return v.countPeople(is) }
}

func facts(is func(record.Fact) bool) func(view) int {
	return func(v view) int { return v.countFacts(is) }
}

func exams(is func(*exam.Draft) bool) func(view) int {
	return func(v view) int { return v.countExams(is) }
}

func mess(today when.Day) []item {
	items := []item{
		{"people without a birth date", 7, people(func(p record.Person) bool { return p.Birth.IsZero() })},
		{"people with the year of birth only", 15, people(func(p record.Person) bool { return p.Birth.Precision() == when.Year })},
		{"people with the month of birth only", 4, people(func(p record.Person) bool { return p.Birth.Precision() == when.Month })},
		{"records merged into another", 14, people(func(p record.Person) bool { return p.ReplacedBy != "" })},
		{"records merged into one that was merged", 1, func(v view) int {
			return v.countPeople(func(p record.Person) bool { return v.people[p.ReplacedBy].ReplacedBy != "" })
		}},
		{"people whose facts came under two ids", 4, func(v view) int {
			return v.countPeople(func(p record.Person) bool { return p.ReplacedBy != "" && len(v.facts[p.ID]) > 1 })
		}},
		{"facts of people who are not in the register", 3, func(v view) int { return len(v.facts["tg-9001"]) }},
		{"records not in use", 25, people(func(p record.Person) bool { return p.Inactive })},
		{"deaths", 30, people(func(p record.Person) bool { return p.Deceased == known.Yes && !p.DiedAt.IsZero() })},
		{"deaths of which nobody says when", 2, people(func(p record.Person) bool { return p.Deceased == known.Yes && p.DiedAt.IsZero() })},
		{"people who speak Spanish", 300, people(func(p record.Person) bool { return p.Language == "es" })},
		{"people without a phone", 150, people(func(p record.Person) bool { return p.Phone == "" })},
		{"people without race and ethnicity", 60, people(func(p record.Person) bool { return p.Race == term.Code{} })},
		{"people who are 75 on the first day of the year", 1, people(func(p record.Person) bool { return p.Birth == when.OnDay(when.Date(today.Year()-75, time.January, 1)) })},
		{"people who turn 75 on its second", 1, people(func(p record.Person) bool { return p.Birth == when.OnDay(when.Date(today.Year()-75, time.January, 2)) })},
		{"people who are 18 on its first", 1, people(func(p record.Person) bool { return p.Birth == when.OnDay(when.Date(today.Year()-18, time.January, 1)) })},
		{"people who turn 18 on its second", 1, people(func(p record.Person) bool { return p.Birth == when.OnDay(when.Date(today.Year()-18, time.January, 2)) })},
	}
	return slices.Concat(items, messOfDiagnoses(), messOfVisits(today), messOfExams(today))
}

func messOfDiagnoses() []item {
	active := func(f record.Fact) bool { return f.Standing == record.Stands && f.Ended == known.No }
	over := func(f record.Fact) bool { return f.Standing == record.Stands && f.Ended == known.Yes }
	undated := func(f record.Fact) bool { return f.Start.IsZero() && f.End.IsZero() }
	return []item{
		{"prediabetes (R73.03)", 100, facts(dx("R73.03"))},
		{"prediabetes in SNOMED CT", 10, facts(func(f record.Fact) bool { return has(f, record.Condition, term.SNOMED, "15777000") })},
		{"gestational diabetes", 5, facts(dx("O24.410"))},
		{"past gestational diabetes", 5, facts(dx("Z86.32"))},
		{"diabetes due to another condition (E08)", 4, facts(category("E08."))},
		{"drug-induced diabetes (E09)", 5, facts(category("E09."))},
		{"other diabetes (E13)", 6, facts(category("E13."))},
		{"type 1 diabetes", 20, facts(dx("E10.9"))},
		{"the category E11 alone", 2, facts(dx("E11"))},
		{"diabetes in SNOMED CT alone", 15, facts(func(f record.Fact) bool {
			return has(f, record.Condition, term.SNOMED, "44054006") && len(f.Codes) == 1
		})},
		{"diabetes in two code systems", 30, facts(both(dx("E11.9"), func(f record.Fact) bool { return len(f.Codes) == 2 }))},
		{"refuted or mistaken diabetes", 6, facts(both(dx("E11.9"), func(f record.Fact) bool { return f.Standing == record.Void }))},
		{"active diabetes without dates", 8, facts(both(both(category("E1"), active), undated))},
		{"diabetes that is over, nobody says when", 3, facts(both(both(category("E1"), over), func(f record.Fact) bool { return f.End.IsZero() }))},
		{"diabetes that ended", 4, facts(both(both(category("E1"), over), func(f record.Fact) bool { return !f.End.IsZero() }))},
		{"diabetes known since a month", 4, facts(both(category("E1"), func(f record.Fact) bool { return f.Start.Precision() == when.Month }))},
		{"insulin", 50, facts(dx("Z79.4"))},
		{"HbA1c results", 500, facts(func(f record.Fact) bool { return has(f, record.Observation, term.LOINC, "4548-4") })},
		{"past foot ulcers on the problem list", 3, facts(dx("Z86.31"))},
		{"foot ulcers, closed", 10, facts(both(category("L97."), over))},
		{"foot ulcers, open", 8, facts(both(category("L97."), active))},
		{"dialysis", 6, facts(dx("Z99.2"))},
		{"kidney transplants", 2, facts(dx("Z94.0"))},
		{"Charcot codes", 2, facts(func(f record.Fact) bool { return dx("E11.610")(f) || dx("E10.610")(f) })},
		{"leg artery stents", 4, facts(dx("Z95.820"))},
		{"lost great toes", 2, facts(category("Z89.41"))},
		{"other lost toes", 4, facts(category("Z89.42"))},
		{"lost legs", 7, facts(func(f record.Fact) bool { return category("Z89.51")(f) || category("Z89.61")(f) })},
		{"people who lost both legs", 2, func(v view) int {
			n := 0
			for _, fs := range v.facts {
				right := slices.ContainsFunc(fs, func(f record.Fact) bool { return dx("Z89.511")(f) || dx("Z89.611")(f) })
				left := slices.ContainsFunc(fs, func(f record.Fact) bool { return dx("Z89.512")(f) || dx("Z89.612")(f) })
				if right && left {
					n++
				}
			}
			return n
		}},
	}
}

func messOfVisits(today when.Day) []item {
	visit := func(is func(record.Fact) bool) func(view) int {
		return facts(func(f record.Fact) bool { return f.Kind == record.Encounter && is(f) })
	}
	code := func(c term.Code) func(record.Fact) bool {
		return func(f record.Fact) bool { return slices.Contains(f.Codes, c) }
	}
	hospice := func(kind record.Kind) func(view) int {
		return facts(func(f record.Fact) bool { return has(f, kind, term.SNOMED, "385763009") })
	}
	booked := func(is func(record.Fact) bool) func(view) int {
		return facts(func(f record.Fact) bool { return f.Kind == record.Appointment && is(f) })
	}
	day := func(f record.Fact) when.Day { d, _ := f.Start.Days(nil); return d }
	return []item{
		{"visits without an end", 8, visit(func(f record.Fact) bool { return f.End.IsZero() && f.Standing == record.Stands })},
		{"visits called off", 25, visit(func(f record.Fact) bool { return f.Standing == record.Void })},
		{"visits without a code", 3, visit(func(f record.Fact) bool { return len(f.Codes) == 0 })},
		{"emergency visits", 10, visit(func(f record.Fact) bool { return f.Category == "EMER" })},
		{"hospital stays", 8, visit(func(f record.Fact) bool { return f.Category == "IMP" })},
		{"yearly wellness visits", 20, visit(code(term.Code{System: term.HCPCS, Code: "G0439"}))},
		{"new-patient visits", 20, visit(code(term.Code{System: term.CPT, Code: "99203"}))},
		{"hospice orders", 2, hospice(record.Order)},
		{"hospice care", 2, hospice(record.Procedure)},
		{"discharges to hospice", 1, visit(func(f record.Fact) bool { return len(f.Disposition) > 0 })},
		{"appointments today", 30, booked(func(f record.Fact) bool { return day(f) == today && f.Standing == record.Planned })},
		{"appointments in the coming days", 150, booked(func(f record.Fact) bool { return day(f) > today })},
		{"appointments called off", 3, booked(func(f record.Fact) bool { return f.Standing == record.Void })},
		{"foot ulcers that only a letter tells of", 1, func(v view) int {
			n := 0
			for id, fs := range v.facts {
				if len(v.exams[id]) == 0 || !seenSince(v.exams[id], today-6) {
					n += len(slices.DeleteFunc(slices.Clone(fs), func(f record.Fact) bool { return !strings.Contains(f.Text, "hospital letter") }))
				}
			}
			return n
		}},
	}
}

func seenSince(visits []demo.Visit, day when.Day) bool {
	on, _ := visits[len(visits)-1].Draft.At.Days(nil)
	return on >= day
}

func messOfExams(today when.Day) []item {
	parts := func(d *exam.Draft) (n int) {
		done := d.Done()
		for _, is := range []bool{done.Visual, done.Filament, done.Pulses} {
			if is {
				n++
			}
		}
		return n
	}
	anyLoss := func(level foot.Level) func(*exam.Draft) bool {
		return func(d *exam.Draft) bool { return d.Right.Loss.Level == level || d.Left.Loss.Level == level }
	}
	open := func(u wound.Ulcer) bool { return u.Open() == known.Yes }
	infected := func(u wound.Ulcer) bool { return u.Infection.Pus == known.AnswerYes }
	return []item{
		{"whole exams", 400, exams(func(d *exam.Draft) bool { return d.Done().All() })},
		{"exams of pulses alone", 2, exams(func(d *exam.Draft) bool { return d.Done() == exam.Parts{Pulses: true} })},
		{"exams of looking alone", 2, exams(func(d *exam.Draft) bool { return d.Done() == exam.Parts{Visual: true} })},
		{"exams of two parts", 2, exams(func(d *exam.Draft) bool { return parts(d) == 2 })},
		{"refused monofilaments", 2, exams(func(d *exam.Draft) bool {
			return slices.Contains(d.Right.Test.Filament[:], known.Refused) || slices.Contains(d.Left.Test.Filament[:], known.Refused)
		})},
		{"past ulcers that somebody is not sure of", 2, exams(func(d *exam.Draft) bool { return d.Ask.UlcerHistory == known.Unsure })},
		{"exams of feet without toes", 5, exams(anyLoss(foot.ToesOnly))},
		{"exams with one leg", 2, exams(func(d *exam.Draft) bool { return d.Right.Loss.FootGone() != d.Left.Loss.FootGone() })},
		{"exams with no foot left", 1, exams(func(d *exam.Draft) bool { return d.Right.Loss.FootGone() && d.Left.Loss.FootGone() })},
		{"exams with pressures", 5, exams(func(d *exam.Draft) bool { return d.Arms.Right.Known() })},
		{"exams in Spanish", 60, exams(func(d *exam.Draft) bool { return d.Teach.Language == "es" })},
		{"looks at open ulcers", 60, exams(func(d *exam.Draft) bool { return slices.ContainsFunc(d.Ulcers, open) })},
		{"looks at healed ulcers", 8, exams(func(d *exam.Draft) bool { return len(d.Ulcers) > 0 && !open(d.Ulcers[0]) })},
		{"infected ulcers", 1, exams(func(d *exam.Draft) bool { return slices.ContainsFunc(d.Ulcers, infected) })},
		{"ulcers with fever", 1, exams(func(d *exam.Draft) bool { return d.Vitals.TemperatureC.Value > 380 })},
		{"suspected Charcot feet in the last days", 1, exams(func(d *exam.Draft) bool {
			on, _ := d.At.Days(nil)
			return !d.Left.Feel.Temperatures.IsZero() && on >= today-5
		})},
		{"gangrene", 1, exams(func(d *exam.Draft) bool { return d.Left.Look.Gangrene == wound.ToeGangrene })},
		{"overrides", 1, exams(func(d *exam.Draft) bool { return d.Override != nil })},
		{"amendments", 4, exams(func(d *exam.Draft) bool { return d.Revision == 2 })},
		{"ulcers that shrink by half in four weeks", 3, ulcerTrend(func(share float64) bool { return share <= 0.5 })},
		{"ulcers that do not", 2, ulcerTrend(func(share float64) bool { return share > 0.7 })},
		{"imported looks", 20, facts(both(observed("401191002"), func(f record.Fact) bool { return f.Value.Given }))},
		{"people with some of the three codes", 4, func(v view) int {
			n := 0
			for _, fs := range v.facts {
				seen := [3]bool{slices.ContainsFunc(fs, observed("401191002")), slices.ContainsFunc(fs, observed("134388005")), slices.ContainsFunc(fs, observed("91161007"))}
				if seen != [3]bool{} && seen != [3]bool{true, true, true} {
					n++
				}
			}
			return n
		}},
		{"imported parts that were refused", 4, facts(both(anyPart, func(f record.Fact) bool { return !f.Value.Given && f.Value.Absent != "" }))},
		{"imported parts withdrawn", 2, facts(both(anyPart, func(f record.Fact) bool { return f.Standing == record.Void }))},
		{"imported parts not final", 2, facts(both(anyPart, func(f record.Fact) bool { return f.Standing == record.Preliminary }))},
		{"imported parts dated to a month", 2, facts(both(anyPart, func(f record.Fact) bool { return f.Start.Precision() == when.Month }))},
	}
}

// ulcerTrend counts the people whose ulcer has that share of its first area at
// the first look after 28 days.
func ulcerTrend(is func(share float64) bool) func(view) int {
	return func(v view) int {
		n := 0
		for _, visits := range v.exams {
			first, start := 0, when.Day(0)
			for _, x := range visits {
				if len(x.Draft.Ulcers) == 0 || !x.Draft.Ulcers[0].Size.LengthMM.Known() {
					continue
				}
				s := x.Draft.Ulcers[0].Size
				area := s.LengthMM.Value * s.WidthMM.Value
				on, _ := x.Draft.At.Days(nil)
				if first == 0 {
					first, start = area, on
				} else if on >= start+28 {
					if is(float64(area) / float64(first)) {
						n++
					}
					break
				}
			}
		}
		return n
	}
}
