package chart

import (
	"fmt"
	"math"

	"tengram/internal/kernel/when"
)

// Size is the area of a wound on one day, in square millimetres.
type Size struct {
	On      when.Day
	AreaMM2 int
}

// Sizes draws the size of one wound over time. All sizes are found by one
// method, oldest first; place says where the wound is, method how it was
// measured. The line at half the first size is a help to the eye.
func Sizes(id, place, method string, sizes []Size) Drawing {
	d := Drawing{Title: "Size of the wound, " + place}
	d.Table = Table{Caption: d.Title, Head: []string{"Day", "Area", "Against the first"}}
	for _, s := range sizes {
		d.Table.Rows = append(d.Table.Rows, []string{day(s.On), squareCM(s.AreaMM2), change(sizes[0].AreaMM2, s.AreaMM2)})
	}
	if len(sizes) == 0 {
		d.Says = "No size was measured."
	} else {
		first, last := sizes[0], sizes[len(sizes)-1]
		d.Says = fmt.Sprintf("Measured %s by %s: %s on %s", counted(len(sizes), "time", "times"), method, squareCM(first.AreaMM2), day(first.On))
		if len(sizes) > 1 {
			d.Says += fmt.Sprintf(", %s on %s, %s in %s", squareCM(last.AreaMM2), day(last.On), change(first.AreaMM2, last.AreaMM2), counted(int(last.On-first.On), "day", "days"))
		}
		d.Says += "."
	}
	p := Format{Wide: 360, High: 170}.picture(id, "size", d.Title, d.Says)
	if len(sizes) > 0 {
		sizeCurve(p, sizes)
	} else {
		p.empty(d.Says)
	}
	return p.drawing(d)
}

func sizeCurve(p *ink, sizes []Size) {
	left, right, top, bottom := 58.0, p.Wide-46, 14.0, p.High-30
	most := 1
	for _, s := range sizes {
		most = max(most, s.AreaMM2)
	}
	first, last := sizes[0], sizes[len(sizes)-1]
	days := float64(max(1, last.On-first.On))
	x := func(d when.Day) float64 { return left + float64(d-first.On)/days*(right-left) }
	y := func(mm2 float64) float64 { return bottom - mm2/float64(most)*(bottom-top) }
	p.line(left, bottom, right, bottom, "axis", thin)
	p.line(left, top, left, bottom, "axis", thin)
	p.text(left-6, y(float64(most))+4.5, end, "scale", squareCM(most))
	p.text(left-6, bottom+4.5, end, "scale", "0")
	p.text(left, bottom+18, start, "scale", shortDay(first.On))
	if half := float64(first.AreaMM2) / 2; half > 0 {
		p.line(left, y(half), right, y(half), "half", dotted)
		p.text(right+5, y(half)+4.5, start, "label", "half")
	}
	var along []Spot
	for _, s := range sizes {
		along = append(along, Spot{x(s.On), y(float64(s.AreaMM2))})
	}
	p.path(along, "line", solid)
	for i, s := range sizes {
		p.mark(along[i], dot, "point", day(s.On)+": "+squareCM(s.AreaMM2))
	}
	if len(sizes) > 1 {
		p.text(right, bottom+18, end, "scale", shortDay(last.On))
	}
}

func squareCM(mm2 int) string { return fmt.Sprintf("%.1f cm²", float64(mm2)/100) }

func change(first, now int) string {
	switch {
	case first <= 0:
		return "not compared"
	case now == first:
		return "unchanged"
	case now < first:
		return fmt.Sprintf("%.0f %% smaller", 100*(1-float64(now)/float64(first)))
	}
	return fmt.Sprintf("%.0f %% larger", 100*(float64(now)/float64(first)-1))
}

// Bar is one bar: a name and how many.
type Bar struct {
	Name  string
	Count int
}

// Bars draws a few counts beside each other, such as people by risk category.
// What they are is told by the words at each bar.
func Bars(id, title string, bars []Bar) Drawing {
	d := Drawing{Title: title, Table: Table{Caption: title, Head: []string{"Group", "People", "Share"}}}
	total, most := 0, 1
	widest := 0
	for _, b := range bars {
		total, most = total+b.Count, max(most, b.Count)
		widest = max(widest, len([]rune(short(b.Name))))
	}
	var words []string
	for _, b := range bars {
		share := 0.0
		if total > 0 {
			share = float64(b.Count) / float64(total)
		}
		words = append(words, fmt.Sprintf("%s %d", b.Name, b.Count))
		d.Table.Rows = append(d.Table.Rows, []string{b.Name, fmt.Sprint(b.Count), percent(share)})
	}
	d.Says = title + ": " + list(words) + "."
	if len(bars) == 0 {
		d.Says = title + ": nobody."
	}
	const row = 26.0
	p := Format{Wide: 420, High: row*float64(max(1, len(bars))) + 8}.picture(id, "bars", d.Title, d.Says)
	left := min(200, 8*float64(widest)+14)
	if len(bars) == 0 {
		p.empty(d.Says)
	}
	for i, b := range bars {
		y := 4 + row*float64(i)
		length := math.Round((p.Wide - left - 60) * float64(b.Count) / float64(most))
		p.text(left-8, y+17, end, "label", short(b.Name))
		right, low := left+length, y+22
		p.put(Element{Class: "bar", Spots: []Spot{{left, y + 4}, {right, y + 4}, {right, low}, {left, low}}, Closed: true, Fill: 0.72, Says: fmt.Sprintf("%s: %d", b.Name, b.Count)})
		p.text(left+length+7, y+17, start, "label", fmt.Sprint(b.Count))
	}
	return p.drawing(d)
}
