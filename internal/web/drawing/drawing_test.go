package drawing

import (
	"encoding/xml"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"

	"tengram/internal/kernel/foot"
)

func all() []Drawing {
	var ds []Drawing
	for _, side := range foot.Sides {
		for _, view := range []View{Sole, Top} {
			for l := foot.LevelUnknown; l <= foot.HipLevel; l++ {
				ds = append(ds, Drawing{Side: side, View: view, Loss: foot.Loss{Level: l}, Touch: true})
			}
			for bits := range 32 {
				ds = append(ds, Drawing{Side: side, View: view, Loss: foot.Loss{Level: foot.ToesOnly, Toes: foot.Toes(bits)}})
				ds = append(ds, Drawing{Side: side, View: view, Every: true, Loss: foot.Loss{Level: foot.ToesOnly, Rays: foot.Toes(bits)}})
			}
		}
	}
	return ds
}

func TestEveryPlaceIsOnExactlyOneView(t *testing.T) {
	for _, p := range foot.Places() {
		_, sole := soleSpots[p]
		_, top := instepSpots[p]
		if p != foot.Stump && sole == top {
			t.Errorf("%v is on the sole %v and on top %v", p, sole, top)
		}
	}
}

func TestEveryDrawingIsWellFormedAndLeavesAbsentPartsOut(t *testing.T) {
	for _, d := range all() {
		svg := d.SVG()
		decoder := xml.NewDecoder(strings.NewReader(svg))
		for {
			if _, err := decoder.Token(); err == io.EOF {
				break
			} else if err != nil {
				t.Fatalf("%s %v: %v\n%s", d.Title(), d.Loss, err, svg)
			}
		}
		for _, p := range foot.Places() {
			drawn := strings.Contains(svg, `data-place="`+p.String()+`"`)
			if drawn && !d.Every && !d.Loss.Has(p) {
				t.Errorf("%s with loss %v draws %v", d.Title(), d.Loss, p)
			}
		}
		if strings.Contains(svg, "style=") || strings.Contains(svg, "NaN") {
			t.Errorf("%s %v holds a style or no number", d.Title(), d.Loss)
		}
	}
}

func TestALeftFootIsTheMirrorOfARightFoot(t *testing.T) {
	right, left := Drawing{Side: foot.Right}, Drawing{Side: foot.Left}
	for p, s := range soleSpots {
		if math.Abs(right.x(s.x)+left.x(s.x)-width) > 1e-9 {
			t.Errorf("%v is not mirrored", p)
		}
	}
	if hallux := soleSpots[foot.Hallux].x; right.x(hallux) < width/2 || left.x(hallux) > width/2 {
		t.Error("the great toes do not meet in the middle as the examiner sees them")
	}
}

func TestPlacesLieInsideTheDrawingAndTellWhatIsThere(t *testing.T) {
	for _, spots := range []map[foot.Place]spot{soleSpots, instepSpots} {
		for p, s := range spots {
			if s.x-s.rx < 0 || s.x+s.rx > width || s.y-s.ry < 0 || s.y+s.ry > height {
				t.Errorf("%v leaves the drawing", p)
			}
		}
	}
	d := Drawing{Side: foot.Left, Touch: true, Marks: map[foot.Place]Mark{foot.MTH1: {Letter: "U", Class: "danger", Words: `ulcer "u1" <open>`}}}
	svg := d.SVG()
	for _, want := range []string{`aria-label="Ball of the foot, first metatarsal head: ulcer &#34;u1&#34; &lt;open&gt;"`, `aria-label="Heel: not recorded"`, `role="button"`} {
		if !strings.Contains(svg, want) {
			t.Errorf("the drawing lacks %s:\n%s", want, svg)
		}
	}
}

// The distance follows from 44 CSS pixels for a finger (WCAG 2.2, 2.5.5) in a
// drawing of 288 pixels.
func TestAFingerCanTellEveryTwoPlacesApart(t *testing.T) {
	const finger = 44.0 * width / 288
	for _, view := range []View{Sole, Top} {
		d := Drawing{View: view}
		for _, p := range d.Places() {
			for _, q := range d.Places() {
				a, b := d.spots()[p], d.spots()[q]
				if between := math.Hypot(a.x-b.x, a.y-b.y); p < q && between < finger {
					t.Errorf("%v and %v lie %.1f apart, a finger needs %.1f", p, q, between, finger)
				}
			}
		}
	}
}

func TestTheLossesNamedWithAPlaceDecideAsTheAnatomyDoes(t *testing.T) {
	for level := foot.LevelUnknown; level <= foot.HipLevel; level++ {
		for bits := range 1 << 10 {
			loss := foot.Loss{Level: level}
			words := map[string]bool{levelTokens([]foot.Level{level}): true}
			if level == foot.ToesOnly {
				loss.Toes, loss.Rays = foot.Toes(bits&31), foot.Toes(bits>>5)
				for _, n := range loss.Toes.List() {
					words["toe-"+strconv.Itoa(n)] = true
				}
				for _, n := range loss.Rays.List() {
					words["ray-"+strconv.Itoa(n)] = true
				}
			} else if bits > 0 {
				break
			}
			for _, p := range foot.Places() {
				if p == foot.Stump { // there only once something is lost, and never drawn
					continue
				}
				gone := slices.ContainsFunc(strings.Fields(GoneWith(p)), func(w string) bool { return words[w] })
				if gone == loss.Has(p) {
					t.Fatalf("%v with %+v: the words say gone %v, the anatomy says there %v", p, loss, gone, loss.Has(p))
				}
			}
			if gone := slices.ContainsFunc(strings.Fields(GoneWithFoot()), func(w string) bool { return words[w] }); gone != loss.FootGone() {
				t.Fatalf("%+v: the words say the foot is gone: %v", loss, gone)
			}
		}
	}
}

func TestADrawingOfEverythingHidesExactlyWhatIsLost(t *testing.T) {
	for level := foot.Whole; level <= foot.HipLevel; level++ {
		d := Drawing{Loss: foot.Loss{Level: level}, Every: true, Touch: true}
		if level == foot.ToesOnly {
			d.Loss.Toes = foot.ToesOf(2)
		}
		svg := d.SVG()
		bodies := strings.Count(svg, `class="body" data-only=`) - strings.Count(svg, `hidden="" d="`)
		if want := map[bool]int{true: 0, false: 1}[d.Loss.FootGone()]; bodies != want {
			t.Errorf("%v shows %d outlines, want %d", level, bodies, want)
		}
		for _, p := range d.Places() {
			_, after, _ := strings.Cut(svg, `data-place="`+p.String()+`"`)
			tag, _, _ := strings.Cut(after, ">")
			if hidden := strings.Contains(tag, "hidden"); hidden == d.Loss.Has(p) {
				t.Errorf("%v at %v: hidden %v", p, level, hidden)
			}
		}
	}
}
