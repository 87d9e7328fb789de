package trend

import (
	"math"
	"math/big"
	"testing"

	"pgregory.net/rapid"
)

func near(t *testing.T, what string, got, want, within float64) {
	t.Helper()
	if math.Abs(got-want) > within || math.IsNaN(got) {
		t.Errorf("%s = %.10g, want %.10g", what, got, want)
	}
}

// summed is the binomial distribution by adding up exact fractions.
func summed(x, n int, p *big.Rat) float64 {
	q := new(big.Rat).Sub(big.NewRat(1, 1), p)
	total := new(big.Rat)
	for k := 0; k <= x; k++ {
		term := new(big.Rat).SetInt(new(big.Int).Binomial(int64(n), int64(k)))
		for range k {
			term.Mul(term, p)
		}
		for range n - k {
			term.Mul(term, q)
		}
		total.Add(total, term)
	}
	f, _ := total.Float64()
	return f
}

func TestTheBinomialIsTheSumOfItsTerms(t *testing.T) {
	for _, n := range []int{1, 2, 5, 23, 60} {
		for _, p := range []*big.Rat{big.NewRat(1, 2), big.NewRat(1, 20), big.NewRat(62, 100), big.NewRat(97, 100)} {
			f, _ := p.Float64()
			for x := -1; x <= n+1; x++ {
				near(t, "BinomialCDF", BinomialCDF(x, n, f), summed(min(x, n), n, p), 1e-12)
			}
		}
	}
}

func TestTheBinomialHoldsForLargePanels(t *testing.T) {
	// At 100,000 the normal curve is a good stand-in: one standard deviation
	// above the mean lies 84.13 % (with the half step of continuity).
	n, p := 100000, 0.62
	mean, sd := float64(n)*p, math.Sqrt(float64(n)*p*(1-p))
	x := int(math.Round(mean + sd))
	want := 0.5 * math.Erfc(-(float64(x)+0.5-mean)/sd/math.Sqrt2)
	near(t, "BinomialCDF", BinomialCDF(x, n, p), want, 2e-3)
}

func TestABinomialQuantileIsTheSmallestThatReachesItsChance(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n, p, q := rapid.IntRange(1, 400).Draw(t, "n"), rapid.Float64Range(0.01, 0.99).Draw(t, "p"), rapid.Float64Range(0.001, 0.999).Draw(t, "q")
		x := binomialQuantile(q, n, p)
		if BinomialCDF(x, n, p) < q*(1-1e-12) || (x > 0 && BinomialCDF(x-1, n, p) >= q) {
			t.Fatalf("quantile %d of n %d p %g q %g", x, n, p, q)
		}
	})
}

func TestABetaQuantileIsTheInverseAndMovesWithItsParameters(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := rapid.Float64Range(0.3, 500).Draw(t, "a"), rapid.Float64Range(0.3, 500).Draw(t, "b")
		q := rapid.Float64Range(0.001, 0.999).Draw(t, "q")
		x := BetaQuantile(q, a, b)
		// Near an end the curve may be so steep that no x next to the true one
		// gives q: there x itself has to be right.
		below, above := BetaCDF(max(x-1e-13, 0), a, b), BetaCDF(min(x+1e-13, 1), a, b)
		if got := BetaCDF(x, a, b); math.Abs(got-q) > 1e-7 && !(below <= q && q <= above) && x > 1e-12 && x < 1-1e-12 {
			t.Fatalf("BetaCDF(%g) = %g, want %g", x, got, q)
		}
		if up := BetaQuantile(q, a+1, b); up < x-1e-12 {
			t.Fatalf("one more success lowers the quantile from %g to %g", x, up)
		}
		if down := BetaQuantile(q, a, b+1); down > x+1e-12 {
			t.Fatalf("one more failure raises the quantile from %g to %g", x, down)
		}
	})
}

