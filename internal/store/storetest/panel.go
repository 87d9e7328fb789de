package storetest

import (
	"context"
	"fmt"
	"slices"
	"testing"

	"tengram/internal/clinic"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/measure"
	"tengram/internal/kernel/record"
	"tengram/internal/kernel/source"
	"tengram/internal/kernel/when"
	"tengram/internal/kernel/wound"
)

// derive saves rows for people who are brought first.
func derive(t testing.TB, s clinic.Store, rows ...clinic.Derived) {
	t.Helper()
	ctx := context.Background()
	var b clinic.ImportBatch
	for _, r := range rows {
		b.People = append(b.People, record.Person{ID: r.Standing.Person})
	}
	bring(t, s, b)
	for i := range rows {
		rows[i].Version = must[record.Record](t)(s.Record(ctx, rows[i].Standing.Person)).Version
	}
	if err := s.SaveDerived(ctx, rows); err != nil {
		t.Fatal(err)
	}
}

func row(id, family, given string, place int64, due when.Day) clinic.Derived {
	st := clinic.Standing{
		Person: id, Family: family, Given: given, Birth: when.MustMoment("1950"), Diabetes: known.Yes, Watched: true,
		RiskLow: -1, RiskHigh: -1, Due: due, Why: "Because.", Clinician: "dr-1", Site: "north",
	}
	if due != 0 {
		st.OverdueAfter = due + 30
	}
	return clinic.Derived{Standing: st, Place: place}
}

func panel(t *testing.T, open func(*testing.T) clinic.Store) {
	ctx := context.Background()
	s := open(t)
	rows := []clinic.Derived{
		row("p1", "Núñez", "Ana María", 20, today-5),
		row("p2", "O’Brien", "Zoë", 10, today),
		row("p3", "Muller", "Jörg", 5, today+1),
		row("p4", "Nunez", "Bo", 10, today-9),
		row("p5", "", "", 0, 0),
		row("p6", "Ånström", "İlker", 5, today+90),
		row("p7", "Zzz", "", 99, 0), // watched, and not recalled
	}
	rows[2].Standing.Diabetes = known.Unknown
	rows[3].Standing.Clinician, rows[3].Standing.Site = "dr-2", "south"
	rows[0].Standing.NextVisit = today + 2
	rows[5].Standing.NextVisit = today + 8
	rows[5].Standing.OpenUlcers, rows[1].Standing.OpenUlcers = 1, 2
	rows[4].Standing.Watched = false
	derive(t, s, rows...)
	for _, tc := range []struct {
		name  string
		query clinic.PanelQuery
		want  []string
	}{
		{"the order of calling puts who is due first and who is not recalled last", clinic.PanelQuery{Today: today}, []string{"p2", "p4", "p1", "p3", "p6", "p5", "p7"}},
		{"equal places go by id", clinic.PanelQuery{Today: today, Order: "due", People: []string{"p4", "p2"}}, []string{"p2", "p4"}},
		{"due by today", clinic.PanelQuery{Today: today, DueBy: today}, []string{"p2", "p4", "p1"}},
		{"due by tomorrow", clinic.PanelQuery{Today: today, DueBy: today + 1}, []string{"p2", "p4", "p1", "p3"}},
		{"due by last week", clinic.PanelQuery{Today: today, DueBy: today - 7}, []string{"p4"}},
		{"the diabetes panel leaves out who is not known to have it", clinic.PanelQuery{Today: today, Diabetes: true, DueBy: today + 100}, []string{"p2", "p4", "p1", "p6"}},
		{"names go by letters without their accents", clinic.PanelQuery{Order: "name", DueBy: today + 100}, []string{"p6", "p3", "p1", "p4", "p2"}},
		{"ulcers first", clinic.PanelQuery{Order: "ulcers", Limit: 3}, []string{"p2", "p6", "p5"}},
		{"text is part of a name, without accents", clinic.PanelQuery{Order: "name", Text: "nune"}, []string{"p1", "p4"}},
		{"text with accents finds the same", clinic.PanelQuery{Order: "name", Text: "  NÚÑE "}, []string{"p1", "p4"}},
		{"every word must be there, in any order", clinic.PanelQuery{Order: "name", Text: "mar nunez"}, []string{"p1"}},
		{"text is part of an id", clinic.PanelQuery{Order: "name", Text: "P3"}, []string{"p3"}},
		{"text is no pattern", clinic.PanelQuery{Text: "%"}, nil},
		{"clinician and site", clinic.PanelQuery{Clinician: "dr-2", Site: "south"}, []string{"p4"}},
		{"clinician of another site", clinic.PanelQuery{Clinician: "dr-2", Site: "north"}, nil},
		{"visits from a day on", clinic.PanelQuery{Today: today, VisitFrom: today}, []string{"p1", "p6"}},
		{"visits of some days", clinic.PanelQuery{Today: today, VisitFrom: today + 3, VisitTo: today + 8}, []string{"p6"}},
		{"visits up to a day", clinic.PanelQuery{Today: today, VisitTo: today + 2}, []string{"p1"}},
		{"nobody of these", clinic.PanelQuery{People: []string{"x"}}, nil},
		{"an empty list of people is nobody", clinic.PanelQuery{People: []string{}}, nil},
	} {
		t.Run(tc.name, func(t *testing.T) {
			got, total, err := s.Standings(ctx, tc.query)
			if err != nil {
				t.Fatal(err)
			}
			same(t, "people", idsOf(got), tc.want)
			if tc.query.Limit == 0 {
				same(t, "total", total, len(tc.want))
			}
			for _, st := range got {
				i := slices.IndexFunc(rows, func(d clinic.Derived) bool { return d.Standing.Person == st.Person })
				same(t, "row of "+st.Person, st, rows[i].Standing)
			}
		})
	}
	t.Run("pages of every size cover the list once", func(t *testing.T) {
		for _, order := range []string{"due", "name", "ulcers"} {
			whole, total, err := s.Standings(ctx, clinic.PanelQuery{Today: today, Order: order})
			if err != nil {
				t.Fatal(err)
			}
			for size := 1; size <= 7; size++ {
				var paged []clinic.Standing
				for offset := 0; offset < total; offset += size {
					page, n, err := s.Standings(ctx, clinic.PanelQuery{Today: today, Order: order, Limit: size, Offset: offset})
					if err != nil {
						t.Fatal(err)
					}
					same(t, "total", n, total)
					paged = append(paged, page...)
				}
				same(t, fmt.Sprintf("order %s in pages of %d", order, size), idsOf(paged), idsOf(whole))
			}
			page, n, err := s.Standings(ctx, clinic.PanelQuery{Today: today, Order: order, Limit: 5, Offset: 100})
			if err != nil || len(page) != 0 || n != total {
				t.Fatalf("a page past the end holds %d of %d, error %v", len(page), n, err)
			}
		}
	})
	t.Run("an order that there is not is refused", func(t *testing.T) {
		_, _, err := s.Standings(ctx, clinic.PanelQuery{Order: "shoe size"})
		code(t, err, clinic.Invalid)
	})
}

