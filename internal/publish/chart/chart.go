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
	"html"
	"strings"
	"unicode/utf8"
)

// Drawing is one chart.
type Drawing struct {
	// SVG is the picture, to stand inside a page.
	SVG string
	// Picture is the same picture as a list of elements, for another kind of
	// paper.
	Picture Picture
	// Title names it; Says is what it shows, in a sentence or two.
	Title, Says string
	Table       Table
	id          string
}

// Table is what a drawing shows, number for number.
type Table struct {
	Caption string
	Head    []string
	// Rows begin with the name of the row.
	Rows [][]string
}

// Figure is the drawing for a page: the picture, what it says, and the table
// behind a fold. It is safe HTML. Figure and picture are called by the title, and
// the sentence stands below them only: who listens hears it once.
func (d Drawing) Figure() string {
	var b strings.Builder
	b.WriteString(`<figure class="chart" aria-labelledby="` + escape(d.id) + `-title">`)
	b.WriteString(strings.Replace(d.SVG, `<desc>`+escape(d.Says)+`</desc>`, "", 1))
	b.WriteString(`<figcaption>` + escape(d.Says) + `</figcaption>`)
	b.WriteString(`<details class="chart-table"><summary>The numbers<span class="unseen">: ` + escape(d.Title) + `</span></summary>`)
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
