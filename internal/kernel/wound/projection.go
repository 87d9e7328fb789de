package wound

import (
	"fmt"
	"math"

	"tengram/internal/kernel/source"
	"tengram/internal/kernel/when"
)

// Projection is the day on which an ulcer would be closed if it went on as
// before, with the days between which that lies in 4 of 5 cases under the
// model.
//
// The model is our proposal: the square root of the area, a length in
// proportion to the radius, falls along a straight line (the edge travels
// inward at a steady rate, as in Gilman's formula). The line is fitted by least
// squares over three or more sizes by one method. The interval is Fieller's,
// for where a fitted line meets zero; it takes a reading error of at least
// 0.3 mm in the root of the area, since a ruler is read to the millimetre.
// Where that interval has no end, or ends more than two years from now, there
// is no projection: the sizes do not show that the ulcer is closing.
type Projection struct {
	Closure  when.Day `json:"closure"`
	Earliest when.Day `json:"earliest"`
	Latest   when.Day `json:"latest"`
	// Visits is how many sizes it rests on.
	Visits  int            `json:"visits"`
	Because source.Because `json:"because"`
}

var projectionModel = own("projected closure: straight line through the square root of the area, 80 % interval")

const (
	readingErrorMM = 0.3
	horizonDays    = 730
)

// student90 is the 90th percentile of Student's t for 1 to 20 degrees of
// freedom; the last value serves for more (mathematics, checked by a test).
var student90 = [...]float64{
	3.078, 1.886, 1.638, 1.533, 1.476, 1.440, 1.415, 1.397, 1.383, 1.372,
	1.363, 1.356, 1.350, 1.345, 1.341, 1.337, 1.333, 1.330, 1.328, 1.325,
}

// project wants the sizes by one method, one a day, in order of days.
func project(sizes []measured) *Projection {
	n := len(sizes)
	if n < 3 {
		return nil
	}
	now := sizes[n-1].on
	line := fit(sizes)
	q := student90[min(n-2, len(student90))-1]
	spread := q * q * line.variance
	// Closure is where level + slope*u is 0; u is days from the mean day. It is
	// doubtful where (level + slope*u)^2 <= spread*(1/n + u^2/sxx).
	a := line.slope*line.slope - spread/line.sxx
	b := 2 * line.level * line.slope
	c := line.level*line.level - spread/float64(n)
	root := b*b - 4*a*c
	if line.slope >= 0 || a <= 0 || root < 0 {
		return nil
	}
	day := func(u float64) float64 { return line.mean + u }
	closure := day(-line.level / line.slope)
	earliest := day((-b - math.Sqrt(root)) / (2 * a))
	latest := day((-b + math.Sqrt(root)) / (2 * a))
	if closure <= 0 || latest > horizonDays {
		return nil
	}
	return &Projection{
		Closure: now.AddDays(int(math.Ceil(closure))), Earliest: now.AddDays(int(math.Ceil(max(earliest, 1)))),
		Latest: now.AddDays(int(math.Ceil(latest))), Visits: n,
		Because: source.Because{reason(fmt.Sprintf("If the edge goes on at the pace of %d sizes; an aid to planning, no forecast for one person.", n), "", projectionModel)},
	}
}

// fitted is a least-squares line through the roots of the areas; days count
// from the last size.
type fitted struct {
	mean, level, slope, sxx, variance float64
}

func fit(sizes []measured) fitted {
	var f fitted
	n := float64(len(sizes))
	last := sizes[len(sizes)-1].on
	x := func(m measured) float64 { return float64(m.on - last) }
	for _, m := range sizes {
		f.mean += x(m) / n
		f.level += math.Sqrt(m.mm2) / n
	}
	sxy := 0.0
	for _, m := range sizes {
		f.sxx += (x(m) - f.mean) * (x(m) - f.mean)
		sxy += (x(m) - f.mean) * (math.Sqrt(m.mm2) - f.level)
	}
	f.slope = sxy / f.sxx
	for _, m := range sizes {
		residual := math.Sqrt(m.mm2) - f.level - f.slope*(x(m)-f.mean)
		f.variance += residual * residual / (n - 2)
	}
	f.variance = max(f.variance, readingErrorMM*readingErrorMM)
	return f
}
