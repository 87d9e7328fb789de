package trend

import (
	"cmp"
	"slices"
	"strconv"

	"tengram/internal/kernel/source"
)

// LeastShown is the smallest count of people that leaves the practice, beside 0.
const LeastShown = 11

// Guarded is a table of groups in which small numbers are hidden.
type Guarded struct {
	Groups []GuardedGroup `json:"groups"`
	Total  GuardedGroup   `json:"total"`
	// Hidden counts the groups with something hidden.
	Hidden  int            `json:"hidden"`
	Because source.Because `json:"because"`
}

// GuardedGroup is one row. A hidden number is 0 here, so that it cannot slip
// out.
type GuardedGroup struct {
	Name string `json:"name"`
	Share
	// OfHidden hides the size of the group, and with it everything; MetHidden
	// hides how many met the measure.
	OfHidden  bool `json:"size-hidden,omitempty"`
	MetHidden bool `json:"met-hidden,omitempty"`
}

// Rate is the rate where neither of its counts is hidden.
func (g GuardedGroup) Rate() (rate float64, ok bool) {
	if g.OfHidden || g.MetHidden {
		return 0, false
	}
	return g.Share.Rate()
}

// Guard hides what is too small in a table that leaves the practice: the size
// of a group of fewer than least people, and how many met the measure where the
// met or the missing are fewer than least, except none. It then hides more, the
// smallest groups first, until no hidden number can be pinned down by
// subtracting what is shown from the totals: for each there are at least least
// possible values left. A table in which that cannot be reached keeps its totals
// back as well.
//
// It guards one table. Two tables of the same people, by another grouping or of
// another day, can still be compared with each other; and a group of whom all
// or none met the measure is shown, and says so of each of its people.
func Guard(groups []Group, least int) Guarded {
	g := guard{least: least}
	for _, group := range groups {
		g.rows = append(g.rows, GuardedGroup{Name: group.Name, Share: group.Share})
		g.total.Share = g.total.Plus(group.Share)
	}
	g.total.Name = "all"
	g.small(&g.total)
	for i := range g.rows {
		g.small(&g.rows[i])
	}
	for g.sizesTell() {
		g.hideNext(func(r *GuardedGroup) *bool { return &r.OfHidden })
	}
	for g.metsTell() {
		g.hideNext(func(r *GuardedGroup) *bool { return &r.MetHidden })
	}
	return g.table()
}

// guard is a table on its way.
type guard struct {
	least int
	rows  []GuardedGroup
	total GuardedGroup
}

func (g *guard) few(n int) bool { return n > 0 && n < g.least }

func (g *guard) small(r *GuardedGroup) {
	r.OfHidden = g.few(r.Of)
	r.MetHidden = r.OfHidden || g.few(r.Met) || g.few(r.Of-r.Met)
}

// hideNext hides the number that a field stands for in the smallest group that
// still shows it, or in the total.
func (g *guard) hideNext(field func(*GuardedGroup) *bool) {
	next := -1
	for i := range g.rows {
		r := &g.rows[i]
		if r.Of > 0 && !*field(r) && (next < 0 || smaller(r, &g.rows[next])) {
			next = i
		}
	}
	r := &g.total
	if next >= 0 {
		r = &g.rows[next]
	}
	*field(r) = true
	r.MetHidden = true
}

func smaller(a, b *GuardedGroup) bool {
	return cmp.Or(cmp.Compare(a.Of, b.Of), cmp.Compare(a.Name, b.Name)) < 0
}

// sizesTell reports whether a hidden size can be pinned down: the hidden ones
// add up to what the total leaves, and each is at least one.
func (g *guard) sizesTell() bool {
	if g.total.OfHidden {
		return false
	}
	hidden, sum := 0, 0
	for _, r := range g.rows {
		if r.OfHidden {
			hidden, sum = hidden+1, sum+r.Of
		}
	}
	return hidden > 0 && (sum-hidden+1 < g.least || hidden == 1)
}

// metsTell reports whether a hidden number of met can be pinned down: the hidden
// ones add up to what the total leaves, each is at most the size of its group,
// and the sizes that are hidden add up to what their total leaves.
func (g *guard) metsTell() bool {
	if g.total.MetHidden {
		return false
	}
	met, known, unsized, hidden := 0, 0, 0, 0
	for _, r := range g.rows {
		if !r.MetHidden {
			continue
		}
		met += r.Met
		if r.OfHidden {
			unsized, hidden = unsized+r.Of, hidden+1
		} else {
			known += r.Of
		}
	}
	if g.total.OfHidden {
		unsized = met + g.least // no bound is known
	}
	for _, r := range g.rows {
		if !r.MetHidden {
			continue
		}
		low, high := max(0, met-(known-r.Of+unsized)), min(r.Of, met)
		if r.OfHidden {
			low, high = 0, min(unsized-(hidden-1), met)
			if met > known+unsized-1 {
				low = 1
			}
		}
		if high-low+1 < g.least {
			return true
		}
	}
	return false
}

func (g *guard) table() Guarded {
	t := Guarded{Groups: slices.Clone(g.rows), Total: g.total, Because: source.Because{{
		Says:   "Counts of 1 to " + strconv.Itoa(g.least-1) + " people are not shown, nor numbers from which they could be worked out.",
		Source: smallCells,
	}}}
	for i := range t.Groups {
		t.Groups[i].blank()
		if t.Groups[i].MetHidden {
			t.Hidden++
		}
	}
	t.Total.blank()
	return t
}

func (r *GuardedGroup) blank() {
	if r.OfHidden {
		r.Of = 0
	}
	if r.MetHidden {
		r.Met = 0
	}
}
