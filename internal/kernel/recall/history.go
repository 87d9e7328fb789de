package recall

import (
	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/record"
	"tengram/internal/kernel/risk"
	"tengram/internal/kernel/source"
	"tengram/internal/kernel/when"
)

// history is the lowest category that the record alone already points to, for
// somebody whom no exam has placed. What the record does not say stays unknown,
// and pulls nobody up: that would make everybody unexamined a high risk and the
// order of calling worthless.
type history struct {
	category risk.Category
	// points is false where the record points to nothing above the lowest
	// category.
	points  bool
	system  *source.Source
	because source.Because
}

// risk fills the category of a standing, and returns what the record's history
// points to where no exam has placed the person.
func (p *person) risk(s *Standing) history {
	if p.exam == nil {
		h := readHistory(p.rec, p.policy.Risk, p.on)
		s.RiskLow, s.RiskHigh, s.RiskWord = NeverAssessed, NeverAssessed, "not assessed"
		if h.points {
			s.RiskHigh = h.category.Rank
			s.RiskWord = "not assessed; the record points to " + word(h.category)
		}
		return h
	}
	low, high := p.exam.Assessment.Risk().ForPlan()
	s.RiskLow, s.RiskHigh = low.Rank, high.Rank
	s.RiskWord = word(high)
	if low.Rank != high.Rank {
		s.RiskWord = word(low) + " to " + word(high)
	}
	if o := p.exam.Exam.Override; o != nil {
		s.RiskWord += ", clinician: " + o.Category
	}
	return history{}
}

// word is a category as a number and a word; a system whose code is the word
// says it once.
func word(c risk.Category) string {
	if c.Code == c.Name || c.Name == "" {
		return c.Code
	}
	return c.Code + ", " + c.Name
}

// readHistory judges the record's background by the risk system. A diagnosis of
// neuropathy is read as lost sensation here, which is the cautious side: it is
// not a test result.
func readHistory(rec *record.Record, system string, on when.Day) history {
	sys, ok := risk.ByID(system)
	if !ok {
		return history{}
	}
	b := rec.Background(on)
	var f risk.Facts
	h := history{system: sys.Source}
	set := func(item exam.Item, words string, factors ...risk.Factor) {
		if item.Is != known.Yes {
			return
		}
		for _, factor := range factors {
			f.Is[factor] = known.Yes
		}
		h.because = append(h.because, source.Reason{Says: "The record has " + words + ": " + item.From + ".", Source: ourOrder})
	}
	set(b.UlcerHistory, "a past foot ulcer", risk.UlcerHistory)
	set(b.Amputation, "an amputation", risk.Amputation)
	set(b.KidneyFailure, "kidney failure", risk.ESRD)
	set(b.Dialysis, "dialysis", risk.KidneyReplacement, risk.ESRD)
	set(b.Transplant, "a kidney transplant", risk.KidneyReplacement)
	set(b.EGFRBelow30, "an eGFR below 30", risk.EGFRBelow30)
	set(b.CharcotHistory, "a Charcot foot", risk.CharcotHistory)
	set(b.Neuropathy, "a diagnosis of neuropathy", risk.LOPS)
	set(b.PAD, "peripheral artery disease", risk.PAD)
	set(b.Deformity, "a foot deformity", risk.Deformity)
	h.category, _ = risk.Judge(sys, &f).ForPlan()
	h.points = h.category.Rank > 0
	return h
}
