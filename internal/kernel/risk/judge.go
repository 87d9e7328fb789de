package risk

import (
	"strings"

	"tengram/internal/kernel/known"
	"tengram/internal/kernel/source"
)

// systems is made once and never changed.
var systems = []System{
	iwgdf2023(), iwgdf2019(), iwgdf2015(), ada2008(), niceNG19(), scotland2016(), podus2020(),
}

// Systems lists the systems, the current IWGDF edition first. The caller must
// not change the slice.
func Systems() []System { return systems }

// ByID returns the system of an id.
func ByID(id string) (System, bool) {
	for i := range systems {
		if systems[i].ID == id {
			return systems[i], true
		}
	}
	return System{}, false
}

// Judge says what a system says of one person. Both answers to every unknown
// factor are tried; nothing is assumed about which answer is the worse.
func Judge(s System, f *Facts) Result {
	var yes, unknown int
	for b, factor := range s.Factors {
		switch f.Is[factor] {
		case known.Yes:
			yes |= 1 << b
		case known.Unknown:
			unknown |= 1 << b
		}
	}
	lit := s.literal.span(yes, unknown)
	r := Result{
		System:    s.ID,
		Name:      s.Name,
		Low:       s.Categories[lit.low.rank],
		High:      s.Categories[lit.high.rank],
		Undefined: lit.undefined,
		SettledBy: s.settledBy(&s.literal, lit, yes, unknown),
	}
	r.Because = s.because(&s.literal, lit, unknown, r.SettledBy, f)
	if s.cautious.rows != nil {
		r.Cautious = s.judgeCautious(lit, yes, unknown, f)
	}
	return r
}

// judgeCautious is nil where the cautious reading gives the same bounds.
func (s *System) judgeCautious(lit span, yes, unknown int, f *Facts) *Cautious {
	sp := s.cautious.span(yes, unknown)
	if sp.low.rank == lit.low.rank && sp.high.rank == lit.high.rank {
		return nil
	}
	c := &Cautious{
		Low:       s.Categories[sp.low.rank],
		High:      s.Categories[sp.high.rank],
		SettledBy: s.settledBy(&s.cautious, sp, yes, unknown),
	}
	c.Because = s.because(&s.cautious, sp, unknown, c.SettledBy, f)
	return c
}

// span is the range of answers over everything that may be so.
type span struct {
	low, high cell
	// lowAt and highAt are assignments that give the bounds.
	lowAt, highAt int
	// undefined: no possible assignment has a row; partly: some have none.
	undefined, partly bool
}

// span tries every completion of the known answers.
func (r *reading) span(yes, unknown int) span {
	first := r.cells[yes]
	sp := span{low: first, high: first, lowAt: yes, highAt: yes, undefined: true}
	for sub := 0; ; sub = (sub - unknown) & unknown {
		c := r.cells[yes|sub]
		if c.rank < sp.low.rank {
			sp.low, sp.lowAt = c, yes|sub
		}
		if c.rank > sp.high.rank {
			sp.high, sp.highAt = c, yes|sub
		}
		sp.undefined = sp.undefined && c.row < 0
		sp.partly = sp.partly || c.row < 0
		if sub == unknown {
			return sp
		}
	}
}

// settledBy returns the smallest set of unknown factors whose answers always
// settle the category. That is the set of those that can make a difference on
// their own under some answers to the rest: each of them must be asked, since
// leaving it out leaves such a pair of outcomes open, and together they are
// enough, since what is left out never changes anything. The smallest set is
// therefore the only one.
func (s *System) settledBy(r *reading, sp span, yes, unknown int) []Factor {
	if sp.low.rank == sp.high.rank {
		return nil
	}
	var ask []Factor
	for b, factor := range s.Factors {
		if unknown&(1<<b) != 0 && r.matters(1<<b, yes, unknown) {
			ask = append(ask, factor)
		}
	}
	return ask
}

// matters reports whether the unknown factor of a bit changes the rank under
// some answers to the other unknowns.
func (r *reading) matters(bit, yes, unknown int) bool {
	rest := unknown &^ bit
	for sub := 0; ; sub = (sub - rest) & rest {
		if r.cells[yes|sub].rank != r.cells[yes|sub|bit].rank {
			return true
		}
		if sub == rest {
			return false
		}
	}
}

// because explains both bounds: the rule of each, the factors that it rests on
// with their own reasons, and what is not known.
func (s *System) because(r *reading, sp span, unknown int, ask []Factor, f *Facts) source.Because {
	rests := s.rests(r, sp.low, sp.lowAt, f)
	if sp.highAt != sp.lowAt {
		rests |= s.rests(r, sp.high, sp.highAt, f)
	}
	n := 4
	for _, factor := range s.Factors {
		if rests.Has(factor) {
			n += 1 + len(f.Because[factor])
		}
	}
	b := make(source.Because, 0, n)
	b = s.explain(b, r, sp.low)
	if sp.highAt != sp.lowAt {
		b = s.explain(b, r, sp.high)
	}
	for _, factor := range s.Factors {
		if rests.Has(factor) {
			b = append(b, source.Reason{Says: factorSays[factor][f.Is[factor]]})
			b = append(b, f.Because[factor]...)
		}
	}
	if unknown != 0 {
		b = append(b, source.Reason{Says: s.notKnown(sp, unknown, ask)})
	}
	return b
}

func (s *System) explain(b source.Because, r *reading, c cell) source.Because {
	if c.row < 0 {
		return append(b, s.noRow)
	}
	return r.rows[c.row].explain(b)
}

// rests are the known factors that an answer rests on: the findings that its
// row reads, or all that the row reads where it is the row of no finding. A
// missing row rests on everything.
func (s *System) rests(r *reading, c cell, at int, f *Facts) Set {
	reads := setOf(s.Factors...)
	if c.row >= 0 {
		reads = r.rows[c.row].rests
		if found := reads & s.set(at); found != 0 {
			reads = found
		}
	}
	var rests Set
	for _, factor := range s.Factors {
		if reads.Has(factor) && f.Is[factor].Known() {
			rests |= 1 << factor
		}
	}
	return rests
}

// notKnown says in one sentence what the unknown answers leave open.
func (s *System) notKnown(sp span, unknown int, ask []Factor) string {
	var missing []string
	for b, factor := range s.Factors {
		if unknown&(1<<b) != 0 {
			missing = append(missing, factor.Words())
		}
	}
	says := "Not known: " + strings.Join(missing, ", ") + ". "
	switch {
	case sp.undefined:
		says += "No answer gives a combination that the text has a row for."
	case len(ask) == 0:
		says += "No answer changes the category."
	default:
		says += "The category lies between " + s.Categories[sp.low.rank].Words() + " and " + s.Categories[sp.high.rank].Words() + "."
	}
	if sp.partly && !sp.undefined {
		says += " For some answers the text has no row; the nearest row is taken."
	}
	return says
}

// factorSays holds one sentence for each answer to each factor.
var factorSays = sayFactors()

func sayFactors() (says [FactorCount][3]string) {
	for f := range FactorCount {
		for _, t := range []known.Tri{known.Unknown, known.No, known.Yes} {
			w := f.Words()
			if w[0] >= 'a' && w[0] <= 'z' && f != EGFRBelow30 {
				w = strings.ToUpper(w[:1]) + w[1:]
			}
			says[f][t] = w + ": " + t.String() + "."
		}
	}
	return says
}
