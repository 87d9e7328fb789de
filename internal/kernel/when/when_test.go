package when

import (
	"testing"
	"time"
)

func TestDaysAgreeWithTheStandardLibraryOverFourHundredYears(t *testing.T) {
	at := time.Date(1800, 1, 1, 0, 0, 0, 0, time.UTC)
	for d := Date(1800, 1, 1); d <= Date(2200, 1, 1); d++ {
		y, m, day := d.YMD()
		if y != at.Year() || m != at.Month() || day != at.Day() || d.Weekday() != at.Weekday() {
			t.Fatalf("day %d is %v, the library says %v", d, d, at)
		}
		at = at.AddDate(0, 0, 1)
	}
	if Date(1, 1, 1) != 1 {
		t.Errorf("0001-01-01 is %d, want 1", Date(1, 1, 1))
	}
}

func TestMonthEndsAreClipped(t *testing.T) {
	rows := []struct {
		from   string
		months int
		want   string
	}{
		// risk reference, PLN-6: category 3 seen on 2025-01-31.
		{"2025-01-31", 1, "2025-02-28"}, {"2025-01-31", 3, "2025-04-30"},
		{"2024-01-31", 1, "2024-02-29"}, {"2024-02-29", 12, "2025-02-28"},
		{"2025-12-15", 1, "2026-01-15"}, {"2025-03-31", -1, "2025-02-28"}, {"2025-06-30", 12, "2026-06-30"},
	}
	for _, r := range rows {
		if got := MustDay(r.from).AddMonths(r.months).String(); got != r.want {
			t.Errorf("%s + %d months = %s, want %s", r.from, r.months, got, r.want)
		}
	}
}

func TestWorkingDaysSkipTheWeekend(t *testing.T) {
	// tests reference NG-8: found on a Friday, referral due Monday, triage Tuesday.
	friday := MustDay("2026-11-20")
	if friday.Weekday() != time.Friday {
		t.Fatal("the fixture is not a Friday")
	}
	if got := friday.AddWorkingDays(1); got.Weekday() != time.Monday || got-friday != 3 {
		t.Errorf("one working day after Friday is %v", got)
	}
	if got := friday.AddWorkingDays(2); got.Weekday() != time.Tuesday {
		t.Errorf("two working days after Friday is %v", got)
	}
	if got := MustDay("2026-11-21").AddWorkingDays(1); got.Weekday() != time.Monday {
		t.Errorf("one working day after Saturday is %v", got)
	}
}

func TestAgeInWholeYears(t *testing.T) {
	// measures reference 1.4: period starting 2018-01-01.
	rows := []struct {
		birth, on string
		want      int
	}{
		{"2000-01-01", "2018-01-01", 18}, {"2000-01-02", "2018-01-01", 17},
		{"1943-01-01", "2018-01-01", 75}, {"1943-01-02", "2018-01-01", 74},
		{"2000-02-29", "2018-02-28", 17}, {"2000-02-29", "2018-03-01", 18},
	}
	for _, r := range rows {
		if got := Age(MustDay(r.birth), MustDay(r.on)); got != r.want {
			t.Errorf("born %s, on %s: %d, want %d", r.birth, r.on, got, r.want)
		}
	}
}

func TestMomentsKeepTheirPrecision(t *testing.T) {
	rows := []struct {
		text      string
		precision Precision
		low, high string
	}{
		{"2018", Year, "2018-01-01", "2018-12-31"},
		{"2018-02", Month, "2018-02-01", "2018-02-28"},
		{"2018-12", Month, "2018-12-01", "2018-12-31"},
		{"2018-05-10", DayOnly, "2018-05-10", "2018-05-10"},
		{"2018-05-10T15:00Z", Instant, "2018-05-10", "2018-05-10"},
		{"2018-12-31T23:59:60Z", Instant, "2018-12-31", "2018-12-31"},
		{"2018-12-31T22:00:00-05:00", Instant, "2018-12-31", "2018-12-31"},
		{"2018-05-10T15:00:00.123456+02:00", Instant, "2018-05-10", "2018-05-10"},
		{"2018-05-10T15:00:00", LocalTime, "2018-05-10", "2018-05-10"},
	}
	for _, r := range rows {
		m, err := ParseMoment(r.text)
		if err != nil {
			t.Errorf("%s: %v", r.text, err)
			continue
		}
		low, high := m.Days(nil)
		if m.Precision() != r.precision || low.String() != r.low || high.String() != r.high || m.String() != r.text {
			t.Errorf("%s: precision %d, %v to %v, text %q", r.text, m.Precision(), low, high, m.String())
		}
	}
	for _, bad := range []string{"", "18", "2018-13", "2018-02-30", "2018-05-10T", "2018-05-10T25:00:00Z", "2018-05-10T15:00:00+25:00",
		"2018-05-10 15:00:00Z", "2018-05-10T15:00:61Z", "2018-05-10T15:00:00.Z", "2018-05-10T15:00:00Zz", "yesterday", "+018"} {
		if m, err := ParseMoment(bad); err == nil {
			t.Errorf("%q was read as %v", bad, m)
		}
	}
}

func TestAnInstantFallsOnTheDayOfTheZone(t *testing.T) {
	// measures reference 1.4 and case C095: 31 December 22:00 -05:00 is still
	// 2018 in New York and already 2019 in UTC.
	m := MustMoment("2018-12-31T22:00:00-05:00")
	if d, _ := m.Days(time.UTC); d.String() != "2019-01-01" {
		t.Errorf("in UTC: %v", d)
	}
	if d, _ := m.Days(time.FixedZone("", -5*3600)); d.String() != "2018-12-31" {
		t.Errorf("at -05:00: %v", d)
	}
	if ms, ok := m.UnixMilli(); !ok || ms != time.Date(2019, 1, 1, 3, 0, 0, 0, time.UTC).UnixMilli() {
		t.Errorf("instant %d, %v", ms, ok)
	}
}

func FuzzParseMoment(f *testing.F) {
	for _, s := range []string{"2018", "2018-05", "2018-05-10", "2018-05-10T15:00:00.5+01:00", "2018-05-10T15:00Z", "9999-12-31T23:59:60-14:00"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		m, err := ParseMoment(s)
		if err != nil {
			return
		}
		low, high := m.Days(nil)
		if m.String() != s || low > high || low == 0 {
			t.Errorf("%q gives %q, %v to %v", s, m.String(), low, high)
		}
		// The standard library agrees wherever it reads the text too.
		if lib, err := time.Parse(time.RFC3339Nano, s); err == nil {
			if ms, ok := m.UnixMilli(); !ok || ms != lib.Truncate(time.Millisecond).UnixMilli() {
				t.Errorf("%q is %d here and %d in the library", s, ms, lib.UnixMilli())
			}
		}
	})
}
