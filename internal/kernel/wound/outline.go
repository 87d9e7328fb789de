package wound

import (
	"fmt"
	"math"
	"slices"
)

// The limits of an outline: enough for a hand tracing, and small enough that
// every pair of edges can be compared (our proposal).
const (
	maxCorners    = 2000
	maxCoordinate = 1e6
)

// outlineArea is the area and the edge length of a closed polygon, by the
// shoelace formula. The polygon closes itself; a last corner equal to the first
// is allowed. Corners may run either way round.
//
// An outline that crosses or touches itself is refused: the formula would
// subtract one part from the other (our proposal).
func outlineArea(outline []Point, unitsPerMM float64) (mm2, edge float64, problem string) {
	switch {
	case !(unitsPerMM > 0) || unitsPerMM > maxCoordinate:
		return 0, 0, fmt.Sprintf("the picture's scale of %g units per millimetre must be above 0 and at most %g: calibrate the picture", unitsPerMM, float64(maxCoordinate))
	case len(outline) > maxCorners:
		return 0, 0, fmt.Sprintf("the outline has %d corners, more than %d: trace it with fewer", len(outline), maxCorners)
	}
	for i, p := range outline {
		if !(math.Abs(p.X) <= maxCoordinate && math.Abs(p.Y) <= maxCoordinate) { // also catches NaN
			return 0, 0, fmt.Sprintf("corner %d of the outline lies outside the picture: trace it again", i+1)
		}
	}
	corners := slices.CompactFunc(slices.Clone(outline), func(a, b Point) bool { return a == b })
	if n := len(corners); n > 1 && corners[0] == corners[n-1] {
		corners = corners[:n-1]
	}
	if len(corners) < 3 {
		return 0, 0, fmt.Sprintf("an outline needs 3 different corners or more, not %d", len(corners))
	}
	if crossesItself(corners) {
		return 0, 0, "the outline crosses or touches itself: trace the edge once round"
	}
	// Sums are taken from the first corner, so that a wound drawn far from the
	// origin loses no digits.
	origin, twice := corners[0], 0.0
	for i, p := range corners {
		q := corners[(i+1)%len(corners)]
		twice += (p.X-origin.X)*(q.Y-origin.Y) - (q.X-origin.X)*(p.Y-origin.Y)
		edge += math.Hypot(q.X-p.X, q.Y-p.Y)
	}
	mm2 = math.Abs(twice) / 2 / unitsPerMM / unitsPerMM
	edge /= unitsPerMM
	switch {
	case !(mm2 > 0):
		return 0, 0, "the outline encloses no area: trace the edge once round"
	case mm2 > maxMM*maxMM:
		return 0, 0, fmt.Sprintf("the outline encloses %.0f mm2, more than a foot has: check the picture's scale", mm2)
	}
	return mm2, edge, ""
}

// crossesItself reports whether two edges that are not neighbours meet, or two
// neighbours fold back on each other.
func crossesItself(c []Point) bool {
	n := len(c)
	for i := range n {
		a, b := c[i], c[(i+1)%n]
		next := c[(i+2)%n]
		if turn(a, b, next) == 0 && (next.X-b.X)*(b.X-a.X)+(next.Y-b.Y)*(b.Y-a.Y) < 0 {
			return true
		}
		for j := i + 2; j < n; j++ {
			if i == 0 && j == n-1 { // the last edge is a neighbour of the first
				continue
			}
			if meet(a, b, c[j], c[(j+1)%n]) {
				return true
			}
		}
	}
	return false
}

// meet reports whether two segments share a point.
func meet(a, b, c, d Point) bool {
	if max(a.X, b.X) < min(c.X, d.X) || max(c.X, d.X) < min(a.X, b.X) ||
		max(a.Y, b.Y) < min(c.Y, d.Y) || max(c.Y, d.Y) < min(a.Y, b.Y) {
		return false
	}
	return turn(a, b, c)*turn(a, b, d) <= 0 && turn(c, d, a)*turn(c, d, b) <= 0
}

// turn is 1 where c lies left of the line a to b, -1 right of it, 0 on it.
func turn(a, b, c Point) int {
	cross := (b.X-a.X)*(c.Y-a.Y) - (b.Y-a.Y)*(c.X-a.X)
	switch {
	case cross > 0:
		return 1
	case cross < 0:
		return -1
	}
	return 0
}