func idsOf(rows []clinic.Standing) []string {
	var ids []string
	for _, r := range rows {
		ids = append(ids, r.Person)
	}
	return ids
}

func staleRows(t *testing.T, open func(*testing.T) clinic.Store) {
	ctx := context.Background()
	stale := func(t *testing.T, s clinic.Store, want ...string) {
		t.Helper()
		same(t, "stale", must[[]string](t)(s.Stale(ctx, "", 100)), want)
	}
	mark := func(t *testing.T, s clinic.Store, rules string, day when.Day) {
		t.Helper()
		if err := s.MarkStale(ctx, rules, day); err != nil {
			t.Fatal(err)
		}
	}
	t.Run("whoever came is stale until rows are saved", func(t *testing.T) {
		s := open(t)
		withPeople(t, s, 3)
		stale(t, s, "p1", "p2", "p3")
		same(t, "behind p1, one", must[[]string](t)(s.Stale(ctx, "p1", 1)), []string{"p2"})
		derive(t, s, row("p1", "", "", 1, 0), row("p3", "", "", 1, 0))
		stale(t, s, "p2")
	})
	t.Run("a row of an older record changes nothing", func(t *testing.T) {
		s := open(t)
		derive(t, s, row("p1", "Right", "", 1, 0))
		old := row("p1", "Wrong", "", 1, 0)
		old.Version = must[record.Record](t)(s.Record(ctx, "p1")).Version
		bring(t, s, clinic.ImportBatch{Facts: of("p1", fact("Observation/1", "2020"))})
		if err := s.SaveDerived(ctx, []clinic.Derived{old}); err != nil {
			t.Fatal(err)
		}
		stale(t, s, "p1")
		rows, _, err := s.Standings(ctx, clinic.PanelQuery{})
		if err != nil {
			t.Fatal(err)
		}
		same(t, "family", rows[0].Family, "Right")
	})
	t.Run("other rules make everybody stale, the same rules nobody", func(t *testing.T) {
		s := open(t)
		mark(t, s, "one", today)
		r := row("p1", "", "", 1, 0)
		r.Rules = "one"
		derive(t, s, r)
		mark(t, s, "one", today)
		stale(t, s)
		mark(t, s, "two", today)
		stale(t, s, "p1")
		derive(t, s, r) // by the old rules
		stale(t, s, "p1")
		r.Rules = "two"
		derive(t, s, r)
		stale(t, s)
	})
	t.Run("a row that holds until a day is stale from that day on", func(t *testing.T) {
		s := open(t)
		mark(t, s, "", today)
		r := row("p1", "", "", 1, 0)
		r.Until = today + 3
		derive(t, s, r, row("p2", "", "", 1, 0))
		mark(t, s, "", today+2)
		stale(t, s)
		mark(t, s, "", today+3)
		stale(t, s, "p1")
		mark(t, s, "", today+3)
		stale(t, s, "p1")
	})
}

