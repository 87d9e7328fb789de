package chart

import (
	"fmt"
	"strconv"
	"strings"
)

// paperMark is where a drawing of its own gets its paper.
const paperMark = `<g class="chart-paper"></g>`

// drawing writes the picture as SVG: its title and description first, and then
// every element with attributes only.
func (p *ink) drawing(d Drawing) Drawing {
	var b strings.Builder
	id := escape(p.id)
	fmt.Fprintf(&b, `<svg xmlns="http://www.w3.org/2000/svg" class="chart-picture chart-%s" width="%s" height="%s" viewBox="0 0 %s %s" role="img" aria-labelledby="%s-title" font-size="%d" fill="currentColor" stroke-linejoin="round">`,
		p.kind, num(p.Wide), num(p.High), num(p.Wide), num(p.High), id, Letter)
	fmt.Fprintf(&b, `<title id="%s-title">%s</title><desc>%s</desc>`, id, escape(p.title), escape(p.caption))
	b.WriteString(paperMark)
	for _, e := range p.Elements {
		e.write(&b)
	}
	b.WriteString(`</svg>`)
	d.SVG, d.Picture, d.id = b.String(), p.Picture, p.id
	return d
}

func (e Element) write(b *strings.Builder) {
	at := e.Spots[0]
	switch {
	case e.Words != "":
		fmt.Fprintf(b, `<text class="chart-%s" x="%s" y="%s" text-anchor="%s">%s</text>`, e.Class, num(at.X), num(at.Y), e.Anchor, escape(e.Words))
	case e.Radius > 0:
		fmt.Fprintf(b, `<circle class="chart-%s" cx="%s" cy="%s" r="%s"%s`, e.Class, num(at.X), num(at.Y), num(e.Radius), e.paint())
		e.close(b, "circle")
	default:
		fmt.Fprintf(b, `<path class="chart-%s" d="%s"%s`, e.Class, e.way(), e.paint())
		e.close(b, "path")
	}
}

func (e Element) close(b *strings.Builder, name string) {
	if e.Says == "" {
		b.WriteString(`/>`)
		return
	}
	fmt.Fprintf(b, `><title>%s</title></%s>`, escape(e.Says), name)
}

// paint is how inside and line are inked. The picture's own fill is full ink.
func (e Element) paint() string {
	out := ""
	switch {
	case e.Fill == 0:
		out = ` fill="none"`
	case e.Fill < 1:
		out = fmt.Sprintf(` fill-opacity="%.2f"`, e.Fill)
	}
	s := e.Stroke
	if s.Width == 0 {
		return out
	}
	out += fmt.Sprintf(` stroke="currentColor" stroke-width="%s"`, num(s.Width))
	if s.Dash[0] > 0 {
		out += fmt.Sprintf(` stroke-dasharray="%s %s"`, num(s.Dash[0]), num(s.Dash[1]))
	}
	if s.Faint {
		out += ` stroke-opacity="0.25"`
	}
	return out
}

func (e Element) way() string {
	var b strings.Builder
	for i, s := range e.Spots {
		b.WriteByte("ML"[min(i, 1)])
		b.WriteString(num(s.X) + " " + num(s.Y))
	}
	if e.Closed {
		b.WriteByte('Z')
	}
	return b.String()
}

// num writes a coordinate with one decimal at most.
func num(v float64) string {
	s := strings.TrimSuffix(strconv.FormatFloat(v, 'f', 1, 64), ".0")
	if s == "-0" {
		return "0"
	}
	return s
}