func TestIntervalsAreThoseThatOthersPrint(t *testing.T) {
	for _, c := range []struct {
		share      Share
		confidence float64
		wilson     Interval
		exact      Interval
		within     float64
		source     string
	}{
		{Share{7, 50}, 0.95, Interval{}, Interval{0.05819170033997342, 0.26739600249700846}, 1e-9, "SciPy manual, BinomTestResult.proportion_ci, example"},
		{Share{7, 20}, 0.95, Interval{0.1812, 0}, Interval{0.1539, 0}, 5e-5, "a statistics library's manual, lower limits of 7 of 20"},
		{Share{5, 25}, 0.95, Interval{}, Interval{0.068, 0.407}, 5e-4, "influentialpoints.com, worked example from the tables of Conover 1999"},
		{Share{4, 20}, 0.90, Interval{}, Interval{0.071354, 0.401029}, 2e-6, "NIST/SEMATECH e-Handbook 7.2.4.2, example; from memory"},
		{Share{81, 263}, 0.95, Interval{0.2553, 0.3662}, Interval{0.2527, 0.3676}, 5e-5, "Newcombe 1998, table I; from memory"},
		{Share{15, 148}, 0.95, Interval{0.0624, 0.1605}, Interval{0.0578, 0.1617}, 5e-5, "Newcombe 1998, table I; from memory"},
		{Share{0, 20}, 0.95, Interval{0, 0.1611}, Interval{0, 0.1684}, 5e-5, "Newcombe 1998, table I; from memory"},
		{Share{1, 29}, 0.95, Interval{0.0061, 0.1718}, Interval{0.0009, 0.1776}, 5e-5, "Newcombe 1998, table I; from memory"},
	} {
		w, e := c.share.Wilson(c.confidence), c.share.Exact(c.confidence)
		check := func(what string, got, want float64) {
			if want != 0 {
				near(t, what+" ("+c.source+")", got, want, c.within)
			}
		}
		check("Wilson low", w.Low, c.wilson.Low)
		check("Wilson high", w.High, c.wilson.High)
		check("exact low", e.Low, c.exact.Low)
		check("exact high", e.High, c.exact.High)
	}
}

// What an exact interval promises, over every size up to 40 and a sweep of
// chances: it misses at most as often as it says. Wilson's promises that only
// on average.
func TestTheExactIntervalNeverMissesMoreOftenThanItSays(t *testing.T) {
	for n := 1; n <= 40; n++ {
		intervals := make([]Interval, n+1)
		for x := range intervals {
			intervals[x] = Share{x, n}.Exact(0.95)
		}
		for p := 0.01; p < 1; p += 0.03 {
			hit := 0.0
			for x, i := range intervals {
				if i.Low <= p && p <= i.High {
					hit += BinomialCDF(x, n, p) - BinomialCDF(x-1, n, p)
				}
			}
			if hit < 0.95-1e-9 {
				t.Fatalf("n %d, p %g: covered %g", n, p, hit)
			}
		}
	}
}

func TestIntervalsOfNobodyAndOfEverybody(t *testing.T) {
	if got := (Share{}).Wilson(0.95); got != (Interval{0, 1}) {
		t.Errorf("of nobody %v, want the whole range", got)
	}
	if got := (Share{}).Exact(0.95); got != (Interval{0, 1}) {
		t.Errorf("of nobody %v, want the whole range", got)
	}
	for n := 1; n < 300; n++ {
		if none, all := (Share{0, n}).Wilson(0.95), (Share{n, n}).Wilson(0.95); none.Low != 0 || all.High != 1 {
			t.Fatalf("none and all of %d: %v and %v", n, none, all)
		}
	}
	if got := (Share{12, 12}).Wilson(0.95); got.High != 1 || got.Low <= 0.7 {
		t.Errorf("of all 12 %v", got)
	}
	if _, ok := (Share{}).Rate(); ok {
		t.Error("a rate of nobody is undefined")
	}
}
