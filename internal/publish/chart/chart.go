// Package chart draws what the numbers say: run chart, p-chart, funnel, the fan
// of a forecast, the size of a wound, bars.
//
// Every drawing comes three times over: as a picture, as one sentence that says
// what the picture shows, and as a table with every number in it. The picture
// is ink on paper: one colour, the reader's own text colour, so that it prints
// in grey and turns with a dark screen; what differs, differs by shape, by dash
// and by a word next to it. It carries no style, only attributes, so that a
// strict content-security policy lets it be.
package chart

import (
	"fmt"
	"html"
	"strconv"
	"strings"
	"unicode/utf8"
)

// Drawing is one chart.
type Drawing struct {
	// SVG is the picture, to stand inside a page.
	SVG string
	// Title names it; Says is what it shows, in a sentence or two.
	Title, Says string
	Table       Table
}

// Table is what a drawing shows, number for number.
type Table struct {
	Caption string
	Head    []string
	// Rows begin with the name of the row.
	Rows [][]string
}

// Figure is the drawing for a page: the picture, what it says, and the table
// behind a fold. It is safe HTML.
func (d Drawing) Figure() string {
	var b strings.Builder
	b.WriteString(`<figure class="chart">`)
	b.WriteString(d.SVG)
	b.WriteString(`<figcaption>` + escape(d.Says) + `</figcaption>`)
	b.WriteString(`<details class="chart-table"><summary>The numbers</summary>`)
	b.WriteString(d.Table.HTML())
	b.WriteString(`</details></figure>`)
	return b.String()
}

// HTML is the table as safe HTML.
func (t Table) HTML() string {
	var b strings.Builder
	b.WriteString(`<table class="answers"><caption>` + escape(t.Caption) + `</caption><thead><tr>`)
	for _, h := range t.Head {
		b.WriteString(`<th scope="col">` + escape(h) + `</th>`)
	}
	b.WriteString(`</tr></thead><tbody>`)
	for _, row := range t.Rows {
		b.WriteString(`<tr>`)
		for i, cell := range row {
			if i == 0 {
				b.WriteString(`<th scope="row">` + escape(cell) + `</th>`)
			} else {
				b.WriteString(`<td>` + escape(cell) + `</td>`)
			}
		}
		b.WriteString(`</tr>`)
	}
	b.WriteString(`</tbody></table>`)
	return b.String()
}

// File is the picture as a document of its own: black on white, with a font, for
// a slide or a report.
func (d Drawing) File() string {
	const begin = `<svg xmlns="http://www.w3.org/2000/svg" `
	head := `<?xml version="1.0" encoding="UTF-8"?>` + "\n" + begin + `color="#000" font-family="system-ui, 'DejaVu Sans', sans-serif" `
	svg := strings.Replace(d.SVG, begin, head, 1)
	return strings.Replace(svg, paperMark, `<rect width="100%" height="100%" fill="#fff"/>`, 1) + "\n"
}

// paperMark is where a drawing of its own gets its paper.
const paperMark = `<g class="chart-paper"></g>`

// ink collects the elements of a picture.
type ink struct {
	strings.Builder
	wide, high float64
}

// picture begins a picture with its title and description. The id must be
// unique on the page.
func picture(id, kind, title, says string, wide, high float64) *ink {
	p := &ink{wide: wide, high: high}
	id = escape(id)
	fmt.Fprintf(p, `<svg xmlns="http://www.w3.org/2000/svg" class="chart-picture chart-%s" width="%s" height="%s" viewBox="0 0 %s %s" role="img" aria-labelledby="%s-title %s-says" font-size="13" fill="currentColor" stroke-linejoin="round">`,
		kind, num(wide), num(high), num(wide), num(high), id, id)
	fmt.Fprintf(p, `<title id="%s-title">%s</title><desc id="%s-says">%s</desc>`, id, escape(title), id, escape(says))
	p.WriteString(paperMark)
	return p
}

// empty says in the picture why there is nothing in it.
func (p *ink) empty(words string) {
	p.text(p.wide/2, p.high/2, middle, "label", words)
}

