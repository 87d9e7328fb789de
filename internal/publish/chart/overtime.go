package chart

import (
	"fmt"
	"slices"

	"tengram/internal/kernel/trend"
	"tengram/internal/kernel/when"
)

// RunChart draws the opportunities of each month as a run chart. months are
// whole months, as many as the points that were read; name is the measure's.
func (f Format) RunChart(id, name string, months []trend.Month, read trend.RunChart) Drawing {
	c := overTime{format: f, id: id, kind: "run", title: "Run chart: " + name, months: months, centre: read.Median, centreName: "median"}
	if !read.TooShort {
		c.signals = read.Signals
	}
	c.says = fmt.Sprintf("%s, %s. The median is %s. ", name, c.span(), percent(read.Median))
	switch {
	case read.TooShort:
		c.says += "There are too few points to tell chance from change."
	case len(read.Signals) == 0:
		c.says += "Nothing but chance shows."
	default:
		c.says += c.signalWords()
	}
	return c.draw()
}

// PChart draws the opportunities of each month as a p-chart with its limits.
func (f Format) PChart(id, name string, months []trend.Month, read trend.PChart) Drawing {
	c := overTime{format: f, id: id, kind: "p", title: "Control chart: " + name, months: months, centre: read.Centre, centreName: "together", limits: read.Limits, signals: read.Signals}
	c.says = fmt.Sprintf("%s, %s, with limits of chance. All of it together makes %s. ", name, c.span(), percent(read.Centre))
	if len(read.Signals) == 0 {
		c.says += "No point lies beyond its limits."
	} else {
		c.says += c.signalWords()
	}
	return c.draw()
}

// overTime is a chart of months under way.
type overTime struct {
	format                Format
	id, kind, title, says string
	months                []trend.Month
	centre                float64
	centreName            string
	limits                []trend.PLimit
	signals               []trend.Signal
}

func (c *overTime) span() string {
	if len(c.months) == 0 {
		return "no month"
	}
	return span(c.months[0].First, c.months[len(c.months)-1].Last)
}

// signalWords tells each signal with its months.
func (c *overTime) signalWords() string {
	var words []string
	for _, s := range c.signals {
		at := span(c.months[s.From].First, c.months[s.To].Last)
		words = append(words, at+": "+s.Says)
	}
	return "More than chance: " + list(words) + "."
}

// signalled returns the rules that a point is part of.
func (c *overTime) signalled(i int) []string {
	var rules []string
	for _, s := range c.signals {
		if s.Rule != trend.Crossings && i >= s.From && i <= s.To && !slices.Contains(rules, string(s.Rule)) {
			rules = append(rules, string(s.Rule))
		}
	}
	return rules
}

func (c *overTime) draw() Drawing {
	p := c.format.picture(c.id, c.kind, c.title, c.says)
	low, high := c.centre, c.centre
	for i, m := range c.months {
		if r, ok := m.Done.Rate(); ok {
			low, high = min(low, r), max(high, r)
			if c.limits != nil {
				low, high = min(low, c.limits[i].Low), max(high, c.limits[i].High)
			}
		}
	}
	f := rates(p, low, high)
	n := float64(max(1, len(c.months)))
	wide := (f.right - f.left) / n
	x := func(i int) float64 { return f.left + (float64(i)+0.5)*wide }
	f.monthScale(c.months, x)
	if c.limits != nil {
		c.drawLimits(f, x, wide)
	}
	f.line(f.left, f.y(c.centre), f.right, f.y(c.centre), "centre", dashed)
	f.label(f.y(c.centre), c.centreName)
	c.points(f, x)
	c.names(f, x)
	c.key(p, f.left)
	return p.drawing(Drawing{Title: c.title, Says: c.says, Table: c.table()})
}

// drawLimits draws the limits as steps, one a month.
func (c *overTime) drawLimits(f *frame, x func(int) float64, wide float64) {
	var upper, lower []Spot
	flush := func() {
		f.path(upper, "limit", dotted)
		f.path(lower, "limit", dotted)
		upper, lower = nil, nil
	}
	for i, l := range c.limits {
		if _, ok := c.months[i].Done.Rate(); !ok {
			flush()
			continue
		}
		a, b := x(i)-wide/2, x(i)+wide/2
		upper = append(upper, Spot{a, f.y(l.High)}, Spot{b, f.y(l.High)})
		lower = append(lower, Spot{a, f.y(l.Low)}, Spot{b, f.y(l.Low)})
	}
	flush()
}

