// Package when holds dates and times in the precision in which they came.
//
// A Day is a calendar day without a zone. A Moment is what a record said: a
// year, a month, a day or an instant with its offset; it answers which days it
// may mean, and a rule must say what it does with less than a day.
package when

import (
	"fmt"
	"time"
)

// Day is a calendar day: 1 is 0001-01-01 in the proleptic Gregorian calendar.
// The zero value is no day at all.
type Day int32

// unixEpoch is the Day of 1970-01-01.
const unixEpoch Day = 719163

// Date makes a Day. The caller gives a real calendar date; ParseDay checks one
// that came from outside.
func Date(year int, month time.Month, day int) Day {
	return unixEpoch + Day(time.Date(year, month, day, 0, 0, 0, 0, time.UTC).Unix()/86400)
}

// DayOf is the calendar day of an instant in its own location.
func DayOf(t time.Time) Day {
	y, m, d := t.Date()
	return Date(y, m, d)
}

// ParseDay reads YYYY-MM-DD and refuses days that no calendar has.
func ParseDay(s string) (Day, error) {
	t, err := time.Parse(time.DateOnly, s)
	if err != nil {
		return 0, fmt.Errorf("date %q is not a calendar day written YYYY-MM-DD", s)
	}
	return DayOf(t), nil
}

// MustDay is ParseDay for constants in code and tests; it panics on a bad date.
func MustDay(s string) Day {
	d, err := ParseDay(s)
	if err != nil {
		panic(err)
	}
	return d
}

// IsZero reports the absence of a day.
func (d Day) IsZero() bool { return d == 0 }

func (d Day) time() time.Time { return time.Unix(int64(d-unixEpoch)*86400, 0).UTC() }

// YMD returns the calendar parts.
func (d Day) YMD() (year int, month time.Month, day int) { return d.time().Date() }

// Year returns the calendar year, 0 for no day.
func (d Day) Year() int {
	if d == 0 {
		return 0
	}
	return d.time().Year()
}

// Weekday returns the day of the week.
func (d Day) Weekday() time.Weekday { return d.time().Weekday() }

// String returns YYYY-MM-DD, or "" for no day.
func (d Day) String() string {
	if d == 0 {
		return ""
	}
	return d.time().Format(time.DateOnly)
}

// AddDays moves by calendar days.
func (d Day) AddDays(n int) Day { return d + Day(n) }

// AddMonths moves by calendar months. A day that the target month lacks becomes
// its last day: 31 January plus one month is 28 (or 29) February.
func (d Day) AddMonths(n int) Day {
	y, m, day := d.YMD()
	first := time.Date(y, m+time.Month(n), 1, 0, 0, 0, 0, time.UTC)
	last := time.Date(first.Year(), first.Month()+1, 0, 0, 0, 0, 0, time.UTC).Day()
	return Date(first.Year(), first.Month(), min(day, last))
}

// AddWorkingDays moves forward by n days of Monday to Friday; 0 stays where it
// is, even on a weekend. Public holidays are the practice's to know.
func (d Day) AddWorkingDays(n int) Day {
	for n > 0 {
		d++
		if wd := d.Weekday(); wd != time.Saturday && wd != time.Sunday {
			n--
		}
	}
	return d
}

// Age is the number of whole years from birth to on. A person born on
// 29 February has the birthday on 1 March in a year without that day.
func Age(birth, on Day) int {
	by, bm, bd := birth.YMD()
	y, m, d := on.YMD()
	age := y - by
	if m < bm || (m == bm && d < bd) {
		age--
	}
	return age
}

// MarshalText writes YYYY-MM-DD, or nothing for no day.
func (d Day) MarshalText() ([]byte, error) { return []byte(d.String()), nil }

// UnmarshalText reads YYYY-MM-DD, or nothing.
func (d *Day) UnmarshalText(b []byte) (err error) {
	if len(b) == 0 {
		*d = 0
		return nil
	}
	*d, err = ParseDay(string(b))
	return err
}
