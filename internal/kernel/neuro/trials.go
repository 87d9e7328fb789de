package neuro

import (
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/source"
)

// Trial is the answer to one question at one site.
type Trial uint8

// The answers. Wrong is not felt, felt on the wrong foot, or felt when nothing
// touched; TrialUnable means the person could not tell, and counts as wrong.
const (
	NoTrial Trial = iota
	TrialRight
	TrialWrong
	TrialUnable
)

// TrialRule says how three questions make one result.
type TrialRule uint8

const (
	// TwoOfThree: present from two right answers, absent from two that are not
	// (IWGDF addendum, confirmed; two real applications and a sham make the
	// three questions).
	TwoOfThree TrialRule = iota
	// FirstOrTwoOfThree: as TwoOfThree, but a right first answer is enough
	// (US national survey NHANES 1999-2004; the rule reproduces its counts).
	FirstOrTwoOfThree
)

// SiteFromTrials makes the result of a site from up to three answers: Normal is
// felt, Abnormal not felt, and NotDone where the answers do not decide.
func SiteFromTrials(rule TrialRule, answers [3]Trial) known.Finding {
	right, wrong := 0, 0
	for _, a := range answers {
		switch a {
		case TrialRight:
			right++
		case TrialWrong, TrialUnable:
			wrong++
		}
	}
	switch {
	case rule == FirstOrTwoOfThree && answers[0] == TrialRight, right >= 2:
		return known.Normal
	case wrong >= 2:
		return known.Abnormal
	}
	return known.NotDone
}

// ReasonTwoOfThree and ReasonFirstOrTwo say each rule with its source.
var (
	ReasonTwoOfThree = source.Reason{
		Says:   "A site is felt from two right answers of three, and not felt from two that are not.",
		Source: source.IWGDFAddendum.At("two real applications and a sham at a site; two of three answers decide", source.Confirmed),
	}
	ReasonFirstOrTwo = source.Reason{
		Says:   "A site is felt if the first answer is right or two of three are, and not felt from two that are not.",
		Source: source.NHANESLowerExtremity.At("monofilament examination; the rule gives the survey's own counts", source.Derived),
	}
)
