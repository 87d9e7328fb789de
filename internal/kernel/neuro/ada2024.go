package neuro

import (
	"tengram/internal/kernel/foot"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/source"
)

const (
	idADA2024   = "lops-ada-2024"
	nameADA2024 = "ADA 2024: monofilament, with one other test"
)

var (
	srcADA2024     = source.ADA2024Standards.At("monofilament with at least one other test", source.Secondary)
	srcADA2024Open = source.OurProposal.At("an abnormal test beside a normal monofilament leaves the answer open", source.Proposal)
)

var (
	examineMore  = onFoot("another test is abnormal while the monofilament was felt: examine further.")
	noOtherTest  = onFoot("no second normal test stands beside the monofilament.")
	filamentOnly = "Only an unfelt monofilament suggests loss of protective sensation; a normal one with at least one other normal test and no abnormal test rules it out."
)

// defADA2024: the monofilament together with pinprick, warm and cold, or the
// tuning fork. Only an unfelt monofilament suggests LOPS; it is ruled out by a
// normal monofilament and one other normal test with none abnormal. The ankle
// reflex is not among the tests of the 2024 sentence, so that a normal one
// clears nothing, but an absent one is still an abnormal test.
var defADA2024 = Definition{ID: idADA2024, Name: nameADA2024, Source: srcADA2024, Judge: judgeADA2024}

func judgeADA2024(t Tests) Result {
	v := newVerdict(&t, idADA2024, nameADA2024)
	v.rule(filamentOnly, srcADA2024)
	v.plan()
	sites := FourSites.Sites()
	for _, side := range foot.Sides {
		if v.Feet[side].Gone {
			continue
		}
		v.judge2024(side, sites)
	}
	return v.close(len(sites))
}

func (v *verdict) judge2024(side foot.Side, sites []Site) {
	f := &v.tests.Feet[side]
	filament := v.filament(side, sites, 1)
	others := [3]known.Tri{f.Vibration.Abnormal(), f.Pinprick.Abnormal(), f.WarmCold.Abnormal()}
	reflex := f.Reflex.Abnormal()
	v.sayIf(others[0], forkNotFelt[side], vibrationField[side])
	v.sayIf(others[1], pinNotFelt[side], pinprickField[side])
	v.sayIf(others[2], warmNotTold[side], warmColdField[side])
	v.sayIf(reflex, reflexAbsent[side], reflexField[side])
	abnormal, normal := tally(others[:])
	if reflex == known.Yes {
		abnormal++
	}
	switch {
	case filament == known.Yes:
		v.Feet[side].LOPS = known.Yes
		return
	case filament == known.No && abnormal == 0 && normal > 0:
		v.Feet[side].LOPS = known.No
		return
	case filament == known.No && abnormal > 0:
		v.Because = append(v.Because, source.Reason{Says: examineMore[side], Source: srcADA2024Open})
		return
	}
	if v.Feet[side].Absent == len(sites) {
		return // no site is left that could rule it in or out
	}
	v.openSites(side, sites)
	if abnormal == 0 && normal == 0 {
		v.found(noOtherTest[side], "")
		v.secondTest(side)
	}
}

// secondTest names the first of the other tests that can still be done.
func (v *verdict) secondTest(side foot.Side) {
	f := &v.tests.Feet[side]
	switch {
	case f.Vibration != known.Absent:
		v.settle(vibrationField[side])
	case f.Pinprick != known.Absent:
		v.settle(pinprickField[side])
	case f.WarmCold != known.Absent:
		v.settle(warmColdField[side])
	}
}
