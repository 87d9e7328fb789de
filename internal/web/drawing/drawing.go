// Package drawing draws a foot in quiet lines from our own curves: the sole and
// the foot from above, each as the examiner sees it, with every place of the
// anatomy that is still there as a named thing.
//
// To a screen reader a drawing is a list of named places. Parts lost to
// amputation are not drawn and not listed. Nothing is told by colour alone: a
// mark has a letter and words.
package drawing

import (
	"fmt"
	"html"
	"strings"

	"tengram/internal/kernel/foot"
)

// View is the side of the foot that is drawn.
type View uint8

// The views.
const (
	Sole View = iota
	Top
)

// String returns "sole" or "top".
func (v View) String() string {
	if v == Top {
		return "top"
	}
	return "sole"
}

// Mark is what is shown at a place.
type Mark struct {
	// Letter is one or two letters inside the place, such as "U".
	Letter string
	// Class is the look: "finding", "danger", "normal", "open" or "".
	Class string
	// Words say what was recorded there, for the screen reader and the title.
	Words string
	// Was says what an earlier exam recorded there, if that is to be shown
	// beside; a quiet ring stands for it.
	Was string
}

// Drawing is one view of one foot.
type Drawing struct {
	Side foot.Side
	View View
	Loss foot.Loss
	// Marks by place; a place without one was not recorded.
	Marks map[foot.Place]Mark
	// Only keeps these places as things to touch; nil keeps all of the view.
	Only []foot.Place
	// Touch makes every place a button.
	Touch bool
	// Unmarked is said of a place without a mark; "not recorded" when empty.
	Unmarked string
	// Every keeps what is lost in the document, hidden, with the losses that
	// take it away in data-gone: a script can then show each loss at once.
	Every bool
	// Reach is half the least width of a target in the drawing's own units; 16
	// when zero. At 44 CSS pixels for a finger, 16 asks for a drawing at least
	// 275 pixels wide.
	Reach float64
	// Badge is the least half width of a place with a letter, where the letters
	// are large; 0 keeps the place as it is.
	Badge float64
}

// Places lists the places of the drawing that are there, in the order of the
// anatomy.
func (d Drawing) Places() []foot.Place {
	spots := d.spots()
	var ps []foot.Place
	for _, p := range foot.Places() {
		if _, drawn := spots[p]; drawn && (d.Every || d.Loss.Has(p)) && d.kept(p) {
			ps = append(ps, p)
		}
	}
	return ps
}

func (d Drawing) spots() map[foot.Place]spot {
	if d.View == Top {
		return instepSpots
	}
	return soleSpots
}

func (d Drawing) kept(p foot.Place) bool {
	if d.Only == nil {
		return true
	}
	for _, q := range d.Only {
		if p == q {
			return true
		}
	}
	return false
}

// Title names the drawing: "Right foot, sole".
func (d Drawing) Title() string {
	words := "sole"
	if d.View == Top {
		words = "from above"
	}
	return strings.ToUpper(d.Side.String()[:1]) + d.Side.String()[1:] + " foot, " + words
}

// SVG returns the drawing as an inline SVG element with classes and no styles.
func (d Drawing) SVG() string {
	var b strings.Builder
	fmt.Fprintf(&b, `<svg class="foot foot-%s foot-%s" viewBox="0 0 %d %d" role="group" aria-label="%s" data-side="%s" data-view="%s">`,
		d.Side, d.View, width, height, html.EscapeString(d.Title()), d.Side, d.View)
	if d.Every || d.Loss.FootGone() {
		fmt.Fprintf(&b, `<text class="foot-gone" x="%d" y="%d" text-anchor="middle"%s>amputated</text>`, width/2, height/2,
			d.only(d.Loss.FootGone(), goneLevels()))
	}
	if d.Every || !d.Loss.FootGone() {
		d.outline(&b)
		for _, p := range d.Places() {
			d.place(&b, p)
		}
	}
	b.WriteString(`</svg>`)
	return b.String()
}

