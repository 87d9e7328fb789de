package calc

import (
	"fmt"
	"strconv"
	"strings"

	"tengram/internal/kernel/known"
	"tengram/internal/kernel/when"
	"tengram/internal/kernel/wound"
)

func woundAreaCalculator() Calculator {
	return Calculator{
		Name: "wound-area", Title: "Area and edge of an ulcer from two diameters or a traced outline",
		Inputs: []Input{
			{Name: "length-mm", Says: "longest diameter, whole millimetres, 1 to 500"},
			{Name: "width-mm", Says: "widest diameter at right angles to the length, whole millimetres, 1 to 500, not more than the length"},
			{Name: "outline", Says: "corners of a traced outline, x,y;x,y;... in the picture's units, once round"},
			{Name: "units-per-mm", Says: "the picture's units in one millimetre, above 0"},
		},
		Example: "length-mm=30 width-mm=20",
		Run:     runWoundArea,
	}
}

func runWoundArea(a *Args) (Output, error) {
	size := diameters(a, "length-mm", "width-mm")
	size.Outline = outline(a, "outline")
	size.UnitsPerMM, _ = a.Float("units-per-mm", 1e-6, 1e6, "units per mm")
	byDiameters, byOutline := a.Has("length-mm") || a.Has("width-mm"), a.Has("outline") || a.Has("units-per-mm")
	switch {
	case byDiameters == byOutline:
		a.refuse("give either length-mm and width-mm, or outline and units-per-mm")
	case byDiameters && (!size.LengthMM.Known() || !size.WidthMM.Known()):
		a.refuse("inputs length-mm and width-mm are both needed, as whole millimetres from 1 to 500")
	case byOutline && (len(size.Outline) == 0 || size.UnitsPerMM == 0):
		a.refuse("inputs outline and units-per-mm are both needed")
	}
	if a.err() != nil {
		return Output{}, nil
	}
	if byOutline {
		size.Method = wound.Traced
		mm2, mm := areaAndEdge(a, size)
		return output(Fields{{"tracedMm2", mm2}, {"tracedCm2", decimal(mm2, 2)}, {"edgeMm", tenth(mm)}}, wound.AreaBecause(wound.Traced)), nil
	}
	size.Method = wound.Rectangle
	rectangle, rectangleEdge := areaAndEdge(a, size)
	size.Method = wound.Ellipse
	ellipse, ellipseEdge := areaAndEdge(a, size)
	shaw := int(0.73*float64(size.LengthMM.Value*size.WidthMM.Value) + 0.5) // Shaw's factor, second hand
	out := output(Fields{
		{"rectangleCm2", decimal(rectangle, 2)}, {"ellipseCm2", decimal(ellipse, 2)}, {"shawCm2", decimal(shaw, 2)},
		{"rectangleMm2", rectangle}, {"ellipseMm2", ellipse}, {"shawMm2", shaw},
		{"rectangleEdgeMm", tenth(rectangleEdge)}, {"ellipseEdgeMm", tenth(ellipseEdge)},
	}, wound.AreaBecause(wound.Ellipse))
	l, w := size.LengthMM.Value, size.WidthMM.Value
	out.Steps = append([]string{
		fmt.Sprintf("Rectangle: %d x %d = %d mm2.", l, w, rectangle),
		fmt.Sprintf("Ellipse: pi/4 x %d x %d = %d mm2, rounded.", l, w, ellipse),
		fmt.Sprintf("Shaw: 0.73 x %d x %d = %d mm2, rounded.", l, w, shaw),
	}, out.Steps...)
	return out, nil
}

// areaAndEdge gives the area and the edge, and reports what is wrong.
func areaAndEdge(a *Args, s wound.Size) (mm2 int, mm float64) {
	area, _, problem := wound.Area(s)
	if problem != "" {
		a.refuse("%s", problem)
	}
	mm, _ = wound.Perimeter(s)
	return area.Value, mm
}

func tenth(v float64) any { return decimal(int(v*10+0.5), 1) }

// diameters reads two diameters. A diameter that is not given is not measured.
func diameters(a *Args, length, width string) wound.Size {
	return wound.Size{LengthMM: a.Int(length, 1, 500, "mm"), WidthMM: a.Int(width, 1, 500, "mm")}
}