func (p *ink) done() string {
	p.WriteString(`</svg>`)
	return p.String()
}

// anchor is which part of a text stands at its place.
type anchor string

const (
	start  anchor = "start"
	middle anchor = "middle"
	end    anchor = "end"
)

func (p *ink) text(x, y float64, at anchor, class, words string) {
	fmt.Fprintf(p, `<text x="%s" y="%s" text-anchor="%s" class="chart-%s">%s</text>`, num(x), num(y), at, class, escape(words))
}

// The strokes: how a line is told from another without colour.
const (
	solid  = `stroke-width="2"`
	thin   = `stroke-width="1"`
	dashed = `stroke-width="1.5" stroke-dasharray="7 4"`
	dotted = `stroke-width="1.5" stroke-dasharray="2 3"`
	faint  = `stroke-width="1" stroke-opacity="0.25"`
)

func (p *ink) line(x1, y1, x2, y2 float64, class, stroke string) {
	fmt.Fprintf(p, `<path class="chart-%s" d="M%s %sL%s %s" fill="none" stroke="currentColor" %s/>`, class, num(x1), num(y1), num(x2), num(y2), stroke)
}

// spot is a place in a picture.
type spot struct{ x, y float64 }

func way(spots []spot) string {
	var b strings.Builder
	for i, s := range spots {
		b.WriteByte("ML"[min(i, 1)])
		b.WriteString(num(s.x) + " " + num(s.y))
	}
	return b.String()
}

func (p *ink) path(spots []spot, class, stroke string) {
	if len(spots) > 1 {
		fmt.Fprintf(p, `<path class="chart-%s" d="%s" fill="none" stroke="currentColor" %s/>`, class, way(spots), stroke)
	}
}

// area fills what lies between an upper and a lower line.
func (p *ink) area(upper, lower []spot, class, opacity string) {
	if len(upper) < 2 {
		return
	}
	around := append([]spot{}, upper...)
	for i := len(lower) - 1; i >= 0; i-- {
		around = append(around, lower[i])
	}
	fmt.Fprintf(p, `<path class="chart-%s" d="%sZ" fill-opacity="%s"/>`, class, way(around), opacity)
}

// shape is how a point is told from another.
type shape uint8

const (
	ring shape = iota
	dot
	square
	openDiamond
	diamond
)

// mark draws a point that says its numbers when it is pointed at.
func (p *ink) mark(s spot, as shape, class, says string) {
	fill := `fill="currentColor" stroke="none"`
	if as == ring || as == openDiamond {
		fill = `fill="none" stroke="currentColor" stroke-width="1.5"`
	}
	var d string
	switch as {
	case ring, dot:
		fmt.Fprintf(p, `<circle class="chart-%s" cx="%s" cy="%s" r="4" %s><title>%s</title></circle>`, class, num(s.x), num(s.y), fill, escape(says))
		return
	case square:
		d = way([]spot{{s.x - 4, s.y - 4}, {s.x + 4, s.y - 4}, {s.x + 4, s.y + 4}, {s.x - 4, s.y + 4}})
	default:
		d = way([]spot{{s.x, s.y - 6.5}, {s.x + 6.5, s.y}, {s.x, s.y + 6.5}, {s.x - 6.5, s.y}})
	}
	fmt.Fprintf(p, `<path class="chart-%s" d="%sZ" %s><title>%s</title></path>`, class, d, fill, escape(says))
}

// num writes a coordinate with one decimal at most.
func num(v float64) string {
	s := strings.TrimSuffix(strconv.FormatFloat(v, 'f', 1, 64), ".0")
	if s == "-0" {
		return "0"
	}
	return s
}

// escape makes text safe in HTML and XML. Characters that XML does not allow are
// left out.
func escape(s string) string {
	clean := strings.Map(func(r rune) rune {
		switch {
		case r == utf8.RuneError || r == 0xFFFE || r == 0xFFFF, r < 0x20 && r != '\t' && r != '\n' && r != '\r':
			return -1
		}
		return r
	}, s)
	return html.EscapeString(clean)
}
