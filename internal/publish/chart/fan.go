package chart

import (
	"fmt"

	"tengram/internal/kernel/forecast"
	"tengram/internal/kernel/trend"
	"tengram/internal/kernel/when"
)

// Fan draws the year: the rate to date by month, and from today on the forecast
// with the limits that hold 80 and 95 of 100 draws. months are those of the
// forecast's period so far; a target of 0 is none.
func (format Format) Fan(id, name string, months []trend.Month, f forecast.Forecast, target float64) Drawing {
	d := Drawing{Title: "Forecast: " + name + " to " + day(f.Period.Last)}
	d.Says = fanWords(name, f, target)
	d.Table = fanTable(d.Title, months, f)
	p := format.picture(id, "fan", d.Title, d.Says)
	now, ok := f.Now.Rate()
	low, high := 1.0, 0.0
	reach := func(r float64) { low, high = min(low, r), max(high, r) }
	for _, m := range months {
		if r, ok := m.ToDate.Rate(); ok {
			reach(r)
		}
	}
	for _, q := range f.Points {
		reach(q.In95.Low)
		reach(q.In95.High)
	}
	if ok {
		reach(now)
	}
	if target > 0 {
		reach(target)
	}
	a := rates(p, min(low, high), max(low, high))
	whole := float64(f.Period.Last - f.Period.First + 1)
	x := func(d when.Day) float64 { return a.left + float64(d-f.Period.First+1)/whole*(a.right-a.left) }
	a.yearScale(f.Period.First, f.Period.Last, x)
	if target > 0 {
		a.line(a.left, a.y(target), a.right, a.y(target), "target", dotted)
	}
	a.fan(f, x)
	a.toDate(months, f, x)
	a.fanLabels(f, target)
	entries := []legend{{shape: dot, words: "year to date"}}
	if len(f.Points) > 0 && f.Today < f.Period.Last {
		entries = append(entries, legend{stroke: dashed, words: "middle of the draws"}, legend{stroke: thin, words: "80 and 95 of 100 draws"})
	}
	if target > 0 {
		entries = append(entries, legend{stroke: dotted, words: "target " + percentShort(target)})
	}
	p.legends(a.left, entries)
	return p.drawing(d)
}

func (a *frame) yearScale(first, last when.Day, x func(when.Day) float64) {
	every := 1
	if x(first.AddMonths(1))-x(first) < 30 {
		every = 2
	}
	i := 0
	for m := first; m <= last; m = m.AddMonths(1) {
		next := m.AddMonths(1)
		if i++; i%every == 0 { // so that the last is named
			a.text((x(m)+x(next))/2, a.bottom+17, middle, "scale", shortMonth(m))
		}
		a.line(x(next-1), a.bottom, x(next-1), a.bottom+5, "axis", thin)
	}
	a.text((a.left+a.right)/2, a.bottom+33, middle, "scale", yearOf(first))
}

func (a *frame) fan(f forecast.Forecast, x func(when.Day) float64) {
	now, ok := f.Now.Rate()
	var mid, up80, low80, up95, low95 []Spot
	add := func(d when.Day, m, l80, h80, l95, h95 float64) {
		mid = append(mid, Spot{x(d), a.y(m)})
		low80, up80 = append(low80, Spot{x(d), a.y(l80)}), append(up80, Spot{x(d), a.y(h80)})
		low95, up95 = append(low95, Spot{x(d), a.y(l95)}), append(up95, Spot{x(d), a.y(h95)})
	}
	if ok {
		add(f.Today, now, now, now, now, now)
	}
	for _, q := range f.Points {
		if q.On > f.Today {
			add(q.On, q.Median, q.In80.Low, q.In80.High, q.In95.Low, q.In95.High)
		}
	}
	a.area(up95, low95, "band", 0.10)
	a.area(up80, low80, "band", 0.16)
	for _, limit := range [][]Spot{up95, low95, up80, low80} {
		a.path(limit, "edge", thin)
	}
	a.path(mid, "middle", dashed)
	for _, q := range f.Points {
		if q.On > f.Today {
			a.mark(Spot{x(q.On), a.y(q.Median)}, ring, "point", fmt.Sprintf("%s: %s; 80 of 100 draws between %s and %s", day(q.On), percent(q.Median), percent(q.In80.Low), percent(q.In80.High)))
		}
	}
}

// toDate draws the months so far, the last of them today.
func (a *frame) toDate(months []trend.Month, f forecast.Forecast, x func(when.Day) float64) {
	var along []Spot
	for _, m := range months {
		if r, ok := m.ToDate.Rate(); ok && m.Last <= f.Today {
			along = append(along, Spot{x(m.Last), a.y(r)})
		}
	}
	a.path(along, "line", solid)
	for _, m := range months {
		if r, ok := m.ToDate.Rate(); ok && m.Last <= f.Today {
			a.mark(Spot{x(m.Last), a.y(r)}, dot, "point", day(m.Last)+": "+part(m.ToDate.Met, m.ToDate.Of))
		}
	}
}

// fanLabels writes the numbers of the end beside it.
func (a *frame) fanLabels(f forecast.Forecast, target float64) {
	if !f.OK || f.Today >= f.Period.Last {
		return
	}
	words := []string{percent(f.End.In95.High), percent(f.End.Median), percent(f.End.In95.Low)}
	heights := apart([]float64{a.y(f.End.In95.High), a.y(f.End.Median), a.y(f.End.In95.Low)}, 15, a.top, a.bottom)
	for i, h := range heights {
		a.label(h, words[i])
	}
}

func fanWords(name string, f forecast.Forecast, target float64) string {
	now, ok := f.Now.Rate()
	if !ok {
		return name + ": nobody is counted yet."
	}
	says := fmt.Sprintf("%s stands at %s on %s (%d of %d). ", name, percent(now), day(f.Today), f.Now.Met, f.Now.Of)
	if f.Today >= f.Period.Last {
		return says + "The year is over."
	}
	says += fmt.Sprintf("It is expected to end near %s, in 80 of 100 draws between %s and %s, in 95 between %s and %s.",
		percent(f.End.Median), percent(f.End.In80.Low), percent(f.End.In80.High), percent(f.End.In95.Low), percent(f.End.In95.High))
	if target > 0 && f.Target == target {
		says += fmt.Sprintf(" The target of %s is reached in %.0f of 100.", percent(target), 100*f.Reached)
	}
	return says
}

func fanTable(title string, months []trend.Month, f forecast.Forecast) Table {
	t := Table{Caption: title, Head: []string{"Day", "Rate", "80 of 100 draws", "95 of 100 draws"}}
	for _, m := range months {
		if m.Last <= f.Today {
			t.Rows = append(t.Rows, []string{day(m.Last), part(m.ToDate.Met, m.ToDate.Of), "as it was", "as it was"})
		}
	}
	for _, q := range f.Points {
		if q.On > f.Today {
			t.Rows = append(t.Rows, []string{day(q.On), percent(q.Median), percent(q.In80.Low) + " to " + percent(q.In80.High), percent(q.In95.Low) + " to " + percent(q.In95.High)})
		}
	}
	return t
}
