package chart

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"tengram/internal/kernel/trend"
)

// Funnel draws groups by their size and their rate, with the limits within which
// chance keeps a group of that size. groups is what they are, such as "sites".
func (format Format) Funnel(id, name, groups string, f trend.Funnel) Drawing {
	d := Drawing{Title: "Funnel: " + name + " by " + groups}
	d.Says = funnelWords(name, groups, f)
	d.Table = funnelTable(d.Title, f)
	p := format.picture(id, "funnel", d.Title, d.Says)
	if !f.OK {
		p.empty(d.Says)
		return p.drawing(d)
	}
	low, high := f.Centre, f.Centre
	largest := 1
	for _, g := range f.Groups {
		r, _ := g.Rate()
		low, high = min(low, r, g.Inner.Low), max(high, r, g.Inner.High)
		largest = max(largest, g.Of)
	}
	a := rates(p, low, high)
	x := func(of int) float64 { return a.left + float64(of)/(1.05*float64(largest))*(a.right-a.left) }
	a.sizeScale(largest, x)
	a.funnelLimits(f, x)
	a.line(a.left, a.y(f.Centre), a.right, a.y(f.Centre), "centre", dashed)
	a.label(a.y(f.Centre), "together")
	a.funnelGroups(f, x)
	p.legends(a.left, []legend{
		{stroke: dotted, words: "19 of 20 by chance"}, {stroke: thin, words: "998 of 1000"},
		{shape: ring, words: "within"}, {shape: openDiamond, words: "beyond the first"}, {shape: diamond, words: "beyond both"},
	})
	return p.drawing(d)
}

func (a *frame) sizeScale(largest int, x func(int) float64) {
	step := niceStep(float64(largest), 6)
	for n := 0; n <= largest; n += step {
		a.text(x(n), a.bottom+17, middle, "scale", fmt.Sprint(n))
	}
	a.text((a.left+a.right)/2, a.bottom+33, middle, "scale", "people counted")
}

// niceStep is 1, 2 or 5 times a power of ten, so that about so many steps make
// the whole.
func niceStep(whole float64, steps int) int {
	step := 1.0
	for {
		for _, m := range []float64{1, 2, 5} {
			if whole/(step*m) <= float64(steps) {
				return int(step * m)
			}
		}
		step *= 10
	}
}

// funnelLimits draws the four limits, cut to the frame, and names them at their
// right ends.
func (a *frame) funnelLimits(f trend.Funnel, x func(int) float64) {
	cut := func(rate float64) float64 { return min(a.high, max(a.low, rate)) }
	for _, l := range []struct {
		stroke Stroke
		of     func(trend.FunnelLimit) float64
	}{
		{dotted, func(l trend.FunnelLimit) float64 { return l.Inner.Low }},
		{dotted, func(l trend.FunnelLimit) float64 { return l.Inner.High }},
		{thin, func(l trend.FunnelLimit) float64 { return l.Outer.Low }},
		{thin, func(l trend.FunnelLimit) float64 { return l.Outer.High }},
	} {
		var along []Spot
		for _, c := range f.Curve {
			if c.Size >= 1 && x(c.Size) <= a.right+0.1 {
				along = append(along, Spot{x(c.Size), a.y(cut(l.of(c)))})
			}
		}
		a.path(along, "limit", l.stroke)
	}
}

// funnelGroups draws the groups, and names those beyond a limit, or all where
// they are few.
func (a *frame) funnelGroups(f trend.Funnel, x func(int) float64) {
	type named struct {
		at    Spot
		words string
	}
	var names []named
	for _, g := range f.Groups {
		r, _ := g.Rate()
		at := Spot{x(g.Of), a.y(r)}
		as := []shape{ring, openDiamond, diamond}[g.Beyond]
		a.mark(at, as, "point", g.Name+": "+part(g.Met, g.Of)+beyondWords(g))
		if g.Beyond > 0 || len(f.Groups) <= 8 {
			names = append(names, named{at, g.Name})
		}
	}
	slices.SortStableFunc(names, func(m, n named) int { return cmp.Compare(m.at.Y, n.at.Y) })
	lines := a.funnelLines(f, x)
	var taken []box
	for _, g := range f.Groups {
		r, _ := g.Rate()
		taken = append(taken, box{x(g.Of) - 7, a.y(r) - 7, x(g.Of) + 7, a.y(r) + 7})
	}
	for _, n := range names {
		b, where := a.free(taken, lines, n.at, n.words)
		taken = append(taken, b)
		px := b.x1
		if where == end {
			px = b.x2
		}
		a.text(px, b.y2-4, where, "label", short(n.words))
	}
}

