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
// difference counts as warmer, and a small one excludes nothing that hand and
// eye have found.
func Judge(in Input) Result {
	r := Result{Because: make(source.Because, 0, 6)}
	compared := compare(&in, &r)
	neuropathy := in.neuropathy()
	r.CharcotSuspected = known.No
	feet := 0
	for _, side := range foot.Sides {
		if in.Loss[side].FootGone() {
			continue
		}
		feet++
		signs := in.signs(side, &r, compared)
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
func (in *Input) signs(side foot.Side, r *Result, compared bool) known.Tri {
	warm := in.Warm[side]
	for _, h := range r.Spots {
		if h.Warmer == side {
			warm = known.Yes
		}
	}
	if warm == known.Unknown && compared {
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

// compare fills Hot, Spots and NotCompared; it reports whether every spot that
// both feet have was compared.
func compare(in *Input, r *Result) bool {
	if in.Right.IsZero() && in.Left.IsZero() {
		r.say("Skin temperatures were not measured.", "", nil)
		return false
	}
	limit, ok := in.Unit.Limit()
	if !ok {
		r.say("The unit of the skin temperatures was not recorded, so they are not compared.", "temperature-unit", nil)
		return false
	}
	if gone := in.Loss[foot.Right].FootGone() || in.Loss[foot.Left].FootGone(); gone {
		r.say("One foot is gone: there is no side to compare with, and that is not normal. Compare upward from toe to knee.", "", srcOtherActive)
	}
	pairs, open := 0, 0
	for s := range SpotCount {
		right, left := in.Right[s], in.Left[s]
		there := in.Loss[foot.Right].Has(s.Place()) && in.Loss[foot.Left].Has(s.Place())
		switch {
		case there && right.Known() && left.Known():
			pairs++
			r.compareSpot(s, right.Value-left.Value, limit, in.Unit)
		case there && !right.Recorded() && !left.Recorded():
			open++
		case there || right.Known() || left.Known():
			open += btoi(there)
			r.NotCompared = append(r.NotCompared, s.String())
		}
	}
	if len(r.NotCompared) > 0 {
		r.say("A spot without a partner on the other foot was not compared.", "", srcNoPartner)
	}
	switch {
	case len(r.Spots) > 0:
		r.Hot = known.Yes
	case pairs > 0 && open == 0:
		r.Hot = known.No
		r.say("No spot is warmer than its partner by more than the limit; that does not exclude disease.", "", srcSupports)
	}
	return pairs > 0 && open == 0
}

func (r *Result) compareSpot(s Spot, difference, limit int, unit Unit) {
	warmer := foot.Right
	if difference < 0 {
		warmer, difference = foot.Left, -difference
	}
	if difference <= limit {
		return
	}
	r.Spots = append(r.Spots, HotSpot{Spot: s.String(), Warmer: warmer, Difference: known.TenthsOf(difference), Unit: unit})
	r.say(warmerSpot[s][warmer], spotField[s][warmer], srcLimit)
}

func btoi(b bool) int {
	if b {
		return 1
	}
	return 0
}