// outline draws the foot itself, hidden from the screen reader.
func (d Drawing) outline(b *strings.Builder) {
	b.WriteString(`<g class="outline" aria-hidden="true">`)
	for n, t := range toes {
		toe := foot.Hallux + foot.Place(n)
		if !d.Every && !d.Loss.Has(toe) {
			continue
		}
		fmt.Fprintf(b, `<g%s>`, d.gone(toe))
		d.ellipse(b, "toe", t)
		if d.View == Top {
			d.ellipse(b, "nail", spot{point{t.x, t.y - t.ry*0.6}, t.rx * 0.52, t.ry * 0.2})
		}
		b.WriteString(`</g>`)
	}
	for _, level := range bodies {
		if here := d.Loss.Level == level || (level == foot.Whole && cuts[d.Loss.Level] == 0); here || d.Every {
			d.body(b, level, here && !d.Loss.FootGone())
		}
	}
	b.WriteString(`</g>`)
}

// bodies are the levels at which what is left of the foot looks different.
var bodies = []foot.Level{foot.Whole, foot.Transmetatarsal, foot.Midfoot, foot.Hindfoot}

func (d Drawing) body(b *strings.Builder, level foot.Level, here bool) {
	corners := sole
	if d.View == Top {
		corners = instep
	}
	shape := smooth(corners)
	levels := []foot.Level{level}
	if level == foot.Whole {
		levels = []foot.Level{foot.LevelUnknown, foot.Whole, foot.ToesOnly}
	} else {
		shape = below(shape, cuts[level])
	}
	fmt.Fprintf(b, `<path class="body"%s d="`, d.only(here, levels))
	for i, p := range shape {
		letter := "L"
		if i == 0 {
			letter = "M"
		}
		fmt.Fprintf(b, "%s%.1f %.1f", letter, d.x(p.x), p.y)
	}
	b.WriteString(`Z"/>`)
}

// gone and only are the attributes by which a script shows a loss: what is gone
// with which losses, and what is there only at which levels.
func (d Drawing) gone(p foot.Place) string {
	if !d.Every {
		return ""
	}
	return fmt.Sprintf(` data-gone="%s"%s`, GoneWith(p), hidden(!d.Loss.Has(p)))
}

func (d Drawing) only(here bool, levels []foot.Level) string {
	if !d.Every {
		return ""
	}
	return fmt.Sprintf(` data-only="%s"%s`, levelTokens(levels), hidden(!here))
}

func hidden(is bool) string {
	if is {
		return ` hidden=""`
	}
	return ""
}

func (d Drawing) x(x float64) float64 {
	if d.Side == foot.Left {
		return width - x
	}
	return x
}

func (d Drawing) ellipse(b *strings.Builder, class string, s spot) {
	fmt.Fprintf(b, `<ellipse class="%s" cx="%.1f" cy="%.1f" rx="%.1f" ry="%.1f"/>`, class, d.x(s.x), s.y, s.rx, s.ry)
}

// place draws one place: its shape, a target around it that a finger can hit,
// and its mark.
func (d Drawing) place(b *strings.Builder, p foot.Place) {
	s, m := d.spots()[p], d.Marks[p]
	words := m.Words
	if words == "" {
		words = d.Unmarked
	}
	if words == "" {
		words = "not recorded"
	}
	class := "place"
	if m.Class != "" {
		class += " place-" + m.Class
	}
	name := strings.ToUpper(p.Words()[:1]) + p.Words()[1:]
	role := `role="img"`
	if d.Touch {
		role = fmt.Sprintf(`role="button" tabindex="0" data-name="%s"`, html.EscapeString(name))
	}
	if m.Was != "" {
		role += fmt.Sprintf(` data-was="%s"`, html.EscapeString(m.Was))
	}
	fmt.Fprintf(b, `<g class="%s" %s data-side="%s" data-place="%s" aria-label="%s: %s"%s>`, class, role, d.Side, p,
		html.EscapeString(name), html.EscapeString(words), d.gone(p))
	if d.Touch {
		reach := d.Reach
		if reach == 0 {
			reach = 16
		}
		d.ellipse(b, "target", spot{s.point, max(s.rx, reach), max(s.ry, reach)})
	}
	if m.Letter != "" {
		s.rx, s.ry = max(s.rx, d.Badge), max(s.ry, d.Badge)
	}
	d.ellipse(b, "spot", s)
	if m.Was != "" {
		d.ellipse(b, "was", spot{s.point, max(s.rx, 10) + 5, max(s.ry, 10) + 5})
	}
	if m.Letter != "" || d.Touch {
		fmt.Fprintf(b, `<text x="%.1f" y="%.1f" text-anchor="middle" dominant-baseline="central" aria-hidden="true">%s</text>`, d.x(s.x), s.y, html.EscapeString(m.Letter))
	}
	b.WriteString(`</g>`)
}