func outline(a *Args, name string) []wound.Point {
	if !a.Has(name) {
		return nil
	}
	var ps []wound.Point
	for _, corner := range strings.Split(a.Text(name), ";") {
		x, y, ok := strings.Cut(corner, ",")
		px, errX := strconv.ParseFloat(strings.TrimSpace(x), 64)
		py, errY := strconv.ParseFloat(strings.TrimSpace(y), 64)
		if !ok || errX != nil || errY != nil {
			a.refuse("input %s: corner %d, %q, is not written x,y with corners separated by a semicolon", name, len(ps)+1, corner)
			return nil
		}
		ps = append(ps, wound.Point{X: px, Y: py})
	}
	return ps
}

func healingCalculator() Calculator {
	return Calculator{
		Name: "healing", Title: "Healing of an ulcer between two visits",
		Inputs: []Input{
			{Name: "days", Says: "days between the two visits, 1 to 3650", Required: true},
			{Name: "length-before-mm", Says: "longest diameter at the first visit, whole millimetres, 1 to 500"},
			{Name: "width-before-mm", Says: "widest diameter at the first visit, whole millimetres, 1 to 500, not more than the length"},
			{Name: "length-after-mm", Says: "longest diameter at the second visit, whole millimetres, 1 to 500"},
			{Name: "width-after-mm", Says: "widest diameter at the second visit, whole millimetres, 1 to 500, not more than the length"},
			{Name: "method", Says: "area of the diameters as: rectangle (when not given) or ellipse"},
			{Name: "area-before-mm2", Says: "area at the first visit, whole mm2, 1 to 250000, in place of diameters"},
			{Name: "area-after-mm2", Says: "area at the second visit by the same method, whole mm2, 0 (closed) to 250000"},
		},
		Example: "days=28 length-before-mm=30 width-before-mm=20 length-after-mm=20 width-after-mm=12 method=ellipse",
		Run:     runHealing,
	}
}

func runHealing(a *Args) (Output, error) {
	days := a.Int("days", 1, 3650, "days")
	before, after := diameters(a, "length-before-mm", "width-before-mm"), diameters(a, "length-after-mm", "width-after-mm")
	areaBefore, areaAfter := a.Int("area-before-mm2", 1, 250000, "mm2"), a.Int("area-after-mm2", 0, 250000, "mm2")
	if m := a.Word("method", "rectangle", "ellipse"); m != "" {
		_ = before.Method.UnmarshalText([]byte(m)) // Word has checked it
		after.Method = before.Method
	}
	byDiameters := before.LengthMM.Known() && before.WidthMM.Known() && after.LengthMM.Known() && after.WidthMM.Known()
	anyDiameter := a.Has("length-before-mm") || a.Has("width-before-mm") || a.Has("length-after-mm") || a.Has("width-after-mm")
	byAreas := areaBefore.Known() && areaAfter.Known()
	anyArea := a.Has("area-before-mm2") || a.Has("area-after-mm2")
	switch {
	case anyDiameter && anyArea:
		a.refuse("give diameters or areas at both visits, not some of each: areas by different methods are not compared")
	case !byDiameters && !byAreas:
		a.refuse("give length and width at both visits, or the area at both visits")
	case !days.Known():
		a.refuse("input days is needed, 1 to 3650")
	}
	if a.err() != nil {
		return Output{}, nil
	}
	if byAreas {
		tenths, rate, _ := wound.Change(areaBefore.Value, areaAfter.Value, days.Value)
		return healingOutput(days.Value, tenths, areaAfter.Value == 0, nil, rate), nil
	}
	areaAndEdge(a, before)
	areaAndEdge(a, after)
	const first = when.Day(1)
	t, ok := wound.TrendOf([]wound.Visit{{On: first, Size: before}, {On: first.AddDays(days.Value), Size: after}})
	if a.err() != nil || !ok {
		return Output{}, nil
	}
	return healingOutput(days.Value, t.ReductionTenths, false, &t, t.DecayPerWeek), nil
}

func healingOutput(days, tenths int, closed bool, t *wound.Trend, rate known.Reading) Output {
	onTrack, why := wound.OnTrack(days, tenths)
	if closed {
		onTrack, why = known.Yes, wound.ClosedBecause()
	}
	result := Fields{{"reductionPercent", decimal(tenths, 1)}, {"onTrack", onTrack.String()}, {"closed", closed}}
	if t != nil {
		result = append(result, Field{"method", t.Method.String()}, Field{"fromMm2", t.FromMM2}, Field{"toMm2", t.ToMM2},
			Field{"edgeMmPerWeek", decimal(t.EdgeUMPerWeek, 3)})
		why = append(why, wound.EdgeBecause()...)
	}
	if rate.Known() {
		result = append(result, Field{"exponentialPerWeek", decimal(rate.Value, 3)})
	}
	return output(result, why)
}
