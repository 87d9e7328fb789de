package wound

import (
	"math"
	"slices"

	"tengram/internal/kernel/known"
	"tengram/internal/kernel/when"
)

// Visit is one size of an ulcer on one day.
type Visit struct {
	On   when.Day
	Size Size
}

// Trend is how an ulcer changed from the first to the last of its sizes that
// were found by the same method as the last one.
type Trend struct {
	Method   Method
	From, To when.Day
	Days     int
	// FromMM2 and ToMM2 are the two areas, rounded to whole mm2.
	FromMM2, ToMM2 int
	// ReductionTenths is the percent area reduction in tenths, rounded down so
	// that it never shows an edge that was not reached; negative is growth. It
	// is worked out from the exact sizes.
	ReductionTenths int
	// EdgeUMPerWeek is the mean inward travel of the edge (Gilman), in
	// micrometres a week; negative is growth.
	EdgeUMPerWeek int
	// DecayPerWeek is the exponential rate in thousandths a week; not known for
	// a closed ulcer, where it would be infinite.
	DecayPerWeek known.Reading
	// Projection is nil where the sizes do not carry one.
	Projection *Projection
}

// TrendOf works out the trend of a series of sizes, in any order. ok is false
// without two days of sizes by one method: areas by different methods are never
// compared (our proposal). Of several sizes on one day the last one given
// counts.
func TrendOf(visits []Visit) (t Trend, ok bool) {
	var sizes []measured
	for _, v := range visits {
		sizes = addSize(sizes, v.On, v.Size)
	}
	return trendOf(inOrder(sizes))
}

// measured is an exact size on one day.
type measured struct {
	on when.Day
	extent
}

// addSize adds a size if it gives an area and has a day.
func addSize(sizes []measured, on when.Day, s Size) []measured {
	e, state, problem := measure(s)
	if state == known.Measured && problem == "" && !on.IsZero() {
		sizes = append(sizes, measured{on, e})
	}
	return sizes
}

// inOrder sorts by day and keeps the last size of each day.
func inOrder(sizes []measured) []measured {
	slices.SortStableFunc(sizes, func(a, b measured) int { return int(a.on) - int(b.on) })
	kept := sizes[:0]
	for i, s := range sizes {
		if i+1 == len(sizes) || sizes[i+1].on != s.on {
			kept = append(kept, s)
		}
	}
	return kept
}

// trendOf wants one size a day, in order of days.
func trendOf(sizes []measured) (t Trend, ok bool) {
	if len(sizes) < 2 {
		return Trend{}, false
	}
	last := sizes[len(sizes)-1]
	same := make([]measured, 0, len(sizes))
	for _, s := range sizes {
		if s.method == last.method {
			same = append(same, s)
		}
	}
	if len(same) < 2 {
		return Trend{}, false
	}
	t = between2(same[0], last)
	t.Projection = project(same)
	return t, true
}

// closing is the trend to a closed ulcer: no area and no edge are left.
func closing(sizes []measured, on when.Day) (t Trend, ok bool) {
	if len(sizes) == 0 || sizes[0].on >= on {
		return Trend{}, false
	}
	return between2(sizes[0], measured{on, extent{method: sizes[0].method}}), true
}

// between2 is the change between two sizes by one method on two days.
func between2(a, b measured) Trend {
	t := Trend{
		Method: a.method, From: a.on, To: b.on, Days: int(b.on - a.on),
		FromMM2: roundMM2(a.mm2), ToMM2: roundMM2(b.mm2), ReductionTenths: reduction(a.extent, b.extent),
	}
	weeks := float64(t.Days) / 7
	t.EdgeUMPerWeek = int(math.Round(edgeAdvance(a.extent, b.extent) / weeks * 1000))
	t.DecayPerWeek = decay(a, b)
	return t
}

// reduction is the percent area reduction in tenths, rounded down. The factor
// of the ellipse cancels, so diameters are compared as whole numbers.
func reduction(a, b extent) int {
	if a.product > 0 && (b.product > 0 || b.mm2 == 0) {
		return floorDiv((a.product-b.product)*1000, a.product)
	}
	return int(math.Floor((a.mm2-b.mm2)/a.mm2*1000 + tiny))
}

// floorDiv divides by a positive number and rounds down, below zero too.
func floorDiv(a, b int) int {
	q := a / b
	if a%b < 0 {
		q--
	}
	return q
}

// edgeAdvance is Gilman's D in millimetres: the area lost over the mean length
// of the edge (Gilman 1990, formula from memory; it gives the change of the
// radius of a circle exactly, derived).
func edgeAdvance(a, b extent) float64 { return (a.mm2 - b.mm2) / ((a.edge + b.edge) / 2) }

// roundMM2 rounds an area to whole mm2, halves up.
func roundMM2(mm2 float64) int { return int(math.Floor(mm2 + 0.5 + tiny)) }

// Change is the percent area reduction in tenths, rounded down, and the
// exponential rate in thousandths a week, of two areas in whole mm2 found by
// the same method some days apart. The rate is not known for a closed ulcer.
// ok is false without a first area or a day between them.
func Change(beforeMM2, afterMM2, days int) (reductionTenths int, decayPerWeek known.Reading, ok bool) {
	if beforeMM2 < 1 || afterMM2 < 0 || days < 1 {
		return 0, known.Reading{}, false
	}
	a, b := measured{extent: extent{product: beforeMM2, mm2: float64(beforeMM2)}}, measured{on: when.Day(days), extent: extent{product: afterMM2, mm2: float64(afterMM2)}}
	return reduction(a.extent, b.extent), decay(a, b), true
}

// decay is the exponential rate ln(A0/A1) over time, in thousandths a week
// (the formula is confirmed in a letter of 2003 in the journal Wounds).
func decay(a, b measured) known.Reading {
	if b.mm2 <= 0 {
		return known.Reading{}
	}
	weeks := float64(b.on-a.on) / 7
	return known.Value(int(math.Round(math.Log(a.mm2/b.mm2) / weeks * 1000)))
}

// TrendToClosed is the trend from a size to a closed ulcer some days later.
// ok is false where the size gives no area or no day lies between.
func TrendToClosed(from Visit, on when.Day) (t Trend, ok bool) {
	return closing(addSize(nil, from.On, from.Size), on)
}
