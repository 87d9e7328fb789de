package board

import (
	"io"
	"strings"
	"time"

	"codeberg.org/go-pdf/fpdf"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"

	"tengram/internal/publish/chart"
)

// The page, in millimetres: US letter, upright.
const (
	pageWide, pageHigh = 215.9, 279.4
	margin             = 15.0
	bodyWide           = pageWide - 2*margin
	columnGap          = 8.0
	half               = (bodyWide - columnGap) / 2
)

// Render writes the report as a PDF of one page. It carries its title and its
// language, and no structure for a screen reader: the accessible form is the
// HTML, and the page says so. The same input gives the same bytes.
func Render(w io.Writer, in Input) error {
	c := compose(in)
	p := newPaper(in, c)
	p.head(c)
	p.pictures(c)
	p.sites(c)
	p.programme(c)
	p.foot(in, c)
	return p.Output(w)
}

// paper is the page under way.
type paper struct {
	*fpdf.Fpdf
	y float64
}

const font = "go"

func newPaper(in Input, c content) *paper {
	f := fpdf.New("P", "mm", "Letter", "")
	y, m, d := in.On.YMD()
	day := time.Date(y, m, d, 0, 0, 0, 0, time.UTC)
	f.SetCatalogSort(true)
	f.SetCreationDate(day)
	f.SetModificationDate(day)
	f.SetTitle(c.title+": "+c.subtitle, true)
	f.SetSubject(in.Measure.Title, true)
	f.SetLang("en-US")
	f.SetProducer("Tengram", true)
	f.AddUTF8FontFromBytes(font, "", goregular.TTF)
	f.AddUTF8FontFromBytes(font, "B", gobold.TTF)
	f.SetMargins(margin, margin, margin)
	f.SetAutoPageBreak(false, 0)
	f.AddPage()
	return &paper{Fpdf: f, y: margin}
}

// write writes words into a column and returns the height below them. size is in
// points.
func (p *paper) write(x, y, wide, size float64, style, words string) float64 {
	p.SetFont(font, style, size)
	high := size * 0.3528 * 1.32
	for _, line := range p.SplitText(printable(words), wide) {
		p.Text(x, y+high*0.78, strings.TrimSpace(line))
		y += high
	}
	return y
}

// printable leaves out what the font's sixteen bits cannot hold.
func printable(s string) string {
	return strings.Map(func(r rune) rune {
		if r > 0xFFFF || r < 0x20 {
			return -1
		}
		return r
	}, s)
}

func (p *paper) rule(y float64) {
	p.SetDrawColor(120, 120, 120)
	p.SetLineWidth(0.2)
	p.Line(margin, y, pageWide-margin, y)
}

func (p *paper) head(c content) {
	p.y = p.write(margin, p.y, bodyWide, 19, "B", c.title)
	p.y = p.write(margin, p.y, bodyWide, 10.5, "", c.subtitle) + 3
	p.rule(p.y)
	p.y += 4
	p.write(margin, p.y+1, 48, 30, "B", c.rate)
	below := p.write(margin+52, p.y, bodyWide-52, 10.5, "", c.year)
	p.y = max(below, p.y+15) + 3
}

// pictures draws up to two pictures beside each other, each with its title above
// and its words below.
func (p *paper) pictures(c content) {
	x, lowest := margin, p.y
	for _, d := range c.drawings {
		lowest = max(lowest, p.figure(x, p.y, half, d))
		x += half + columnGap
	}
	p.y = lowest + 3
}

func (p *paper) figure(x, y, wide float64, d chart.Drawing) float64 {
	y = p.write(x, y, wide, 10.5, "B", d.Title) + 1
	y = p.draw(x, y, wide, d.Picture) + 1
	return p.write(x, y, wide, 8.5, "", d.Says)
}

func (p *paper) sites(c content) {
	if len(c.sites.Rows) == 0 {
		return
	}
	p.rule(p.y)
	p.y += 3
	top := p.y
	y := p.write(margin, top, half, 10.5, "B", c.sites.Caption) + 1
	y = p.table(margin, y, half, []float64{0.30, 0.13, 0.17, 0.16, 0.24}, c.sites)
	y = p.write(margin, y+1, half, 8.5, "", c.siteWords)
	if c.funnel != nil {
		y = max(y, p.figure(margin+half+columnGap, top, half, *c.funnel))
	}
	p.y = y + 3
}

// mostSites is how many sites the page has room for; the HTML has all.
const mostSites = 7

func (p *paper) table(x, y, wide float64, columns []float64, t chart.Table) float64 {
	const size = 8.5
	row := func(style string, cells []string) {
		at := x
		for i, cell := range cells {
			p.Text(at, y+3, p.fit(cell, wide*columns[i]-1, size, style))
			at += wide * columns[i]
		}
		y += 4.5
		p.SetDrawColor(190, 190, 190)
		p.SetLineWidth(0.1)
		p.Line(x, y-0.3, x+wide, y-0.3)
	}
	row("B", t.Head)
	rows := t.Rows
	if len(rows) > mostSites+1 {
		rows = append(append([][]string{}, rows[:mostSites]...), rows[len(rows)-1])
	}
	for i, cells := range rows {
		style := ""
		if i == len(rows)-1 {
			style = "B"
		}
		row(style, cells)
	}
	if len(rows) < len(t.Rows) {
		y = p.write(x, y, wide, size, "", "More sites are on the HTML page.")
	}
	return y
}

// fit cuts words to one line of a width.
func (p *paper) fit(words string, wide, size float64, style string) string {
	p.SetFont(font, style, size)
	r := []rune(printable(words))
	if p.GetStringWidth(string(r)) <= wide-0.5 {
		return string(r)
	}
	for len(r) > 1 && p.GetStringWidth(string(r)+"…") > wide-0.5 {
		r = r[:len(r)-1]
	}
	return string(r) + "…"
}

// programme writes the numbers in columns.
func (p *paper) programme(c content) {
	p.rule(p.y)
	p.y += 3
	p.y = p.write(margin, p.y, bodyWide, 10.5, "B", "The programme today") + 1
	wide := (bodyWide - 2*columnGap) / 3
	x, lowest := margin, p.y
	for _, s := range c.numbers {
		y := p.write(x, p.y, wide, 9, "B", s.name) + 0.5
		for _, r := range s.rows {
			p.SetFont(font, "B", 9)
			right := p.GetStringWidth(printable(r[1]))
			p.write(x+wide-right, y, right+2, 9, "B", r[1])
			p.Text(x, y+3.3, p.fit(r[0], wide-right-3, 9, ""))
			y += 4.8
		}
		lowest = max(lowest, y)
		x += wide + columnGap
	}
	p.y = lowest + 3
}

// foot writes the notes at the end of the page.
func (p *paper) foot(in Input, c content) {
	p.rule(p.y)
	p.y += 2.5
	page := in.Page
	if page == "" {
		page = "its HTML page"
	}
	notes := append([]string{}, c.notes...)
	notes = append(notes, "This PDF has no structure for screen readers. The accessible form of this report, with every number behind the pictures, is "+page+".")
	for _, n := range notes {
		p.y = p.write(margin, p.y, bodyWide, 7.5, "", n) + 0.7
	}
}
