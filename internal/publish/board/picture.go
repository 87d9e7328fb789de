package board

import (
	"math"

	"codeberg.org/go-pdf/fpdf"

	"tengram/internal/publish/chart"
)

// draw draws a picture in a width and returns the height below it.
func (p *paper) draw(x, y, wide float64, pic chart.Picture) float64 {
	scale := wide / pic.Wide
	at := func(s chart.Spot) (float64, float64) { return x + s.X*scale, y + s.Y*scale }
	for _, e := range pic.Elements {
		p.pen(e, scale)
		px, py := at(e.Spots[0])
		switch {
		case e.Words != "":
			p.SetFont(font, "", chart.Letter*scale/0.3528)
			wide := p.GetStringWidth(printable(e.Words))
			switch e.Anchor {
			case "middle":
				px -= wide / 2
			case "end":
				px -= wide
			}
			p.Text(px, py, printable(e.Words))
		case e.Radius > 0:
			p.Circle(px, py, e.Radius*scale, style(e))
		default:
			p.way(e, at)
		}
	}
	p.SetDashPattern([]float64{}, 0)
	p.SetDrawColor(0, 0, 0)
	p.SetFillColor(0, 0, 0)
	return y + pic.High*scale
}

// pen sets line and inside. Ink on paper has no transparency: what is thin in
// the picture is grey here.
func (p *paper) pen(e chart.Element, scale float64) {
	grey := func(ink float64) int { return int(math.Round(255 * (1 - ink))) }
	line := grey(1)
	if e.Stroke.Faint {
		line = grey(0.25)
	}
	p.SetDrawColor(line, line, line)
	p.SetLineWidth(max(e.Stroke.Width, 0.5) * scale)
	fill := grey(e.Fill)
	if e.Fill > 0 && e.Fill < 0.5 { // bands lie over each other
		fill = grey(1.6 * e.Fill)
	}
	p.SetFillColor(fill, fill, fill)
	dash := []float64{}
	if e.Stroke.Dash[0] > 0 {
		dash = []float64{e.Stroke.Dash[0] * scale, e.Stroke.Dash[1] * scale}
	}
	p.SetDashPattern(dash, 0)
}

func style(e chart.Element) string {
	switch {
	case e.Fill > 0 && e.Stroke.Width > 0:
		return "FD"
	case e.Fill > 0:
		return "F"
	}
	return "D"
}

func (p *paper) way(e chart.Element, at func(chart.Spot) (float64, float64)) {
	if e.Closed {
		points := make([]fpdf.PointType, len(e.Spots))
		for i, s := range e.Spots {
			points[i].X, points[i].Y = at(s)
		}
		p.Polygon(points, style(e))
		return
	}
	for i, s := range e.Spots {
		x, y := at(s)
		if i == 0 {
			p.MoveTo(x, y)
		} else {
			p.LineTo(x, y)
		}
	}
	p.DrawPath("D")
}