func derivedRows(t *testing.T, open func(*testing.T) clinic.Store) {
	ctx := context.Background()
	s := open(t)
	result := func(id string, year int, in, met, excluded bool, quality ...string) measure.Result {
		return measure.Result{
			Measure: id, Period: measure.Year(year), Patient: "x", InitialPopulation: in, Denominator: in,
			DenominatorExclusion: excluded, Numerator: met, Stratum: "high", Quality: quality,
			Because: source.Because{{Says: "Because.", Source: &source.Source{ID: "s", Standing: source.Memory}}},
			Gaps:    []measure.Gap{{Part: "pulses", Says: "no pulses"}},
		}
	}
	one, two, three := row("p1", "One", "", 1, today-1), row("p2", "Two", "", 2, today-60), row("p3", "Three", "", 3, 0)
	one.Standing.RiskLow, one.Standing.RiskHigh, one.Standing.LastExam = 3, 3, today-200
	two.Standing.RiskLow, two.Standing.RiskHigh, two.Standing.LastExam = 1, 2, today-100
	three.Standing.Diabetes = known.No
	one.Standing.OpenUlcers, two.Standing.OpenUlcers = 1, 2
	one.Measures = []measure.Result{result("foot-exam", 2026, true, true, false), result("foot-exam", 2025, true, false, true)}
	two.Measures = []measure.Result{result("foot-exam", 2026, true, false, false, "a date is missing")}
	one.Ulcers = []clinic.FollowedUlcer{{
		First: today - 9, On: today, Exam: "e1", Last: wound.Ulcer{ID: "u1", Side: 1}, Result: wound.Result{ID: "u1", Side: 1},
		Sizes: []clinic.UlcerSize{{On: today - 9, Exam: "e0", AreaMM2: 120, Method: wound.Ellipse}},
	}}
	two.Ulcers = []clinic.FollowedUlcer{{First: today - 30, Last: wound.Ulcer{ID: "u2"}}, {First: today - 2, Last: wound.Ulcer{ID: "u3"}}}
	derive(t, s, one, two, three)
	check := func(t *testing.T) {
		t.Helper()
		var got []clinic.MeasurePerson
		for p, err := range s.Measured(ctx, "foot-exam", 2026) {
			if err != nil {
				t.Fatal(err)
			}
			got = append(got, p)
		}
		same(t, "results", got, []clinic.MeasurePerson{{Standing: one.Standing, Result: one.Measures[0]}, {Standing: two.Standing, Result: two.Measures[0]}})
		same(t, "tally of 2026", must[measure.Counts](t)(s.Tally(ctx, "foot-exam", 2026)), measure.Counts{People: 2, InitialPopulation: 2, Denominator: 2, Numerator: 1, Doubtful: 1})
		same(t, "tally of 2025", must[measure.Counts](t)(s.Tally(ctx, "foot-exam", 2025)), measure.Counts{People: 1, InitialPopulation: 1, Denominator: 1, DenominatorExclusion: 1})
		same(t, "tally of another measure", must[measure.Counts](t)(s.Tally(ctx, "other", 2026)), measure.Counts{})
		same(t, "ulcers, longest open first", must[[]clinic.UlcerRow](t)(s.OpenUlcers(ctx)), []clinic.UlcerRow{
			{Standing: two.Standing, FollowedUlcer: two.Ulcers[0]}, {Standing: one.Standing, FollowedUlcer: one.Ulcers[0]}, {Standing: two.Standing, FollowedUlcer: two.Ulcers[1]},
		})
		same(t, "counts", must[clinic.Counts](t)(s.Counts(ctx, today)), clinic.Counts{
			People: 3, Diabetes: 2, Due: 2, Overdue: 1, ByRisk: [4]int{0, 0, 0, 1}, Unsettled: 1, OpenUlcers: 3,
		})
	}
	t.Run("come back whole, in order and added up", check)
	t.Run("are replaced and not added to", func(t *testing.T) {
		if err := s.SaveDerived(ctx, []clinic.Derived{one, two, three}); err != nil {
			t.Fatal(err)
		}
		check(t)
	})
	t.Run("a walk over results may stop", func(t *testing.T) {
		for range s.Measured(ctx, "foot-exam", 2026) {
			break
		}
		check(t)
	})
	t.Run("go when their person goes", func(t *testing.T) {
		bring(t, s, clinic.ImportBatch{Remove: []string{"Patient/p2"}})
		same(t, "ulcers", len(must[[]clinic.UlcerRow](t)(s.OpenUlcers(ctx))), 1)
		same(t, "tally", must[measure.Counts](t)(s.Tally(ctx, "foot-exam", 2026)).People, 1)
	})
}
