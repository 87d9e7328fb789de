package neuro

import (
	"tengram/internal/kernel/foot"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/source"
)

const (
	idIpswich2011   = "lops-ipswich-2011"
	nameIpswich2011 = "Ipswich touch test: two or more of six toes"
)

var srcIpswich2011 = source.Ipswich2011.At("two or more of six toe tips not felt", source.Confirmed)

// defIpswich2011: light touch at the tips of toes 1, 3 and 5 of both feet; two
// or more of the six not felt is at risk. The counts of the result are toes,
// and the cut-off is the person's: a foot is marked if it has a missed toe and
// the person reaches the cut-off.
var defIpswich2011 = Definition{ID: idIpswich2011, Name: nameIpswich2011, Source: srcIpswich2011, Judge: judgeIpswich2011}

func judgeIpswich2011(t Tests) Result {
	v := newVerdict(&t, idIpswich2011, nameIpswich2011)
	v.rule("Two or more of six toe tips not felt by light touch mean loss of protective sensation.", srcIpswich2011)
	touch := t.touch()
	v.sayTouch()
	answer := touch.answer()
	for _, side := range foot.Sides {
		c, f := touch.feet[side], &v.Feet[side]
		if f.Gone {
			continue
		}
		f.Insensate, f.Tested, f.Absent = c.insensate, c.tested(), c.absent
		f.LOPS = touch.foot(side)
		if c.absent > 0 {
			v.Because = append(v.Because, source.Reason{Says: siteLost[side], Fact: touchField[0][side], Source: partialFoot})
		}
		if answer == known.Unknown && touch.canSettle() {
			v.openToes(side)
		}
	}
	return v.close(len(touchToes))
}

// touched is the light-touch test of both feet.
type touched struct{ feet [2]count }

// toe is the result at one toe tip, once amputation has had its say.
func (t *Tests) toe(side foot.Side, i int) known.Finding {
	if !t.Loss[side].Has(touchToes[i]) {
		return known.Absent
	}
	touch := t.Feet[side].Touch
	return [3]known.Finding{touch.Toe1, touch.Toe3, touch.Toe5}[i]
}

func (t *Tests) touch() touched {
	var all touched
	for _, side := range foot.Sides {
		if t.Loss[side].FootGone() {
			continue
		}
		all.feet[side].planned = len(touchToes)
		for i := range touchToes {
			all.feet[side].add(t.toe(side, i))
		}
	}
	return all
}

func (t touched) tested() int { return t.feet[foot.Right].tested() + t.feet[foot.Left].tested() }

// answer is Yes from two missed toes. It is No only if the open toes could not
// make it two, and every foot that exists has a toe that was felt.
func (t touched) answer() known.Tri {
	missed, open := 0, 0
	cleared := t.tested() > 0
	for _, c := range t.feet {
		missed += c.insensate
		open += c.open
		if c.planned > 0 && c.felt == 0 {
			cleared = false
		}
	}
	switch {
	case missed >= 2:
		return known.Yes
	case cleared && missed+open < 2:
		return known.No
	}
	return known.Unknown
}

// canSettle reports whether the open toes could give an answer: yes if they and
// the missed ones reach two, no if every foot can still have a felt toe.
func (t touched) canSettle() bool {
	missed, open, every := 0, 0, true
	for _, c := range t.feet {
		missed += c.insensate
		open += c.open
		every = every && (c.planned == 0 || c.felt+c.open > 0)
	}
	return missed+open >= 2 || every
}

// foot is the answer for one foot: clear where all its toes were felt; else the
// person's answer, which marks only a foot with a missed toe.
func (t touched) foot(side foot.Side) known.Tri {
	c := t.feet[side]
	if c.planned == 0 {
		return known.Unknown
	}
	switch answer := t.answer(); {
	case answer == known.No, c.felt > 0 && c.insensate+c.open == 0:
		return known.No
	case answer == known.Yes && c.insensate > 0:
		return known.Yes
	}
	return known.Unknown
}

func (v *verdict) sayTouch() {
	for _, side := range foot.Sides {
		if v.Feet[side].Gone {
			continue
		}
		missed, tested := 0, 0
		for i := range touchToes {
			switch v.tests.toe(side, i) {
			case known.Abnormal:
				missed++
				v.found(touchMissed[i][side], touchField[i][side])
			case known.Normal:
				tested++
			}
		}
		switch {
		case missed+tested == 0:
			v.found(touchNotDone[side], touchAll[side])
		case missed == 0:
			v.found(touchFelt[side], touchAll[side])
		}
	}
}

// openToes names the toe tips of one foot that are there and have no result.
func (v *verdict) openToes(side foot.Side) {
	for i := range touchToes {
		if f := v.tests.toe(side, i); !f.Tested() && f != known.Absent {
			v.settle(touchField[i][side])
		}
	}
}

var (
	touchAll     = atField("touch")
	touchFelt    = onFoot("light touch was felt at every toe tested.")
	touchNotDone = onFoot("light touch at the toe tips was not tested.")
)
