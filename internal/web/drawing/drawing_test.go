package drawing

import (
	"encoding/xml"
	"io"
	"math"
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
			if drawn && !d.Loss.Has(p) {
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
