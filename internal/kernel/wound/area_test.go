package wound

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"tengram/internal/kernel/known"
)

func diameters(length, width int, m Method) Size {
	return Size{LengthMM: known.Value(length), WidthMM: known.Value(width), Method: m}
}

func traced(scale float64, xy ...float64) Size {
	s := Size{Method: Traced, UnitsPerMM: scale}
	for i := 0; i+1 < len(xy); i += 2 {
		s.Outline = append(s.Outline, Point{xy[i], xy[i+1]})
	}
	return s
}

func TestArea(t *testing.T) {
	circle36 := Size{Method: Traced, UnitsPerMM: 0.01} // radius 1 unit is 100 mm
	for i := range 36 {
		angle := 2 * math.Pi * float64(i) / 36
		circle36.Outline = append(circle36.Outline, Point{math.Cos(angle), math.Sin(angle)})
	}
	// The expected areas and perimeters are the derived cases of the reference,
	// 7.6, in mm2 and mm.
	tests := []struct {
		name string
		size Size
		mm2  int
		mm   float64 // 0 is not checked
	}{
		{"30 x 20 mm as a rectangle", diameters(30, 20, Rectangle), 600, 100},
		{"30 x 20 mm as an ellipse, perimeter 7.933 cm", diameters(30, 20, Ellipse), 471, 79.33},
		{"20 x 12 mm as an ellipse, perimeter 5.105 cm", diameters(20, 12, Ellipse), 188, 51.05},
		{"42 x 28 mm as a rectangle", diameters(42, 28, Rectangle), 1176, 0},
		{"42 x 28 mm as an ellipse", diameters(42, 28, Ellipse), 924, 0},
		{"12 x 9 mm as a rectangle", diameters(12, 9, Rectangle), 108, 0},
		{"12 x 9 mm as an ellipse", diameters(12, 9, Ellipse), 85, 0},
		{"two diameters without a method are a rectangle (our proposal)", diameters(12, 9, MethodUnknown), 108, 0},
		{"a triangle of 4 by 3", traced(1, 0, 0, 4, 0, 0, 3), 6, 12},
		{"the same triangle the other way round", traced(1, 0, 3, 4, 0, 0, 0), 6, 12},
		{"the same triangle with its first corner again at the end", traced(1, 0, 0, 4, 0, 0, 3, 0, 0), 6, 12},
		{"an L of area 12 and perimeter 16", traced(1, 0, 0, 4, 0, 4, 2, 2, 2, 2, 4, 0, 4), 12, 16},
		{"36 corners on a circle of radius 100 mm enclose 312.57 cm2", circle36, 31257, 0},
		{"an outline without a method is traced", Size{Outline: traced(1, 0, 0, 4, 0, 0, 3).Outline, UnitsPerMM: 1}, 6, 12},
		{"a scale of 10 units a millimetre", traced(10, 0, 0, 40, 0, 0, 30), 6, 12},
		{"exactly 100 mm2 survives an odd scale", traced(3.7, 0, 0, 37, 0, 37, 37, 0, 37), 100, 40},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got, method, problem := Area(tt.size)
			if problem != "" || got != known.Value(tt.mm2) {
				t.Errorf("area %v by %v, problem %q; want %d mm2", got, method, problem, tt.mm2)
			}
			mm, problem := Perimeter(tt.size)
			if tt.mm != 0 && (problem != "" || math.Abs(mm-tt.mm) > 0.005) {
				t.Errorf("perimeter %.3f, problem %q; want %.2f", mm, problem, tt.mm)
			}
		})
	}
}

func TestAreaRefusesWhatCannotBe(t *testing.T) {
	var many Size
	many.Method, many.UnitsPerMM = Traced, 1
	for i := range maxCorners + 1 {
		angle := 2 * math.Pi * float64(i) / (maxCorners + 1)
		many.Outline = append(many.Outline, Point{math.Cos(angle), math.Sin(angle)})
	}
	tests := []struct {
		name string
		size Size
		says string
	}{
		{"a width above the length", diameters(20, 30, Rectangle), "width 30 mm is more than length 20 mm"},
		{"a length of nothing", diameters(0, 0, Rectangle), "1 mm or more"},
		{"a negative width", diameters(10, -2, Ellipse), "1 mm or more"},
		{"a length beyond any foot", diameters(501, 20, Rectangle), "over 500 mm"},
		{"traced without an outline", Size{Method: Traced, LengthMM: known.Value(3), WidthMM: known.Value(2)}, "no outline"},
		{"two corners", traced(1, 0, 0, 4, 0), "3 different corners"},
		{"three corners of which two are the same", traced(1, 0, 0, 4, 0, 4, 0), "3 different corners"},
		{"a figure of eight", traced(1, 0, 0, 4, 4, 4, 0, 0, 4), "crosses or touches itself"},
		{"an outline that touches itself in a corner", traced(1, 0, 0, 4, 0, 2, 2, 4, 4, 0, 4, 2, 2), "crosses or touches itself"},
		{"a spike out and back", traced(1, 0, 0, 4, 0, 8, 0, 4, 0, 0, 3), "crosses or touches itself"},
		{"three corners on one line", traced(1, 0, 0, 2, 0, 4, 0), "crosses or touches itself"},
		{"a scale of nothing", traced(0, 0, 0, 4, 0, 0, 3), "scale"},
		{"a negative scale", traced(-2, 0, 0, 4, 0, 0, 3), "scale"},
		{"a scale that is no number", traced(math.NaN(), 0, 0, 4, 0, 0, 3), "scale"},
		{"a corner that is no number", traced(1, 0, 0, math.NaN(), 0, 0, 3), "corner 2"},
		{"a corner at infinity", traced(1, 0, 0, 4, 0, 0, math.Inf(1)), "corner 3"},
		{"an area beyond any foot", traced(0.001, 0, 0, 4, 0, 0, 3), "more than a foot has"},
		{"more corners than a hand draws", many, "more than 2000"},
		{"a method that does not exist", Size{Method: 9, LengthMM: known.Value(3)}, "is not rectangle"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got, _, problem := Area(tt.size)
			if got.Known() || !strings.Contains(problem, tt.says) {
				t.Errorf("area %v, problem %q; want no area and a problem that says %q", got, problem, tt.says)
			}
			if mm, again := Perimeter(tt.size); mm != 0 || again != problem {
				t.Errorf("perimeter %v and problem %q, want 0 and %q", mm, again, problem)
			}
		})
	}
}