// funnelLines are where the lines run, and where the middle one is named.
func (a *frame) funnelLines(f trend.Funnel, x func(int) float64) []box {
	y := a.y(f.Centre)
	boxes := []box{{a.left, y - 2, a.right, y + 2}, {a.right + 5, y - 8, a.right + 75, y + 8}}
	for i, c := range f.Curve[1:] {
		before := f.Curve[i]
		for _, pair := range [][2]float64{{before.Inner.Low, c.Inner.Low}, {before.Inner.High, c.Inner.High}, {before.Outer.Low, c.Outer.Low}, {before.Outer.High, c.Outer.High}} {
			y1, y2 := a.y(pair[0]), a.y(pair[1])
			boxes = append(boxes, box{x(before.Size), min(y1, y2) - 1, x(c.Size), max(y1, y2) + 1})
		}
	}
	return boxes
}

// box is where a word stands.
type box struct{ x1, y1, x2, y2 float64 }

func (b box) touches(o box) bool { return b.x1 < o.x2 && o.x1 < b.x2 && b.y1 < o.y2 && o.y1 < b.y2 }

// free finds a place for a word near a point: close by on no line, else where
// no word and no point stands, else the first inside the frame.
func (a *frame) free(taken, lines []box, at Spot, name string) (box, Anchor) {
	wide := 7.2 * float64(len([]rune(short(name))))
	type place struct {
		box   box
		where Anchor
	}
	var inside, near []place
	for _, shift := range []float64{0, -13, 13, -26, 26, -40, 40} {
		for _, side := range []Anchor{start, end} {
			b := box{at.X + 10, at.Y + shift - 9, at.X + 10 + wide, at.Y + shift + 8}
			if side == end {
				b.x1, b.x2 = at.X-10-wide, at.X-10
			}
			if b.x1 >= a.left && b.x2 <= a.right+70 && b.y1 >= a.top-8 && b.y2 <= a.bottom {
				inside = append(inside, place{b, side})
				if shift >= -13 && shift <= 13 {
					near = append(near, place{b, side})
				}
			}
		}
	}
	for _, try := range []struct {
		places []place
		avoid  []box
	}{{near, append(slices.Clip(taken), lines...)}, {inside, taken}} {
		for _, p := range try.places {
			if !slices.ContainsFunc(try.avoid, p.box.touches) {
				return p.box, p.where
			}
		}
	}
	if len(inside) > 0 {
		return inside[0].box, inside[0].where
	}
	return box{at.X + 10, at.Y - 9, at.X + 10 + wide, at.Y + 8}, start
}

func short(name string) string {
	r := []rune(name)
	if len(r) <= 22 {
		return name
	}
	return string(r[:21]) + "…"
}

func beyondWords(g trend.FunnelGroup) string {
	side := "below"
	if g.Up {
		side = "above"
	}
	switch g.Beyond {
	case 1:
		return ", " + side + " the first limit"
	case 2:
		return ", " + side + " both limits"
	}
	return ""
}

func funnelWords(name, groups string, f trend.Funnel) string {
	if !f.OK {
		return name + " by " + groups + ": nobody is counted."
	}
	says := fmt.Sprintf("%s by %s. Together they make %s. ", name, groups, percent(f.Centre))
	var beyond []string
	for _, g := range f.Groups {
		if g.Beyond > 0 {
			r, _ := g.Rate()
			beyond = append(beyond, g.Name+" ("+percent(r)+beyondWords(g)+")")
		}
	}
	if len(beyond) == 0 {
		return says + "No one differs by more than chance."
	}
	says += "More than chance: " + list(beyond) + "."
	if byChance := math.Round(float64(len(f.Groups)) / 20); byChance >= 1 {
		says += fmt.Sprintf(" Of %d groups about %.0f lie beyond the first limit by chance alone.", len(f.Groups), byChance)
	}
	return says
}

func funnelTable(title string, f trend.Funnel) Table {
	t := Table{Caption: title, Head: []string{"Group", "Met", "Counted", "Rate", "95 % interval", "By chance, 19 of 20", "Beyond"}}
	for _, g := range f.Groups {
		r, _ := g.Rate()
		beyond := "no"
		if g.Beyond > 0 {
			beyond = beyondWords(g)[2:]
		}
		t.Rows = append(t.Rows, []string{g.Name, fmt.Sprint(g.Met), fmt.Sprint(g.Of), percent(r),
			percent(g.Interval.Low) + " to " + percent(g.Interval.High), percent(g.Inner.Low) + " to " + percent(g.Inner.High), beyond})
	}
	return t
}
