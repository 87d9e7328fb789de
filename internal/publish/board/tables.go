package board

import (
	"fmt"
	"strconv"

	"tengram/internal/kernel/trend"
	"tengram/internal/publish/chart"
)

const hidden = "hidden"

// bySite fills the table of sites and the funnel of those that are shown.
func (c *content) bySite(in Input) {
	if len(in.Sites) < 2 {
		return
	}
	table := trend.Guard(in.Sites, trend.LeastShown)
	c.sites = chart.Table{Caption: "By site", Head: []string{"Site", "Met", "Counted", "Rate", "95 % interval"}}
	var open []trend.Group
	for _, g := range append(table.Groups, table.Total) {
		row := []string{g.Name, hidden, hidden, hidden, hidden}
		if !g.MetHidden {
			row[1] = strconv.Itoa(g.Met)
		}
		if !g.OfHidden {
			row[2] = strconv.Itoa(g.Of)
		}
		if rate, ok := g.Rate(); ok {
			i := g.Wilson(0.95)
			row[3], row[4] = percent(rate), fmt.Sprintf("%.0f to %.0f %%", 100*i.Low, 100*i.High)
		}
		c.sites.Rows = append(c.sites.Rows, row)
	}
	for _, g := range table.Groups {
		if _, ok := g.Rate(); ok {
			open = append(open, trend.Group{Name: g.Name, Share: g.Share})
		}
	}
	if table.Hidden > 0 {
		c.siteWords = fmt.Sprintf("Numbers of %d of %d sites are not shown, so that no small count can be worked out. ", table.Hidden, len(table.Groups))
	}
	if len(open) < 2 {
		return
	}
	funnel := trend.Spread(open)
	d := flat.Funnel("sites", in.Measure.Title, "sites", funnel)
	d.Title = "Sites and chance"
	c.siteWords += siteWords(funnel)
	d.Says = "Between the dotted lines chance keeps 19 of 20 sites of a size, between the thin ones 998 of 1000."
	d.Table.Caption = d.Title
	c.funnel = &d
}

// siteWords names the sites that differ, up to three of them.
func siteWords(f trend.Funnel) string {
	says, beyond := "", 0
	for _, g := range f.Groups {
		if g.Beyond == 0 {
			continue
		}
		if beyond++; beyond <= 3 {
			side := "below"
			if g.Up {
				side = "above"
			}
			says += fmt.Sprintf("%s lies %s what chance explains. ", g.Name, side)
		}
	}
	switch {
	case beyond == 0:
		return "No site shown differs by more than chance explains."
	case beyond > 3:
		return fmt.Sprintf("%d of %d sites lie beyond what chance explains; of that many, about %.0f do by chance alone.", beyond, len(f.Groups), float64(len(f.Groups))*(1-trend.Inner))
	}
	return says
}

// programme fills the numbers of the programme.
func (c *content) programme(in Input) {
	n := in.Counts
	kept := guarded(in.RecallKept)
	keptWords := hidden
	if rate, ok := kept.Rate(); ok {
		keptWords = fmt.Sprintf("%s (%d of %d)", percent(rate), kept.Met, kept.Of)
	} else if in.RecallKept.Of == 0 {
		keptWords = "none ended yet"
	}
	c.numbers = []section{
		{"People", [][2]string{
			{"With diabetes, and called", few(n.Diabetes)},
			{"Exam due today or before", fewOf(n.Due, n.Diabetes)},
			{"Past the end of the interval", fewOf(n.Overdue, n.Diabetes)},
			{"Never examined", fewOf(n.NeverExamined, n.Diabetes)},
			{"Recall kept", keptWords},
		}},
		{"Wounds and referrals", [][2]string{
			{"Open ulcers", few(n.OpenUlcers)},
			{"Open referrals", few(n.OpenReferrals)},
			{"Referrals past their deadline", fewOf(n.LateReferrals, n.OpenReferrals)},
		}},
		{"Risk category", riskRows(n)},
	}
}

// riskRows guard the categories as parts of one total.
func riskRows(n Counts) [][2]string {
	var groups []trend.Group
	for i, count := range n.ByRisk {
		name := "category " + strconv.Itoa(i)
		if i < len(n.RiskNames) {
			name = n.RiskNames[i]
		}
		groups = append(groups, trend.Group{Name: name, Share: trend.Share{Of: count}})
	}
	groups = append(groups, trend.Group{Name: "not settled", Share: trend.Share{Of: n.Unsettled}})
	rest := n.Diabetes - n.Unsettled
	for _, count := range n.ByRisk {
		rest -= count
	}
	groups = append(groups, trend.Group{Name: "not assessed", Share: trend.Share{Of: max(0, rest)}})
	var rows [][2]string
	for _, g := range trend.Guard(groups, trend.LeastShown).Groups {
		words := strconv.Itoa(g.Of)
		if g.OfHidden {
			words = hidden
		}
		rows = append(rows, [2]string{g.Name, words})
	}
	return rows
}

// few is a count, or that it is small.
func few(n int) string {
	if n > 0 && n < trend.LeastShown {
		return "1 to " + strconv.Itoa(trend.LeastShown-1)
	}
	return strconv.Itoa(n)
}

// fewOf is a part of a count that is shown, hidden too where the rest is small.
func fewOf(n, of int) string {
	if rest := of - n; rest > 0 && rest < trend.LeastShown && n >= trend.LeastShown {
		return hidden
	}
	return few(n)
}
