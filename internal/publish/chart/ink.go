package chart

// Picture is a drawing on paper of a size, in units of which letters are Letter
// high.
type Picture struct {
	Wide, High float64
	Elements   []Element
}

// Letter is the size of the letters in a picture.
const Letter = 13

// letterWide is about how wide one letter is.
const letterWide = 6.9

// Element is one element of a picture: words if there are any, else a circle if
// there is a radius, else a line through the spots.
type Element struct {
	// Class names what it is, such as "limit".
	Class string
	Spots []Spot
	// Closed joins the last spot to the first.
	Closed bool
	Radius float64
	Words  string
	Anchor Anchor
	// Fill is how dark the inside is, 0 for not at all and 1 for full ink.
	Fill   float64
	Stroke Stroke
	// Says is what a point says when it is pointed at.
	Says string
}

// Spot is a place in a picture, from the left and from the top.
type Spot struct{ X, Y float64 }

// Anchor is which part of words stands at their spot.
type Anchor string

const (
	start  Anchor = "start"
	middle Anchor = "middle"
	end    Anchor = "end"
)

// Stroke is how a line is told from another without colour. The zero value is no
// line.
type Stroke struct {
	Width float64
	// Dash is the length of dash and gap, zero for a whole line.
	Dash [2]float64
	// Faint lines are those that only help the eye.
	Faint bool
}

var (
	solid  = Stroke{Width: 2}
	thin   = Stroke{Width: 1}
	dashed = Stroke{Width: 1.5, Dash: [2]float64{7, 4}}
	dotted = Stroke{Width: 1.5, Dash: [2]float64{2, 3}}
	faint  = Stroke{Width: 1, Faint: true}
	edge   = Stroke{Width: 1.5}
)

// ink collects the elements of a picture.
type ink struct {
	Picture
	format         Format
	id, kind       string
	title, caption string
}

// Format is the paper that a picture is drawn on.
type Format struct {
	Wide, High float64
	// Bare leaves out the key below the picture, for paper on which words beside
	// it say the same.
	Bare bool
}

// The formats: for a page, and for half the width of a printed one.
var (
	Page = Format{Wide: 620, High: 346}
	Half = Format{Wide: 430, High: 250, Bare: true}
)

// picture begins a picture with its title and description. The id must be
// unique on the page.
func (f Format) picture(id, kind, title, says string) *ink {
	return &ink{Picture: Picture{Wide: f.Wide, High: f.High}, format: f, id: id, kind: kind, title: title, caption: says}
}

func (p *ink) put(e Element) { p.Elements = append(p.Elements, e) }

// empty says in the picture why there is nothing in it.
func (p *ink) empty(words string) { p.text(p.Wide/2, p.High/2, middle, "label", words) }

func (p *ink) text(x, y float64, at Anchor, class, words string) {
	p.put(Element{Class: class, Spots: []Spot{{x, y}}, Words: words, Anchor: at, Fill: 1})
}

func (p *ink) line(x1, y1, x2, y2 float64, class string, stroke Stroke) {
	p.put(Element{Class: class, Spots: []Spot{{x1, y1}, {x2, y2}}, Stroke: stroke})
}

func (p *ink) path(spots []Spot, class string, stroke Stroke) {
	if len(spots) > 1 {
		p.put(Element{Class: class, Spots: spots, Stroke: stroke})
	}
}

// area fills what lies between an upper and a lower line.
func (p *ink) area(upper, lower []Spot, class string, fill float64) {
	if len(upper) < 2 {
		return
	}
	around := append([]Spot{}, upper...)
	for i := len(lower) - 1; i >= 0; i-- {
		around = append(around, lower[i])
	}
	p.put(Element{Class: class, Spots: around, Closed: true, Fill: fill})
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

// mark draws a point.
func (p *ink) mark(at Spot, as shape, class, says string) {
	e := Element{Class: class, Says: says, Fill: 1, Closed: true}
	if as == ring || as == openDiamond {
		e.Fill, e.Stroke = 0, edge
	}
	switch as {
	case ring, dot:
		e.Spots, e.Radius = []Spot{at}, 4
	case square:
		e.Spots = []Spot{{at.X - 4, at.Y - 4}, {at.X + 4, at.Y - 4}, {at.X + 4, at.Y + 4}, {at.X - 4, at.Y + 4}}
	default:
		e.Spots = []Spot{{at.X, at.Y - 6.5}, {at.X + 6.5, at.Y}, {at.X, at.Y + 6.5}, {at.X - 6.5, at.Y}}
	}
	p.put(e)
}
