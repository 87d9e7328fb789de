package when

import "testing"

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
