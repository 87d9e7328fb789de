package nhanestest

import (
	"math"
	"testing"
)

// observation is one person's answer to a yes-no measure, with the design of
// the survey. Out of the measure's population it still counts for the design.
type observation struct {
	stratum, psu string
	weight       float64
	in, yes      bool
}

// estimate is a weighted proportion, in per cent.
type estimate struct {
	n, events      int
	pct, se        float64
	low, high      float64
	df             int
	sumOfTheWeight float64
}

// proportion estimates by Taylor linearisation, strata and primary sampling
// units as given, with the t quantile at units minus strata degrees of freedom.
func proportion(t testing.TB, all []observation) estimate {
	t.Helper()
	var e estimate
	weightedYes := 0.0
	for _, o := range all {
		if !o.in {
			continue
		}
		e.n++
		e.sumOfTheWeight += o.weight
		if o.yes {
			e.events++
			weightedYes += o.weight
		}
	}
	p := weightedYes / e.sumOfTheWeight
	units := map[string]map[string]float64{}
	for _, o := range all {
		if units[o.stratum] == nil {
			units[o.stratum] = map[string]float64{}
		}
		part := 0.0
		if o.in {
			part = -p
			if o.yes {
				part = 1 - p
			}
		}
		units[o.stratum][o.psu] += o.weight * part / e.sumOfTheWeight
	}
	variance, count := 0.0, 0
	for name, stratum := range units {
		n := float64(len(stratum))
		if n < 2 {
			t.Fatalf("stratum %s has a single unit", name)
		}
		count += len(stratum)
		mean := 0.0
		for _, z := range stratum {
			mean += z / n
		}
		for _, z := range stratum {
			variance += n / (n - 1) * (z - mean) * (z - mean)
		}
	}
	e.df = count - len(units)
	e.pct, e.se = 100*p, 100*math.Sqrt(variance)
	width := tQuantile(e.df) * e.se
	e.low, e.high = e.pct-width, e.pct+width
	return e
}

// tQuantile is the 0.975 quantile of the t distribution, by halving over the
// integral of its density.
func tQuantile(df int) float64 {
	low, high := 0.0, 100.0
	for range 60 {
		mid := (low + high) / 2
		if tIntegral(mid, df) < 0.475 {
			low = mid
		} else {
			high = mid
		}
	}
	return low
}

// tIntegral integrates the density from 0 to x by Simpson's rule.
func tIntegral(x float64, df int) float64 {
	nu := float64(df)
	lg1, _ := math.Lgamma((nu + 1) / 2)
	lg2, _ := math.Lgamma(nu / 2)
	scale := math.Exp(lg1-lg2) / math.Sqrt(nu*math.Pi)
	density := func(t float64) float64 { return scale * math.Pow(1+t*t/nu, -(nu+1)/2) }
	const steps = 4000
	h := x / steps
	sum := density(0) + density(x)
	for i := 1; i < steps; i++ {
		sum += density(float64(i)*h) * float64(2+2*(i%2))
	}
	return sum * h / 3
}

// The quantiles are those of printed tables.
func TestTheQuantileOfT(t *testing.T) {
	for df, want := range map[int]float64{1: 12.7062, 14: 2.1448, 29: 2.0452, 44: 2.0154} {
		if got := tQuantile(df); math.Abs(got-want) > 0.0001 {
			t.Errorf("%d degrees of freedom: %.5f, want %.4f", df, got, want)
		}
	}
}

// A worked example by hand: two strata of two units, one person each. p is 0.5;
// the units of the first stratum are 0.125 and -0.125, those of the second too;
// the variance is 2 * 2 * (0.125^2 + 0.125^2) = 0.125.
func TestTheVarianceOfAWorkedExample(t *testing.T) {
	got := proportion(t, []observation{
		{"1", "1", 1, true, true}, {"1", "2", 1, true, false},
		{"2", "1", 1, true, true}, {"2", "2", 1, true, false},
	})
	if got.pct != 50 || math.Abs(got.se-100*math.Sqrt(0.125)) > 1e-9 || got.df != 2 {
		t.Errorf("got %+v, want 50 %%, se %.4f, 2 degrees of freedom", got, 100*math.Sqrt(0.125))
	}
}
