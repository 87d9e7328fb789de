package when

import (
	"testing"
	"time"
)

func TestBetweenIsAsWideAsItsEnds(t *testing.T) {
	for _, c := range []struct {
		says      string
		low, high string
		want      string
		first     string
		last      string
		precision Precision
	}{
		{"two months", "2018-12", "2019-01", "2018-12/2019-01", "2018-12-01", "2019-01-31", Span},
		{"two days", "2018-12-05", "2019-01-06", "2018-12-05/2019-01-06", "2018-12-05", "2019-01-06", Span},
		{"a year and an instant", "2018", "2019-01-02T03:04:05Z", "2018/2019-01-02T03:04:05Z", "2018-01-01", "2019-01-02", Span},
		{"two spans", "2017/2018", "2018-05/2018-06", "2017/2018-06", "2017-01-01", "2018-06-30", Span},
		{"the same twice", "2018-12", "2018-12", "2018-12", "2018-12-01", "2018-12-31", Month},
		{"only a start", "2018-12", "", "2018-12", "2018-12-01", "2018-12-31", Month},
		{"only an end", "", "2018-12", "2018-12", "2018-12-01", "2018-12-31", Month},
		{"the wrong way round", "2019", "2018", "2019", "2019-01-01", "2019-12-31", Year},
		{"the wrong way round by the day as written alone", "2018-01-01T05:29:59+05:30", "2017-12-31T12:30:00-12:00", "2018-01-01T05:29:59+05:30/2017-12-31T12:30:00-12:00",
			"2017-12-31", "2018-01-01", Span},
		{"the wrong way round in universal time, too", "2018-01-01T05:29:59+05:30", "2017-12-31T11:30:00-12:00", "2018-01-01T05:29:59+05:30", "2018-01-01", "2018-01-01", Instant},
		{"neither", "", "", "", "", "", None},
	} {
		t.Run(c.says, func(t *testing.T) {
			var low, high Moment
			if c.low != "" {
				low = MustMoment(c.low)
			}
			if c.high != "" {
				high = MustMoment(c.high)
			}
			m := Between(low, high)
			first, last := m.Days(nil)
			if m.String() != c.want || first.String() != c.first || last.String() != c.last || m.Precision() != c.precision {
				t.Errorf("got %s: %s to %s, precision %d", m, first, last, m.Precision())
			}
			var again Moment
			if err := again.UnmarshalText([]byte(m.String())); err != nil || again != m {
				t.Errorf("read again: %+v, %v", again, err)
			}
		})
	}
	for _, bad := range []string{"/", "2018/", "/2018", "2018/2017", "2018/2019/2020", "2018/x"} {
		if _, err := ParseMoment(bad); err == nil {
			t.Errorf("%q was read", bad)
		}
	}
}

func TestASpanKnowsItsEnds(t *testing.T) {
	for _, c := range []struct{ says, first, last string }{
		{"2018-12/2019-01", "2018-12", "2019-01"},
		{"2018/2019-01-02T03:04:05Z", "2018", "2019-01-02T03:04:05Z"},
		{"2018-12", "2018-12", "2018-12"},
	} {
		first, last := MustMoment(c.says).Ends()
		if first != MustMoment(c.first) || last != MustMoment(c.last) {
			t.Errorf("%s: %v and %v", c.says, first, last)
		}
	}
	if first, last := (Moment{}).Ends(); !first.IsZero() || !last.IsZero() {
		t.Errorf("no moment: %v and %v", first, last)
	}
}

func TestTheEndsOfASpanFallOnTheDaysOfTheZone(t *testing.T) {
	india := time.FixedZone("", 5*3600+1800)
	for _, c := range []struct {
		span        string
		zone        *time.Location
		first, last string
	}{
		{"2011-09-17/2018-01-01T05:29:59.000+05:30", nil, "2011-09-17", "2018-01-01"},
		{"2011-09-17/2018-01-01T05:29:59.000+05:30", time.UTC, "2011-09-17", "2017-12-31"},
		{"2017-12-31T18:30:00Z/2018-05", india, "2018-01-01", "2018-05-31"},
		{"2018-01-01T23:00:00Z/2018-01-02T00:30:00+05:30", time.UTC, "2018-01-01", "2018-01-01"},
		{"2018-01-01T23:00:00-05:00/2018-01-02T00:30:00+05:30", time.UTC, "2018-01-01", "2018-01-01"},
		{"2018-01-01T05:29:59+05:30/2017-12-31T12:30:00-12:00", time.UTC, "2017-12-31", "2018-01-01"},
		{"2018-01-01T05:29:59+05:30/2017-12-31T12:30:00-12:00", india, "2018-01-01", "2018-01-01"},
		{"2018/2019", india, "2018-01-01", "2019-12-31"},
	} {
		first, last := MustMoment(c.span).Days(c.zone)
		if first.String() != c.first || last.String() != c.last {
			t.Errorf("%s in %v: %s to %s, want %s to %s", c.span, c.zone, first, last, c.first, c.last)
		}
	}
}
