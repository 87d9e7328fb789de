package trend

import (
	"math/rand/v2"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// percents makes points of 100 people each.
func percents(rates ...int) []Share {
	points := make([]Share, len(rates))
	for i, r := range rates {
		points[i] = Share{r, 100}
	}
	return points
}

type told struct {
	Rule     Rule
	From, To int
	Up       bool
}

func tell(signals []Signal) []told {
	var out []told
	for _, s := range signals {
		out = append(out, told{s.Rule, s.From, s.To, s.Up})
	}
	return out
}

// The limits for 10 to 59 points are those of a published table of the longest
// run (unaettie.com, run chart, table 1); those of the crossings for 10, 20 and
// 24 are from memory of the manual of the first author's program.
func TestTheLimitsOfRunsAndCrossingsAreThePublishedOnes(t *testing.T) {
	for n := 10; n <= 59; n++ {
		want := 6
		switch {
		case n >= 46:
			want = 9
		case n >= 23:
			want = 8
		case n >= 12:
			want = 7
		}
		if got := longestLimit(n); got != want {
			t.Errorf("longest run of %d points: limit %d, want %d", n, got, want)
		}
	}
	for n, want := range map[int]int{10: 2, 12: 3, 20: 6, 24: 8} {
		if got := crossLimit(n); got != want {
			t.Errorf("crossings of %d points: limit %d, want %d", n, got, want)
		}
	}
}

func TestRunCharts(t *testing.T) {
	for _, c := range []struct {
		name   string
		points []Share
		older  bool
		want   []told
	}{
		{"a chart that goes up and down says nothing", percents(50, 60, 50, 60, 50, 60, 50, 60, 50, 60, 50, 60), true, nil},
		{"eight below and then eight above are a shift each way, and one crossing is few",
			percents(40, 41, 42, 40, 43, 41, 40, 42, 60, 61, 60, 62, 63, 60, 61, 60), false,
			[]told{{Shift, 0, 7, false}, {Shift, 8, 15, true}, {Crossings, 0, 15, false}}},
		{"with the older rules, six in a row are told as well, and nothing rises five times in a row",
			percents(40, 41, 42, 40, 43, 41, 40, 42, 60, 61, 60, 62, 63, 60, 61, 60), true,
			[]told{{Shift, 0, 7, false}, {Shift, 8, 15, true}, {Crossings, 0, 15, false}, {SixInARow, 0, 7, false}, {SixInARow, 8, 15, true}}},
		{"five points rising are told by the older rules alone",
			percents(50, 60, 50, 60, 50, 52, 54, 56, 58, 50, 60, 50, 60), true,
			[]told{{FiveOneWay, 4, 8, true}}},
		{"a month of nobody is passed over, and the place of a signal is that of its points",
			append([]Share{{}}, percents(40, 41, 42, 40, 43, 41, 40, 42, 60, 61, 60, 62, 63, 60, 61, 60)...), false,
			[]told{{Shift, 1, 8, false}, {Shift, 9, 16, true}, {Crossings, 1, 16, false}}},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := Run(c.points, c.older)
			if diff := cmp.Diff(c.want, tell(got.Signals)); diff != "" {
				t.Error(diff)
			}
			if got.TooShort {
				t.Error("called too short")
			}
		})
	}
}

func TestAShortChartSaysThatItIsShort(t *testing.T) {
	got := Run(percents(10, 20, 30, 40, 60, 70, 80, 90, 95), true)
	if !got.TooShort || got.Signals != nil || len(got.Because) != 1 {
		t.Errorf("%+v", got)
	}
	if got := Run(nil, false); !got.TooShort {
		t.Errorf("%+v", got)
	}
	if got := Run(percents(50, 50, 50, 50, 50, 50, 50, 50, 50, 50, 50, 50), false); !got.TooShort || got.Useful != 0 {
		t.Errorf("twelve equal points hold nothing to read: %+v", got)
	}
}

// The source's promise: about one chart of chance in twenty gives a signal, and
// no more with more points. The two rules together, on random data of a fixed
// seed: between 2 % and 9 %.
func TestChanceAloneSeldomGivesASignal(t *testing.T) {
	for _, n := range []int{12, 24, 36, 60} {
		r := rand.New(rand.NewPCG(7, uint64(n)))
		signals := 0
		const charts = 2000
		for range charts {
			points := make([]Share, n)
			for i := range points {
				points[i] = Share{r.IntN(100001), 100000}
			}
			if len(Run(points, false).Signals) > 0 {
				signals++
			}
		}
		if rate := float64(signals) / charts; rate < 0.02 || rate > 0.09 {
			t.Errorf("%d points: %.3f of charts of chance give a signal", n, rate)
		}
	}
}

// 30 wafers of 50 chips with 347 faults in all: centre 0.2313, limits 0.0524
// and 0.4102 (NIST/SEMATECH e-Handbook 6.3.3.2; the centre was read in a
// restatement of the example, the limits are from memory and follow from it).
func TestThePublishedExampleOfAPChart(t *testing.T) {
	points := make([]Share, 30)
	left := 347
	for i := range points {
		points[i] = Share{left / (30 - i), 50}
		left -= points[i].Met
	}
	c := Chart(points, 0, false)
	near(t, "centre", c.Centre, 0.2313, 5e-5)
	near(t, "lower limit", c.Limits[0].Low, 0.0524, 5e-5)
	near(t, "upper limit", c.Limits[0].High, 0.4102, 5e-5)
	if len(c.Signals) != 0 || c.Limits[0].Rough {
		t.Errorf("%+v", c)
	}
}

func TestPCharts(t *testing.T) {
	steady := percents(50, 50, 50, 50, 50, 50, 50, 50, 50, 50)
	for _, c := range []struct {
		name     string
		points   []Share
		baseline int
		zones    bool
		want     []told
	}{
		{"a point outside its limits is told; the standard deviation of 100 at one half is 5 points",
			append(steady, Share{66, 100}, Share{64, 100}, Share{34, 100}), 10, false,
			[]told{{Beyond, 10, 10, true}, {Beyond, 12, 12, false}}},
		{"the limits of a small month are wide", append(steady, Share{10, 12}), 10, false, nil},
		{"the zones are asked only when wanted: two of three beyond two standard deviations",
			append(steady, Share{61, 100}, Share{50, 100}, Share{61, 100}), 10, true,
			[]told{{TwoOfThree, 10, 12, true}}},
		{"four of five beyond one", append(steady, Share{44, 100}, Share{44, 100}, Share{50, 100}, Share{44, 100}, Share{44, 100}), 10, true,
			[]told{{FourOfFive, 10, 14, false}}},
		{"eight in a row on one side", append(steady, percents(51, 51, 51, 51, 51, 51, 51, 51)...), 10, true,
			[]told{{EightInARow, 10, 17, true}}},
		{"nobody at all", []Share{{}, {}}, 0, true, nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			if diff := cmp.Diff(c.want, tell(Chart(c.points, c.baseline, c.zones).Signals)); diff != "" {
				t.Error(diff)
			}
		})
	}
	if l := Chart([]Share{{1, 10}, {1, 10}}, 0, false).Limits[0]; !l.Rough || l.Low != 0 {
		t.Errorf("one expected of ten: the limits are rough and cut at 0: %+v", l)
	}
}
