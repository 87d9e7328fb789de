package plan_test

import (
	"testing"

	"tengram/internal/kernel/danger"
	"tengram/internal/kernel/plan"
	"tengram/internal/kernel/when"
)

// The days are counted by hand on the calendar of 2026. One working day is of
// NICE NG19 (second hand), two, four and eight weeks stand for its 2-4 and 6-8
// weeks, four days are of the fast-track pathway (confirmed); the rest of the
// ladder is our proposal.
func TestADeadlineIsTheLastDayOfItsUrgency(t *testing.T) {
	for _, tc := range []struct {
		on   string
		want map[danger.Urgency]string
	}{
		{"2026-03-02", map[danger.Urgency]string{ // a Monday
			danger.Now: "2026-03-02", danger.SameDay: "2026-03-02", danger.OneWorkingDay: "2026-03-03", danger.FourDays: "2026-03-06",
			danger.TwoWeeks: "2026-03-16", danger.FourWeeks: "2026-03-30", danger.EightWeeks: "2026-04-27", danger.ThreeMonths: "2026-06-02", danger.Routine: ""}},
		{"2026-03-06", map[danger.Urgency]string{danger.OneWorkingDay: "2026-03-09", danger.FourDays: "2026-03-10"}}, // a Friday
		{"2026-03-07", map[danger.Urgency]string{danger.SameDay: "2026-03-07", danger.OneWorkingDay: "2026-03-09"}},  // a Saturday
		{"2026-03-08", map[danger.Urgency]string{danger.OneWorkingDay: "2026-03-09"}},                                // a Sunday
		{"2025-11-30", map[danger.Urgency]string{danger.ThreeMonths: "2026-02-28"}},                                  // February has no 30th
		{"2026-12-31", map[danger.Urgency]string{danger.OneWorkingDay: "2027-01-01", danger.TwoWeeks: "2027-01-14"}}, // holidays are the practice's to know
	} {
		for u, want := range tc.want {
			if got := plan.Deadline(when.MustDay(tc.on), u).String(); got != want {
				t.Errorf("%v from %s is %q, want %q", u, tc.on, got, want)
			}
		}
	}
}

// NG-8: found on Friday, working days Monday to Friday: referral by the end of
// Monday, triage by the end of Tuesday (NICE NG19, second hand). The hour of
// Friday, 17:00 in the case, changes nothing: days are counted, not hours.
func TestAnActiveProblemFoundOnFridayIsReferredOnMondayAndTriagedOnTuesday(t *testing.T) {
	friday := when.MustDay("2026-03-06")
	p := assessed(us(), friday, with(ulcer)).Plan
	refer, ok := action(p, "refer-foot-team")
	if !ok || refer.Due.String() != "2026-03-09" || refer.To != plan.FootTeam {
		t.Errorf("referral %+v", refer)
	}
	if got := plan.TriageBy(friday).String(); got != "2026-03-10" {
		t.Errorf("triage by %s, want 2026-03-10", got)
	}
	triage := 0
	for _, r := range refer.Because {
		if r.Says == "The foot team triages within 1 further working day: by 2026-03-10." && r.Source != nil && r.Source.ID == "nice-ng19" {
			triage++
		}
	}
	if triage != 1 {
		t.Errorf("triage is named %d times in %+v", triage, refer.Because)
	}
}