func TestAreaOfWhatWasNotMeasured(t *testing.T) {
	for name, tt := range map[string]struct {
		size Size
		want known.ReadingState
	}{
		"nothing recorded":            {Size{}, known.NotMeasured},
		"one diameter alone":          {Size{LengthMM: known.Value(12)}, known.NotMeasured},
		"a width that was refused":    {Size{LengthMM: known.Value(12), WidthMM: known.Reading{State: known.MeasureDeclined}}, known.MeasureDeclined},
		"a length not possible":       {Size{LengthMM: known.Reading{State: known.CannotMeasure}}, known.CannotMeasure},
		"a method but no measurement": {Size{Method: Ellipse}, known.NotMeasured},
	} {
		got, _, problem := Area(tt.size)
		if got.State != tt.want || problem != "" {
			t.Errorf("%s: %v and problem %q, want state %d and none", name, got, problem, tt.want)
		}
	}
}

// star draws a polygon that cannot cross itself: corners in order of angle
// round a centre.
func star(t *rapid.T) []Point {
	n := rapid.IntRange(3, 40).Draw(t, "corners")
	ps := make([]Point, n)
	for i := range ps {
		r := rapid.Float64Range(5, 60).Draw(t, "radius")
		angle := 2 * math.Pi * float64(i) / float64(n)
		ps[i] = Point{r * math.Cos(angle), r * math.Sin(angle)}
	}
	return ps
}

func TestShoelaceDoesNotDependOnHowTheOutlineIsDrawn(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		ps := star(t)
		want, edge, problem := outlineArea(ps, 1)
		if problem != "" {
			t.Fatalf("refused a star: %s", problem)
		}
		start := rapid.IntRange(0, len(ps)-1).Draw(t, "start")
		turned := append(append([]Point{}, ps[start:]...), ps[:start]...)
		if rapid.Bool().Draw(t, "backwards") {
			for i, j := 0, len(turned)-1; i < j; i, j = i+1, j-1 {
				turned[i], turned[j] = turned[j], turned[i]
			}
		}
		dx, dy := rapid.Float64Range(-900, 900).Draw(t, "dx"), rapid.Float64Range(-900, 900).Draw(t, "dy")
		sin, cos := math.Sincos(rapid.Float64Range(0, 2*math.Pi).Draw(t, "angle"))
		for i, p := range turned {
			turned[i] = Point{p.X*cos - p.Y*sin + dx, p.X*sin + p.Y*cos + dy}
		}
		got, gotEdge, problem := outlineArea(turned, 1)
		if problem != "" || math.Abs(got-want) > 1e-6*want || math.Abs(gotEdge-edge) > 1e-6*edge {
			t.Fatalf("area %v and edge %v, problem %q; want %v and %v", got, gotEdge, problem, want, edge)
		}
	})
}

func FuzzArea(f *testing.F) {
	f.Add([]byte{0, 0, 40, 0, 40, 40, 0, 40}, 1.0)
	f.Add([]byte{0, 0, 40, 40, 40, 0, 0, 40}, 3.7)
	f.Add([]byte{1, 1, 1}, 0.0)
	f.Fuzz(func(t *testing.T, corners []byte, scale float64) {
		s := Size{Method: Traced, UnitsPerMM: scale}
		for i := 0; i+1 < len(corners) && i < 400; i += 2 {
			s.Outline = append(s.Outline, Point{float64(corners[i]) / 3, float64(int8(corners[i+1]))})
		}
		area, method, problem := Area(s)
		edge, _ := Perimeter(s)
		if area.Known() == (problem != "") {
			t.Fatalf("area %v and problem %q", area, problem)
		}
		if area.Value < 0 || area.Value > maxMM*maxMM || edge < 0 || math.IsNaN(edge) || method != Traced {
			t.Fatalf("area %v, edge %v, method %v", area, edge, method)
		}
	})
}