// points draws the line, broken where a month has nobody, and the points.
func (c *overTime) points(f *frame, x func(int) float64) {
	var along []Spot
	for i, m := range c.months {
		if r, ok := m.Done.Rate(); ok {
			along = append(along, Spot{x(i), f.y(r)})
			continue
		}
		f.path(along, "line", solid)
		along = nil
	}
	f.path(along, "line", solid)
	for i, m := range c.months {
		r, ok := m.Done.Rate()
		if !ok {
			continue
		}
		as, says := dot, span(m.First, m.Last)+": "+part(m.Done.Met, m.Done.Of)
		if rules := c.signalled(i); len(rules) > 0 {
			as = square
			says += ", " + list(rules)
			if slices.Contains(rules, string(trend.Beyond)) {
				as = diamond
			}
		}
		f.mark(Spot{x(i), f.y(r)}, as, "point", says)
	}
}

// names writes the rule beside each stretch of points that it is about: above a
// stretch that lies high, below one that lies low.
func (c *overTime) names(f *frame, x func(int) float64) {
	for _, s := range c.signals {
		if s.Rule == trend.Crossings {
			continue
		}
		edge := f.top
		if !s.Up {
			edge = f.bottom
		}
		for i := s.From; i <= s.To; i++ {
			if r, ok := c.months[i].Done.Rate(); ok && i == s.From {
				edge = f.y(r)
			} else if ok && s.Up {
				edge = min(edge, f.y(r))
			} else if ok {
				edge = max(edge, f.y(r))
			}
		}
		y := max(edge-11, f.top+4)
		if !s.Up {
			y = min(edge+20, f.bottom-5)
		}
		// Moved inwards on the left, so that it does not lie on the scale.
		at := max(f.left+letterWide*float64(len(s.Rule))/2, (x(s.From)+x(s.To))/2)
		f.text(at, y, middle, "label", string(s.Rule))
	}
}

func (c *overTime) key(p *ink, left float64) {
	entries := []legend{{shape: dot, words: "done of what was due"}}
	if c.limits != nil {
		entries = append(entries, legend{stroke: dotted, words: "limits of chance"})
	}
	inRun, beyond := false, false
	for _, s := range c.signals {
		inRun = inRun || s.Rule != trend.Beyond && s.Rule != trend.Crossings
		beyond = beyond || s.Rule == trend.Beyond
	}
	if inRun {
		entries = append(entries, legend{shape: square, words: "part of a signal"})
	}
	if beyond {
		entries = append(entries, legend{shape: diamond, words: "beyond them"})
	}
	p.legends(left, entries)
}

// monthScale writes the months below the frame, as many as fit, and the years
// below them.
func (f *frame) monthScale(months []trend.Month, x func(int) float64) {
	every, wide := 1, 36.0
	if len(months) > 0 && shortSpan(months[0].First, months[0].Last) != shortMonth(months[0].First) {
		wide = 64
	}
	for float64(len(months)/every) > (f.right-f.left)/wide {
		every++
	}
	for i, m := range months {
		// Counted from the last month, so that the newest is always named.
		if (len(months)-1-i)%every == 0 {
			f.text(x(i), f.bottom+17, middle, "scale", shortSpan(m.First, m.Last))
		}
		if firstOfYear(m.First) || i == 0 && yearFits(months, x) {
			f.text(x(i), f.bottom+33, middle, "scale", yearOf(m.First))
		}
		if i > 0 && firstOfYear(m.First) {
			between := (x(i) + x(i-1)) / 2
			f.line(between, f.bottom, between, f.bottom+36, "axis", faint)
		}
	}
}

// yearFits is whether the year of the first month can stand beside the next one.
func yearFits(months []trend.Month, x func(int) float64) bool {
	for i, m := range months {
		if i > 0 && firstOfYear(m.First) {
			return x(i)-x(0) > 5*letterWide
		}
	}
	return true
}

func yearOf(d when.Day) string { return fmt.Sprint(d.Year()) }

func (c *overTime) table() Table {
	t := Table{Caption: c.title, Head: []string{"Month", "Done", "Opportunities", "Rate"}}
	if c.limits != nil {
		t.Head = append(t.Head, "Limits of chance")
	}
	t.Head = append(t.Head, "Signal")
	for i, m := range c.months {
		r, ok := m.Done.Rate()
		row := []string{span(m.First, m.Last), fmt.Sprint(m.Done.Met), fmt.Sprint(m.Done.Of), "none"}
		if ok {
			row[3] = percent(r)
		}
		if c.limits != nil {
			limits := "none"
			if ok {
				limits = percent(c.limits[i].Low) + " to " + percent(c.limits[i].High)
				if c.limits[i].Rough {
					limits += ", rough"
				}
			}
			row = append(row, limits)
		}
		t.Rows = append(t.Rows, append(row, list(c.signalled(i))))
	}
	return t
}
