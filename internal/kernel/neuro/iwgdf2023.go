package neuro

import (
	"tengram/internal/kernel/foot"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/source"
)

const (
	idIWGDF2023   = "lops-iwgdf-2023"
	nameIWGDF2023 = "IWGDF 2023: any of three sites, or the tuning fork"
)

var (
	srcIWGDF2023 = source.IWGDF2023Practical.At("LOPS tests, as in the 2019 text", source.Secondary)
	srcIWGDFRule = source.IWGDFAddendum.At("10 g monofilament: one absent site is a foot at risk", source.Confirmed)
	srcIWGDFPlan = source.IWGDF2023Practical.At("the three sites of the monofilament", source.Memory)
	srcIWGDFFork = source.IWGDF2019Practical.At("LOPS by 10 g monofilament and/or 128 Hz tuning fork", source.Confirmed)
	srcIWGDFHand = source.IWGDF2019Practical.At("light touch of the toe tips if neither is at hand; two missed toes from memory", source.Memory)
	srcIWGDFEach = source.OurProposal.At("a complete normal test clears a foot where the monofilament was not begun; any abnormal test stands", source.Proposal)
)

// defIWGDF2023: LOPS by the 10 g monofilament and/or the 128 Hz tuning fork,
// and by light touch where neither is at hand. One of three sites (great toe,
// first and fifth metatarsal head; the three from memory) is enough.
//
// How the tests add up is ours: any abnormal test stands, and a monofilament
// test that is complete and normal clears the foot; the fork or the touch test
// clears it only where no site was tested. The touch test so also counts beside
// the others; a finding is never outvoted by a test that looked elsewhere.
var defIWGDF2023 = Definition{ID: idIWGDF2023, Name: nameIWGDF2023, Source: srcIWGDF2023, Judge: judgeIWGDF2023}

func judgeIWGDF2023(t Tests) Result {
	v := newVerdict(&t, idIWGDF2023, nameIWGDF2023)
	v.rule("One insensate site of three on a foot means loss of protective sensation.", srcIWGDFRule)
	v.rule("The three are the great toe and the first and fifth metatarsal heads.", srcIWGDFPlan)
	v.plan()
	sites := ThreeSites.Sites()
	for _, side := range foot.Sides {
		if v.Feet[side].Gone {
			continue
		}
		filament, fork := v.filament(side, sites, 1), v.fork(side)
		switch {
		case filament == known.Yes || fork == known.Yes:
			v.Feet[side].LOPS = known.Yes
		case filament == known.No || (fork == known.No && v.Feet[side].Tested == 0):
			// A monofilament test that was begun and not finished is not
			// finished by the fork: the site left out may be the one not felt.
			v.Feet[side].LOPS = known.No
		}
	}
	v.touchStandsIn()
	for _, side := range foot.Sides {
		if f := v.Feet[side]; !f.Gone && f.LOPS == known.Unknown {
			blocked := v.openSites(side, sites)
			if f.Tested == 0 && (blocked || f.Absent == len(sites)) && t.Feet[side].Vibration != known.Absent {
				v.settle(vibrationField[side])
			}
		}
	}
	return v.close(len(sites))
}

// fork reads the tuning fork on one foot and says what it gave.
func (v *verdict) fork(side foot.Side) known.Tri {
	answer := v.tests.Feet[side].Vibration.Abnormal()
	switch answer {
	case known.Yes:
		v.Because = append(v.Because, source.Reason{Says: forkNotFelt[side], Fact: vibrationField[side], Source: srcIWGDFFork})
	case known.No:
		v.Because = append(v.Because, source.Reason{Says: forkFelt[side], Fact: vibrationField[side], Source: srcIWGDFFork})
	}
	return answer
}

// touchStandsIn takes the light-touch test into account: missed toes mark
// their foot where the person reaches two of them, and a normal test clears a
// foot that no other test has judged.
func (v *verdict) touchStandsIn() {
	touch := v.tests.touch()
	if touch.tested() == 0 {
		return
	}
	v.rule("Light touch at the toe tips stands in for the monofilament: two or more missed toes of six mean loss of protective sensation.", srcIWGDFHand)
	v.sayTouch()
	cleared := false
	for _, side := range foot.Sides {
		f := &v.Feet[side]
		switch answer := touch.foot(side); {
		case answer == known.Yes:
			f.LOPS = known.Yes
		case answer == known.No && f.LOPS == known.Unknown && f.Tested == 0:
			f.LOPS, cleared = known.No, true
		}
	}
	if cleared {
		v.rule("A complete normal test clears a foot where the monofilament was not begun; any abnormal test stands.", srcIWGDFEach)
	}
}
