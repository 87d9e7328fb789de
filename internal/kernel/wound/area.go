package wound

import (
	"fmt"
	"math"

	"tengram/internal/kernel/known"
	"tengram/internal/kernel/source"
)

// maxMM is the longest diameter taken for a measurement of a foot ulcer, in
// millimetres; more is a slip of the unit (our proposal).
const maxMM = 500

// extent is the measured size of one ulcer on one day, kept exact so that a
// percentage is not moved over an edge by rounding.
type extent struct {
	method Method
	// product is length times width in mm2, the exact number behind a
	// rectangle or an ellipse; 0 for a tracing.
	product int
	// mm2 and edge are the area and the length of the edge, in mm2 and mm.
	mm2, edge float64
}

// Area gives the area of an ulcer in whole square millimetres, and how it was
// found.
//
// A rectangle is length times width; it reads about 40 % too much on round
// wounds (Rogers 2010). An ellipse is pi/4 of that (second hand). A tracing is
// the area inside the outline. Two diameters without a recorded method are
// taken as a rectangle, the larger reading, and an outline without one as
// traced (our proposal). Halves round up; the classes read the rounded number,
// so that the number shown is the number judged (our proposal).
//
// problem says what is wrong with the size and what to do; the area is then not
// known. Without any size there is no area and no problem. A diameter that
// could not be measured keeps its reason in the reading.
func Area(s Size) (mm2 known.Reading, method Method, problem string) {
	e, state, problem := measure(s)
	if problem != "" || state != known.Measured {
		return known.Reading{State: state}, e.method, problem
	}
	return known.Value(roundMM2(e.mm2)), e.method, ""
}

// tiny absorbs the last digits of a floating-point sum, so that a tracing of
// exactly 100 mm2 counts as such.
const tiny = 1e-9

// Perimeter gives the length of the ulcer's edge in millimetres: of the
// rectangle, of the ellipse by Ramanujan's first formula (our proposal), or of
// the outline. It is 0 where Area gives no area.
func Perimeter(s Size) (mm float64, problem string) {
	e, _, problem := measure(s)
	return e.edge, problem
}

// measure works out a size. The state is Measured only where there is an area.
func measure(s Size) (e extent, state known.ReadingState, problem string) {
	e.method = s.Method
	if s.Method.IsZero() {
		switch {
		case len(s.Outline) > 0:
			e.method = Traced
		case !s.LengthMM.IsZero() || !s.WidthMM.IsZero():
			e.method = Rectangle
		default:
			return e, known.NotMeasured, ""
		}
	}
	switch e.method {
	case Rectangle, Ellipse:
		return measureDiameters(e, s)
	case Traced:
		if len(s.Outline) == 0 {
			return e, known.NotMeasured, "the area is said to be traced, but there is no outline: trace the edge, or choose rectangle or ellipse"
		}
		e.mm2, e.edge, problem = outlineArea(s.Outline, s.UnitsPerMM)
		if problem != "" {
			return extent{method: Traced}, known.NotMeasured, problem
		}
		return e, known.Measured, ""
	}
	return e, known.NotMeasured, fmt.Sprintf("area method %d is not rectangle, ellipse or traced", s.Method)
}

func measureDiameters(e extent, s Size) (extent, known.ReadingState, string) {
	l, w := s.LengthMM, s.WidthMM
	if !l.Known() || !w.Known() {
		state := l.State
		if l.Known() || l.IsZero() {
			state = w.State
		}
		if state == known.Measured { // one diameter alone gives no area
			state = known.NotMeasured
		}
		return e, state, ""
	}
	if problem := diameterProblem(l.Value, w.Value); problem != "" {
		return e, known.NotMeasured, problem
	}
	e.product = l.Value * w.Value
	a, b := float64(l.Value)/2, float64(w.Value)/2
	if e.method == Rectangle {
		e.mm2, e.edge = float64(e.product), 4*(a+b)
		return e, known.Measured, ""
	}
	e.mm2 = math.Pi / 4 * float64(e.product)
	e.edge = math.Pi * (3*(a+b) - math.Sqrt((3*a+b)*(a+3*b)))
	return e, known.Measured, ""
}

func diameterProblem(length, width int) string {
	switch {
	case length < 1 || width < 1:
		return fmt.Sprintf("length %d mm and width %d mm must be 1 mm or more; record a closed ulcer as healed", length, width)
	case length > maxMM:
		return fmt.Sprintf("length %d mm is over %d mm: check that it is in millimetres", length, maxMM)
	case width > length:
		return fmt.Sprintf("width %d mm is more than length %d mm: the length is the longest diameter, so change them round", width, length)
	}
	return ""
}

var (
	areaFormulas = source.WoundAreaFormulas.At("rectangle, pi/4 and 0.73 of length times width", source.Secondary)
	areaTooLarge = source.Rogers2010.At("abstract: ruler against tracing", source.Confirmed)
	areaEdge     = own("edge of an ellipse by Ramanujan's first formula; areas rounded to whole mm2")
	areaTracing  = source.WoundAreaFormulas.At("shoelace formula", source.Derived)
)

// AreaBecause explains how an area and an edge were found.
func AreaBecause(m Method) source.Because {
	if m == Traced {
		return source.Because{reason("Area inside the outline by the shoelace formula; the edge is the sum of its sides.", "", areaTracing)}
	}
	return source.Because{
		reason("Areas by different formulas are not compared with each other.", "", sameMethod),
		reason("The formulas: length times width; pi/4 of it; 0.73 of it.", "", areaFormulas),
		reason("Length times width read about 40 % too much on round wounds.", "", areaTooLarge),
		reason("Edge: 2 (length + width), or that of an ellipse.", "", areaEdge),
	}
}
