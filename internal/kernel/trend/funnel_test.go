package trend

import (
	"testing"

	"pgregory.net/rapid"
)

func TestAGroupBeyondChanceIsTold(t *testing.T) {
	f := Spread([]Group{
		{"small", Share{3, 8}}, {"good", Share{190, 200}}, {"usual", Share{320, 500}}, {"poor", Share{60, 150}}, {"empty", Share{}},
	})
	want := map[string]struct {
		beyond int
		up     bool
	}{"small": {0, false}, "good": {2, true}, "usual": {0, false}, "poor": {2, false}}
	if len(f.Groups) != len(want) {
		t.Fatalf("groups of nobody are left out: %+v", f.Groups)
	}
	for _, g := range f.Groups {
		if w := want[g.Name]; g.Beyond != w.beyond || g.Up != w.up {
			t.Errorf("%s: beyond %d up %v, want %+v", g.Name, g.Beyond, g.Up, w)
		}
	}
	if f.Groups[0].Name != "small" || f.Groups[3].Name != "usual" {
		t.Errorf("not in order of size: %+v", f.Groups)
	}
	if got := Spread(nil); got.OK || got.Curve != nil {
		t.Errorf("nobody: %+v", got)
	}
}

// By its definition the limit of q lies where the distribution, drawn as
// straight lines between whole numbers, reaches q.
func TestFunnelLimitsReachTheirChance(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n, p := rapid.IntRange(1, 800).Draw(t, "n"), rapid.Float64Range(0.05, 0.95).Draw(t, "p")
		for _, q := range []float64{0.001, 0.025, 0.975, 0.999} {
			limit := binomialLimit(q, n, p) * float64(n)
			r := int(limit + 1e-9)
			part := limit - float64(r)
			reached := BinomialCDF(r, n, p) + part*(BinomialCDF(r+1, n, p)-BinomialCDF(r, n, p))
			if limit > 0 && (reached < q-1e-6 || reached > q+1e-6) {
				t.Fatalf("n %d p %g q %g: limit %g reaches %g", n, p, q, limit, reached)
			}
		}
	})
}

func TestTheFunnelHoldsItsNestsAndNarrows(t *testing.T) {
	f := Spread([]Group{{"a", Share{300, 500}}, {"b", Share{30, 40}}})
	for _, l := range f.Curve {
		if l.Outer.Low > l.Inner.Low || l.Inner.Low > f.Centre || f.Centre > l.Inner.High || l.Inner.High > l.Outer.High {
			t.Errorf("not nested at %d: %+v around %g", l.Size, l, f.Centre)
		}
	}
	first, last := f.Curve[0], f.Curve[len(f.Curve)-1]
	if first.Size != 1 || last.Size < 500 {
		t.Errorf("the curve runs from %d to %d", first.Size, last.Size)
	}
	if last.Outer.High-last.Outer.Low >= f.Curve[10].Outer.High-f.Curve[10].Outer.Low {
		t.Error("the funnel does not narrow")
	}
}
