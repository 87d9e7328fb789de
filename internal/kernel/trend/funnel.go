package trend

import (
	"cmp"
	"math"
	"slices"

	"tengram/internal/kernel/source"
)

// The two pairs of limits of a funnel: about two and about three standard
// deviations.
const (
	Inner = 0.95
	Outer = 0.998
)

// Funnel compares groups of unequal size with all of them together.
type Funnel struct {
	// Centre is the share of everybody together.
	Centre float64 `json:"centre"`
	OK     bool    `json:"ok"`
	// Groups are in order of size, then of name.
	Groups []FunnelGroup `json:"groups"`
	// Curve has the limits for sizes from small to the largest group, to be
	// drawn.
	Curve   []FunnelLimit `json:"curve"`
	Because source.Because
}

// FunnelGroup is one group in a funnel.
type FunnelGroup struct {
	Name string `json:"name"`
	Share
	FunnelLimit
	// Interval is Wilson's 95 % interval of the group's own rate.
	Interval Interval `json:"interval"`
	// Beyond is 0 inside the inner limits, 1 beyond the inner, 2 beyond the
	// outer ones; Up says on which side.
	Beyond int  `json:"beyond"`
	Up     bool `json:"up"`
}

// FunnelLimit are the limits for one size of group.
type FunnelLimit struct {
	Size  int      `json:"size"`
	Inner Interval `json:"inner"`
	Outer Interval `json:"outer"`
}

// Spread puts groups into a funnel about their common rate. Groups of nobody are
// left out. With many groups some lie beyond the inner limits by chance alone:
// one in twenty.
func Spread(groups []Group) Funnel {
	f := Funnel{Because: source.Because{
		{Says: "The limits are those within which chance alone keeps a group of that size in 95 and in 99.8 of 100 times.", Source: funnelLimits},
		{Says: "The interval of each group is Wilson's, at 95 %.", Source: scoreInterval},
	}}
	var all Share
	largest := 0
	for _, g := range groups {
		all = all.Plus(g.Share)
		largest = max(largest, g.Of)
	}
	f.Centre, f.OK = all.Rate()
	if !f.OK {
		return f
	}
	for _, g := range groups {
		rate, ok := g.Rate()
		if !ok {
			continue
		}
		m := FunnelGroup{Name: g.Name, Share: g.Share, FunnelLimit: limitsAt(g.Of, f.Centre), Interval: g.Wilson(0.95)}
		m.Up = rate > f.Centre
		m.Beyond = beyond(rate, m.FunnelLimit)
		f.Groups = append(f.Groups, m)
	}
	slices.SortFunc(f.Groups, func(a, b FunnelGroup) int {
		return cmp.Or(cmp.Compare(a.Of, b.Of), cmp.Compare(a.Name, b.Name))
	})
	for _, n := range curveSizes(largest) {
		f.Curve = append(f.Curve, limitsAt(n, f.Centre))
	}
	return f
}

func beyond(rate float64, l FunnelLimit) int {
	const slack = 1e-9 // a rate that lies on its limit is not beyond it
	switch {
	case rate < l.Outer.Low-slack || rate > l.Outer.High+slack:
		return 2
	case rate < l.Inner.Low-slack || rate > l.Inner.High+slack:
		return 1
	}
	return 0
}

func limitsAt(n int, p float64) FunnelLimit {
	at := func(confidence float64) Interval {
		tail := (1 - confidence) / 2
		return Interval{binomialLimit(tail, n, p), binomialLimit(1-tail, n, p)}
	}
	return FunnelLimit{Size: n, Inner: at(Inner), Outer: at(Outer)}
}

// binomialLimit is the rate below which chance keeps a group of n with
// probability q. It lies between the whole numbers r-1 and r by how far the
// chance of r overshoots q, so that the limit moves smoothly with n.
func binomialLimit(q float64, n int, p float64) float64 {
	r := binomialQuantile(q, n, p)
	at, below := BinomialCDF(r, n, p), BinomialCDF(r-1, n, p)
	over := 0.0
	if at > below {
		over = (at - q) / (at - below)
	}
	return min(1, max(0, (float64(r)-over)/float64(n)))
}

// curveSizes are sizes from 1 to a little above the largest group, closer
// together where the limits bend.
func curveSizes(largest int) []int {
	const points = 60
	top := float64(largest) * 1.05
	var sizes []int
	for i := 0; i <= points; i++ {
		n := int(math.Ceil(1 + (top-1)*math.Pow(float64(i)/points, 2)))
		if len(sizes) == 0 || n > sizes[len(sizes)-1] {
			sizes = append(sizes, n)
		}
	}
	return sizes
}
