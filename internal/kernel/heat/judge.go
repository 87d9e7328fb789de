package heat

import (
	"tengram/internal/kernel/foot"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/source"
)

// Input is what one visit says about the warmth of the two feet.
type Input struct {
	Right, Left Temperatures
	Unit        Unit
	// LOPS is the neuropathy of each foot.
	LOPS [2]known.Tri
	// Warm, Swollen and Red compare each foot with the other, by hand and eye.
	Warm, Swollen, Red [2]known.Tri
	OpenUlcer          [2]known.Tri
	Loss               [2]foot.Loss
}

// Limit is the difference that a pair of spots must exceed, in tenths of a
// degree: 2.2 in Celsius, 4.0 in Fahrenheit (Lavery 2004, confirmed). The two
// are not the same heat (4.0 F is 2.22 C), so a difference is judged in the
// unit it was measured in. An unknown unit has no limit.
func (u Unit) Limit() (tenths int, ok bool) {
	switch u {
	case Celsius:
		return 22, true
	case Fahrenheit:
		return 40, true
	}
	return 0, false
}

// Judge compares the feet spot by spot and says whether an acute Charcot foot
// must be thought of.
//
// Hot is Yes from one pair over the limit, and No only if all six spots, as far
// as both feet have them, were compared. Charcot must be thought of in a person
// with neuropathy when one foot is warmer, swollen or red; a measured
// difference of 2.0 degrees C or more counts as warmer, and a smaller one
// excludes nothing that hand and eye have found.
func Judge(in Input) Result {
	r := Result{Because: make(source.Because, 0, 6)}
	m := compare(&in, &r)
	neuropathy := in.neuropathy()
	r.CharcotSuspected = known.No
	feet := 0
	for _, side := range foot.Sides {
		if in.Loss[side].FootGone() {
			continue
		}
		feet++
		signs := in.signs(side, &r, m)
		charcot := known.All(neuropathy, signs)
		if charcot == known.Yes {
			r.CharcotSides = append(r.CharcotSides, side)
			r.say(charcotOn[side], "", srcCharcot)
			if in.OpenUlcer[side] == known.Yes {
				r.say(charcotUlcer[side], "ulcers", srcInfection)
			}
		}
		if signs == known.Yes && neuropathy == known.No {
			r.say(otherCause[side], "", srcCharcot)
		}
		if signs == known.Yes && neuropathy == known.Unknown {
			r.say(nerveUnknown[side], "", srcCharcot)
		}
		r.CharcotSuspected = known.Any(r.CharcotSuspected, charcot)
	}
	if feet == 0 {
		r.CharcotSuspected = known.Unknown
	}
	return r
}

func (r *Result) say(says, fact string, src *source.Source) {
	r.Because = append(r.Because, source.Reason{Says: says, Fact: fact, Source: src})
}

// neuropathy is the person's: it is a disease of both feet, and the other foot
// speaks for one that cannot be tested.
func (in *Input) neuropathy() known.Tri {
	answer, feet := known.No, 0
	for _, side := range foot.Sides {
		if in.Loss[side].FootGone() {
			continue
		}
		feet++
		answer = known.Any(answer, in.LOPS[side])
	}
	if feet == 0 {
		return known.Unknown
	}
	return answer
}

// signs answers "is this foot warmer, swollen or red?" and says which.
func (in *Input) signs(side foot.Side, r *Result, m measured) known.Tri {
	warm := in.Warm[side]
	if m.warmer[side] {
		warm = known.Yes
		r.say(measuredWarmer[side], warmField[side], srcSupports)
	}
	if warm == known.Unknown && m.whole {
		warm = known.No // measured at every spot, and not warmer
	}
	if in.Warm[side] == known.Yes {
		r.say(warmFoot[side], warmField[side], srcCharcot)
	}
	if in.Swollen[side] == known.Yes {
		r.say(swollenFoot[side], swollenField[side], srcCharcot)
	}
	if in.Red[side] == known.Yes {
		r.say(redFoot[side], redField[side], srcCharcot)
	}
	return known.Any(warm, in.Swollen[side], in.Red[side])
}

// measured is what the thermometer says beyond the hot spots.
type measured struct {
	// whole: every spot that both feet have was compared.
	whole bool
	// warmer: a spot of this side is warmer by 2.0 degrees C (3.6 F) or more.
	warmer [2]bool
}

// charcotFrom is the difference that supports an active Charcot foot, in tenths
// of a degree: 2.0 C or more (second hand; summaries differ on "more than"), in
// Fahrenheit 3.6 (derived).
func (u Unit) charcotFrom() int {
	if u == Fahrenheit {
		return 36
	}
	return 20
}

// compare fills Hot, Spots and NotCompared.
func compare(in *Input, r *Result) (m measured) {
	if in.Right.IsZero() && in.Left.IsZero() {
		r.say("Skin temperatures were not measured.", "", nil)
		return m
	}
	limit, ok := in.Unit.Limit()
	if !ok {
		r.say("The unit of the skin temperatures was not recorded, so they are not compared.", "temperature-unit", nil)
		return m
	}
	if gone := in.Loss[foot.Right].FootGone() || in.Loss[foot.Left].FootGone(); gone {
		r.say("One foot is gone: there is no side to compare with, and that is not normal. Compare upward from toe to knee.", "", srcOtherActive)
	}
	pairs, open := 0, 0
	for s := range SpotCount {
		right, left := in.Right[s], in.Left[s]
		there := in.Loss[foot.Right].Has(s.Place()) && in.Loss[foot.Left].Has(s.Place())
		if there && right.Known() && left.Known() {
			pairs++
			warmer, tenths := difference(right, left)
			m.warmer[warmer] = m.warmer[warmer] || tenths >= in.Unit.charcotFrom()
			if tenths > limit {
				r.hot(s, warmer, tenths, in.Unit)
			}
			continue
		}
		if there {
			open++
		}
		if right.Recorded() || left.Recorded() {
			r.NotCompared = append(r.NotCompared, s.String())
		}
	}
	m.whole = pairs > 0 && open == 0
	r.sayCompared(m)
	return m
}

// sayCompared sets Hot, and says what was and was not compared.
func (r *Result) sayCompared(m measured) {
	if len(r.NotCompared) > 0 {
		r.say("A spot without a partner on the other foot was not compared.", "", srcNoPartner)
	}
	switch {
	case len(r.Spots) > 0:
		r.Hot = known.Yes
	case m.whole:
		r.Hot = known.No
		r.say("No spot is warmer than its partner by more than the limit; that does not exclude disease.", "", srcSupports)
	}
}

// difference is how much the warmer foot is warmer at one spot, in tenths.
func difference(right, left known.Tenths) (warmer foot.Side, tenths int) {
	if left.Value > right.Value {
		return foot.Left, left.Value - right.Value
	}
	return foot.Right, right.Value - left.Value
}

func (r *Result) hot(s Spot, warmer foot.Side, tenths int, unit Unit) {
	r.Spots = append(r.Spots, HotSpot{Spot: s.String(), Warmer: warmer, Difference: known.TenthsOf(tenths), Unit: unit})
	r.say(warmerSpot[s][warmer], spotField[s][warmer], srcLimit)
}
