package forecast

import (
	"math"
	"math/rand/v2"
	"testing"
)

func TestTheDiceAreThoseOfTheStandardLibrary(t *testing.T) {
	for _, seed := range [][2]uint64{{0, 0}, {1, 2}, {math.MaxUint64, 42}, {0x9e3779b97f4a7c15, math.MaxUint64}} {
		ours, theirs := dice{seed[0], seed[1]}, rand.NewPCG(seed[0], seed[1])
		for i := range 1000 {
			if a, b := ours.next(), theirs.Uint64(); a != b {
				t.Fatalf("seed %v, number %d: %x, want %x", seed, i, a, b)
			}
		}
	}
}

// The first outputs of SplitMix64 from 1234567 (a widely printed vector; from
// memory): 6457827717110365317, 3203168211198807973.
func TestTheMixIsThatOfSplitMix64(t *testing.T) {
	const golden = 0x9e3779b97f4a7c15
	state := uint64(1234567)
	for _, want := range []uint64{6457827717110365317, 3203168211198807973} {
		state += golden
		if got := mix(state); got != want {
			t.Errorf("%d, want %d", got, want)
		}
	}
}

// moments draws 200,000 numbers from branches of one stream, one from each, and
// returns their mean and variance.
func moments(draw func(*dice) float64) (mean, variance float64) {
	const n = 200000
	stream := diceFor(7, "moments")
	sum, sum2 := 0.0, 0.0
	for i := range n {
		d := stream.branch(i)
		x := draw(&d)
		sum, sum2 = sum+x, sum2+x*x
	}
	mean = sum / n
	return mean, sum2/n - mean*mean
}

// Means and variances of the distributions; the tolerance is five standard
// errors or more.
func TestDrawsHaveTheMomentsOfTheirDistribution(t *testing.T) {
	for _, c := range []struct {
		name           string
		draw           func(*dice) float64
		mean, variance float64
	}{
		{"uniform", (*dice).uniform, 0.5, 1.0 / 12},
		{"exponential", (*dice).exponential, 1, 1},
		{"normal", (*dice).normal, 0, 1},
		{"gamma of 0.3", func(d *dice) float64 { return d.gamma(0.3) }, 0.3, 0.3},
		{"gamma of 1", func(d *dice) float64 { return d.gamma(1) }, 1, 1},
		{"gamma of 7.5", func(d *dice) float64 { return d.gamma(7.5) }, 7.5, 7.5},
	} {
		mean, variance := moments(c.draw)
		if math.Abs(mean-c.mean) > 0.012*math.Sqrt(max(c.variance, 0.3)) {
			t.Errorf("%s: mean %g, want %g", c.name, mean, c.mean)
		}
		if math.Abs(variance-c.variance) > 0.05*max(c.variance, 0.1) {
			t.Errorf("%s: variance %g, want %g", c.name, variance, c.variance)
		}
	}
}

// Neighbouring branches and streams must not look like each other: the
// correlation of 100,000 pairs lies within five standard errors of 0.
func TestBranchesAndStreamsDoNotFollowEachOther(t *testing.T) {
	const n = 100000
	stream := diceFor(1, "person a")
	other := diceFor(1, "person b")
	nextSeed := diceFor(2, "person a")
	correlate := func(name string, pair func(i int) (float64, float64)) {
		xy := 0.0
		for i := range n {
			x, y := pair(i)
			xy += (x - 0.5) * (y - 0.5) * 12
		}
		if r := xy / n; math.Abs(r) > 5/math.Sqrt(n) {
			t.Errorf("%s: correlation %g", name, r)
		}
	}
	first := func(d dice) float64 { return d.uniform() }
	correlate("next branch", func(i int) (float64, float64) { return first(stream.branch(i)), first(stream.branch(i + 1)) })
	correlate("other stream", func(i int) (float64, float64) { return first(stream.branch(i)), first(other.branch(i)) })
	correlate("next seed", func(i int) (float64, float64) { return first(stream.branch(i)), first(nextSeed.branch(i)) })
	correlate("second of a branch", func(i int) (float64, float64) {
		d := stream.branch(i)
		return d.uniform(), d.uniform()
	})
}

// 64 boxes of 64,000 numbers: chi squared of 63 degrees has mean 63 and a
// standard deviation of 11.2.
func TestTheFirstNumbersOfBranchesAreSpreadEvenly(t *testing.T) {
	stream := diceFor(3, "boxes")
	var boxes [64]int
	for i := range 64000 {
		d := stream.branch(i)
		boxes[int(d.uniform()*64)]++
	}
	chi := 0.0
	for _, n := range boxes {
		chi += float64(n-1000) * float64(n-1000) / 1000
	}
	if chi < 63-5*11.2 || chi > 63+5*11.2 {
		t.Errorf("chi squared %g", chi)
	}
}

func TestStrataFillEveryPartOnce(t *testing.T) {
	d := diceFor(9, "strata")
	u := d.strata(500)
	seen := map[int]bool{}
	inOrder := 0
	for i, x := range u {
		seen[int(x*500)] = true
		if i > 0 && x > u[i-1] {
			inOrder++
		}
	}
	if len(seen) != 500 || inOrder < 200 || inOrder > 300 {
		t.Errorf("%d parts filled, %d of 499 in rising order", len(seen), inOrder)
	}
}
