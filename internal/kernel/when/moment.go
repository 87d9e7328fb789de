package when

import (
	"fmt"
	"strconv"
	"strings"
	"time"
)

// Precision says how much of a date was given.
type Precision uint8

// The precisions. Span is somewhere between two moments. LocalTime is a clock
// time without an offset: its day is known, its place in universal time is not.
const (
	None Precision = iota
	Span
	Year
	Month
	DayOnly
	LocalTime
	Instant
)

// Moment is a date or time as a record gave it. The zero value is no moment.
type Moment struct {
	text      string
	precision Precision
	low, high Day // as written, in the moment's own offset
	unixMilli int64
}

// ParseMoment reads YYYY, YYYY-MM, YYYY-MM-DD, or a day with a clock time
// (hh:mm, optional seconds and fraction) and an offset (Z or +hh:mm). A time
// without an offset is kept as LocalTime. Second 60 is read as the last second
// of its minute. Two of these with a slash between are a Span, as Between makes
// it. The text is kept as it came.
func ParseMoment(s string) (Moment, error) {
	bad := func() (Moment, error) {
		return Moment{}, fmt.Errorf("date %q is not YYYY, YYYY-MM, YYYY-MM-DD or YYYY-MM-DDThh:mm:ss with an offset", s)
	}
	switch {
	case strings.Contains(s, "/"):
		if m, ok := parseSpan(s); ok {
			return m, nil
		}
		return bad()
	case len(s) == 4:
		y, ok := digits(s)
		if !ok || y < 1 {
			return bad()
		}
		return Moment{s, Year, Date(y, 1, 1), Date(y, 12, 31), 0}, nil
	case len(s) == 7:
		first, err := ParseDay(s + "-01")
		if err != nil {
			return bad()
		}
		return Moment{s, Month, first, first.AddMonths(1) - 1, 0}, nil
	case len(s) == 10:
		d, err := ParseDay(s)
		if err != nil {
			return bad()
		}
		return Moment{s, DayOnly, d, d, 0}, nil
	case len(s) < 16 || s[10] != 'T':
		return bad()
	}
	d, err := ParseDay(s[:10])
	if err != nil {
		return bad()
	}
	clock, rest := s[11:16], s[16:]
	h, okH := digits(clock[:2])
	m, okM := digits(clock[3:])
	if !okH || !okM || clock[2] != ':' || h > 23 || m > 59 {
		return bad()
	}
	milli := int64(h)*3600_000 + int64(m)*60_000
	if strings.HasPrefix(rest, ":") && len(rest) >= 3 {
		sec, ok := digits(rest[1:3])
		if !ok || sec > 60 {
			return bad()
		}
		milli += int64(min(sec, 59)) * 1000
		rest = rest[3:]
		if strings.HasPrefix(rest, ".") {
			n := 1
			for n < len(rest) && rest[n] >= '0' && rest[n] <= '9' {
				n++
			}
			frac, ok := digits((rest[1:n] + "000")[:3])
			if n == 1 || !ok {
				return bad()
			}
			milli += int64(frac)
			rest = rest[n:]
		}
	}
	if rest == "" {
		return Moment{s, LocalTime, d, d, 0}, nil
	}
	offset, ok := parseOffset(rest)
	if !ok {
		return bad()
	}
	unix := int64(d-unixEpoch)*86400_000 + milli - int64(offset)*60_000
	return Moment{s, Instant, d, d, unix}, nil
}

func digits(s string) (int, bool) {
	if s == "" || s[0] < '0' || s[0] > '9' {
		return 0, false
	}
	n, err := strconv.Atoi(s)
	return n, err == nil
}

func parseOffset(s string) (minutes int, ok bool) {
	if s == "Z" {
		return 0, true
	}
	if len(s) != 6 || s[3] != ':' || (s[0] != '+' && s[0] != '-') {
		return 0, false
	}
	h, okH := digits(s[1:3])
	m, okM := digits(s[4:])
	if !okH || !okM || h > 14 || m > 59 {
		return 0, false
	}
	minutes = h*60 + m
	if s[0] == '-' {
		minutes = -minutes
	}
	return minutes, true
}

// MustMoment is ParseMoment for constants in code and tests; it panics on a bad
// date.
func MustMoment(s string) Moment {
	m, err := ParseMoment(s)
	if err != nil {
		panic(err)
	}
	return m
}

// OnDay is the moment of a whole calendar day.
func OnDay(d Day) Moment {
	if d == 0 {
		return Moment{}
	}
	return Moment{d.String(), DayOnly, d, d, 0}
}

// AtTime is the moment of an instant, in the offset that t carries.
func AtTime(t time.Time) Moment {
	d := DayOf(t)
	return Moment{t.Format("2006-01-02T15:04:05.000Z07:00"), Instant, d, d, t.UnixMilli()}
}

// IsZero reports the absence of a moment; JSON leaves such fields out.
func (m Moment) IsZero() bool { return m.precision == None }

// Precision says how much was given.
func (m Moment) Precision() Precision { return m.precision }

// String returns the text as it came.
func (m Moment) String() string { return m.text }

// Days returns the first and last calendar day that the moment may mean. An
// instant, also one at either end of a Span, is placed in zone, the practice's
// calendar; nil means the offset it was written with. Both days are zero for no
// moment.
func (m Moment) Days(zone *time.Location) (low, high Day) {
	switch {
	case zone == nil:
	case m.precision == Instant:
		d := DayOf(time.UnixMilli(m.unixMilli).In(zone))
		return d, d
	case m.precision == Span:
		return m.spanDays(zone)
	}
	return m.low, m.high
}

// UnixMilli returns the instant in milliseconds since 1970 UTC; ok is false for
// anything less precise than an instant.
func (m Moment) UnixMilli() (ms int64, ok bool) { return m.unixMilli, m.precision == Instant }

// Compare orders moments for display and "most recent" rules: by last possible
// day as written, then by instant where both have one. No moment sorts first.
func (m Moment) Compare(o Moment) int {
	if m.precision == Instant && o.precision == Instant {
		return cmpInt(m.unixMilli, o.unixMilli)
	}
	return cmpInt(int64(m.high), int64(o.high))
}

func cmpInt(a, b int64) int {
	switch {
	case a < b:
		return -1
	case a > b:
		return 1
	}
	return 0
}

// MarshalText writes the text as it came.
func (m Moment) MarshalText() ([]byte, error) { return []byte(m.text), nil }

// UnmarshalText reads what ParseMoment reads; empty text is no moment.
func (m *Moment) UnmarshalText(b []byte) (err error) {
	if len(b) == 0 {
		*m = Moment{}
		return nil
	}
	*m, err = ParseMoment(string(b))
	return err
}
