package neuro

import (
	"tengram/internal/kernel/foot"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/source"
)

const (
	idADA2008   = "lops-ada-2008"
	nameADA2008 = "ADA 2008: any abnormal test of five"
)

var (
	srcADA2008 = source.ADA2008FootExam.At("tests for loss of protective sensation", source.Secondary)
	srcADAAny  = source.ADA2008FootExam.At("one or more abnormal tests suggest LOPS", source.Memory)
	srcADATwo  = source.ADA2008FootExam.At("at least two normal tests and no abnormal test rule it out", source.Secondary)
)

// vptEdge2008 is 25 V in tenths: a threshold above it is abnormal (ADA 2008,
// from memory; Young 1994, confirmed). Later screening papers take 25 V itself
// as abnormal; VPTFrom25 answers by that edge.
const vptEdge2008 = 250

// defADA2008: one abnormal test of five on a foot means LOPS; two normal ones
// and none abnormal rule it out; else it is undetermined. The five are the
// monofilament at four sites (one not felt is abnormal), the 128 Hz tuning
// fork, pinprick, the ankle reflex and the vibration perception threshold.
var defADA2008 = Definition{ID: idADA2008, Name: nameADA2008, Source: srcADA2008, Judge: judgeADA2008}

func judgeADA2008(t Tests) Result {
	v := newVerdict(&t, idADA2008, nameADA2008)
	v.rule("One abnormal test of five on a foot means loss of protective sensation.", srcADAAny)
	v.rule("Two normal tests and no abnormal one rule it out.", srcADATwo)
	v.plan()
	sites := FourSites.Sites()
	for _, side := range foot.Sides {
		if v.Feet[side].Gone {
			continue
		}
		five := v.five(side, sites)
		abnormal, normal := tally(five[:])
		switch {
		case abnormal > 0:
			v.Feet[side].LOPS = known.Yes
		case normal >= 2:
			v.Feet[side].LOPS = known.No
		default:
			v.anotherTest(side, sites, five, 2-normal)
		}
	}
	return v.close(len(sites))
}

// five reads the five tests of one foot and says what was abnormal.
func (v *verdict) five(side foot.Side, sites []Site) [5]known.Tri {
	f := &v.tests.Feet[side]
	five := [5]known.Tri{
		v.filament(side, sites, 1), f.Vibration.Abnormal(), f.Pinprick.Abnormal(), f.Reflex.Abnormal(), VPTAbove25(f.VPT),
	}
	v.sayIf(five[1], forkNotFelt[side], vibrationField[side])
	v.sayIf(five[2], pinNotFelt[side], pinprickField[side])
	v.sayIf(five[3], reflexAbsent[side], reflexField[side])
	v.sayIf(five[4], vptHigh[side], vptField[side])
	return five
}

func (v *verdict) sayIf(abnormal known.Tri, says, fact string) {
	if abnormal == known.Yes {
		v.found(says, fact)
	}
}

// anotherTest names the tests that would settle one foot, in the order of
// practice, until as many as are lacking.
func (v *verdict) anotherTest(side foot.Side, sites []Site, five [5]known.Tri, lacking int) {
	f := &v.tests.Feet[side]
	fields := [5]string{"", vibrationField[side], pinprickField[side], reflexField[side], vptField[side]}
	lost := [5]bool{1: f.Vibration == known.Absent, 2: f.Pinprick == known.Absent}
	for i, tri := range five {
		if lacking == 0 {
			return
		}
		switch {
		case tri.Known() || lost[i]:
			continue
		case i > 0:
			v.settle(fields[i])
		case v.tests.count(side, sites).open == 0:
			continue // no site is left to test
		default:
			v.openSites(side, sites)
		}
		lacking--
	}
}

func tally(tests []known.Tri) (abnormal, normal int) {
	for _, t := range tests {
		switch t {
		case known.Yes:
			abnormal++
		case known.No:
			normal++
		}
	}
	return abnormal, normal
}

// VPTAbove25 answers "is the vibration perception threshold abnormal?" with
// 25 V itself still normal. A threshold beyond the device's range is abnormal.
func VPTAbove25(v known.Tenths) known.Tri { return vpt(v, vptEdge2008+1) }

// VPTFrom25 answers the same with 25 V itself abnormal, as later screening
// papers do.
func VPTFrom25(v known.Tenths) known.Tri { return vpt(v, vptEdge2008) }

func vpt(v known.Tenths, from int) known.Tri {
	switch v.State {
	case known.Measured:
		return known.Of(v.Value >= from)
	case known.TooHigh:
		return known.Yes
	}
	return known.Unknown
}

// VPTReasons are the two edges with their sources.
func VPTReasons() source.Because {
	return source.Because{
		{Says: "Above 25 V is abnormal.", Source: source.Young1994.At("more ulcers above 25 V than below 15 V", source.Confirmed)},
		{Says: "From 25 V is abnormal in later screening papers.", Source: source.ScreeningPMC7950904.At("VPT of 25 V or more", source.Confirmed)},
	}
}
