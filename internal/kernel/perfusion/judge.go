package perfusion

import (
	"tengram/internal/kernel/foot"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/source"
)

// Judge says how far the evidence speaks for PAD.
//
// Likely: a diagnosis, a repaired leg artery, an ABI of 0.90 or less, a TBI of
// 0.70 or less, or a pressure in the critical range. Suspected: a decreased or
// absent pulse, claudication, rest pain, a monophasic or absent waveform; it
// counts as PAD until pressures settle it. Pressures settle a leg with an ABI
// of 0.91 to 1.30 together with a TBI above 0.70, or with a triphasic or biphasic
// waveform where no toe is left; an ABI above 1.30 never counts as normal. Unlikely: every leg that exists is settled so, or has its
// pulses present, with no claudication. Anything else is CannotSay.
//
// Pulses do not clear a leg whose index is too high, whose refill is slow or
// whose colour changes with posture, unless its TBI is normal; nor one whose
// pressures were taken without an arm pressure to set them against.
//
// Two choices are ours. What the record does not say about a diagnosis leaves
// the answer to pulses and pressures, since a record is silent about most
// people; and rest pain that nobody asked about does not stand in the way of
// Unlikely, while claudication does: the short exam asks for claudication.
func Judge(e Evidence) Result {
	j := judge{e: &e, r: Result{Because: make(source.Because, 0, 8)}}
	j.history()
	j.r.PulseAbsent = known.No
	for _, side := range foot.Sides {
		j.leg(side)
	}
	j.person()
	j.conclude()
	return j.r
}

// judge holds the work on one person.
type judge struct {
	e    *Evidence
	r    Result
	legs [2]leg
	// feet counts the legs that still have a foot.
	feet       int
	oneArmSaid bool
}

// leg is what Judge needs to remember of one leg.
type leg struct {
	diminished known.Tri // a pulse is decreased or absent
	cleared    bool      // pressures settled it
	stiff      bool      // an ankle artery too hard to compress
	wave       bool      // a monophasic or absent waveform
	support    bool      // slow refill, or colour on posture
	begun      bool      // a pressure without an arm to set it against
	toeless    bool      // no toe is left to measure
	measured   bool      // ankle and toe pressure have a result
}

func (j *judge) say(says, fact string, src *source.Source) {
	j.r.Because = append(j.r.Because, source.Reason{Says: says, Fact: fact, Source: src})
}

// history says what the person and the record told.
func (j *judge) history() {
	if j.e.Diagnosed == known.Yes {
		j.say("Peripheral artery disease has been diagnosed.", "ask.pad-diagnosed", srcRecord)
	}
	if j.e.Revascularised == known.Yes {
		j.say("An artery of a leg has been repaired.", "ask.revascularised", srcRecord)
	}
	if j.e.Claudication == known.Yes {
		j.say("The leg hurts or tires on walking, and rest relieves it.", "ask.claudication", srcPulse)
	}
	if j.e.RestPain == known.Yes {
		j.say("The foot hurts at rest, and hanging the leg relieves it.", "ask.rest-pain", srcRestPain)
	}
}

// leg judges one leg on its own.
func (j *judge) leg(side foot.Side) {
	r, l := &j.r.Legs[side], &j.legs[side]
	r.Side = side
	if j.e.Loss[side].FootGone() {
		r.Gone = true
		l.measured = true
		j.say(footGone[side], lossField[side], nil)
		return
	}
	j.feet++
	in := &j.e.Legs[side]
	j.pulses(side, in, l)
	j.pressures(side, in, l, r)
	low := r.ABI.Known && r.ABI.Value <= 90 || r.TBI.Known && r.TBI.Value <= 70 || r.Critical == known.Yes
	toeNormal := r.TBI.Known && r.TBI.Value > 70 ||
		l.toeless && !r.TBI.Known && (in.Waveform == Triphasic || in.Waveform == Biphasic)
	l.cleared = !low && !l.wave && !l.stiff && r.ABI.Known && toeNormal
	switch {
	case low:
		r.Level = Likely
	case l.cleared:
		r.Level = Unlikely
	case l.diminished == known.Yes || l.wave:
		r.Level = Suspected
	case l.diminished == known.No && !l.begun && (toeNormal || !l.support && !l.stiff):
		r.Level = Unlikely
	}
}

// pulses reads the two pulses of a foot and the signs that support them.
func (j *judge) pulses(side foot.Side, in *Leg, l *leg) {
	pulses := [2]Pulse{in.DP, in.PT}
	l.diminished = known.No
	for i, p := range pulses {
		if i == 0 && !j.e.Loss[side].Has(foot.Dorsum) {
			continue // the artery went with the midfoot
		}
		l.diminished = known.Any(l.diminished, p.Diminished())
		j.r.PulseAbsent = known.Any(j.r.PulseAbsent, p.Palpable().Not())
		if p.Palpable() == known.No {
			j.say(pulseSays[i][p][side], pulseField[i][side], srcPODUS)
		} else if p == PulseWeak {
			j.say(pulseSays[i][p][side], pulseField[i][side], srcPulse)
		}
	}
	if l.diminished == known.No {
		j.say(pulsesPresent[side], pulseField[0][side], srcHistory)
	}
	if in.CapillaryRefill == known.Abnormal {
		l.support = true
		j.say(slowRefill[side], refillField[side], srcSupport)
	}
	if in.PostureColour == known.Abnormal {
		l.support = true
		j.say(postureColour[side], postureField[side], srcPosture)
	}
}

// person adds the legs and the history up.
func (j *judge) person() {
	if j.feet == 0 {
		j.r.PulseAbsent = known.Unknown
	}
	symptoms := known.Any(j.e.Claudication, j.e.RestPain)
	worst, cleared := Unlikely, j.feet > 0
	for _, side := range foot.Sides {
		if j.r.Legs[side].Gone {
			continue
		}
		cleared = cleared && j.legs[side].cleared
		worst = worse(worst, j.r.Legs[side].Level)
	}
	switch {
	case j.e.Diagnosed == known.Yes || j.e.Revascularised == known.Yes:
		worst = Likely
	case symptoms == known.Yes && !cleared:
		worst = worse(worst, Suspected)
	case j.feet == 0 || !cleared && j.e.Claudication == known.Unknown:
		worst = worse(worst, CannotSay)
	}
	j.r.Level = worst
	switch worst {
	case Suspected, Likely:
		j.r.PAD = known.Yes
	case Unlikely:
		j.r.PAD = known.No
	}
	j.r.PressuresNeeded = j.pressuresNeeded(symptoms)
}

// worse is the level that speaks more for PAD; CannotSay lies between Unlikely
// and Suspected.
func worse(a, b Level) Level {
	if weight(b) > weight(a) {
		return b
	}
	return a
}

func weight(l Level) int {
	switch l {
	case Unlikely:
		return 0
	case CannotSay:
		return 1
	}
	return int(l)
}

// pressuresNeeded asks for ankle and toe pressures of a leg that lacks a result
// where the leg itself, a symptom or an open ulcer speaks for them.
func (j *judge) pressuresNeeded(symptoms known.Tri) known.Tri {
	want := known.No
	for i := range j.legs {
		l := &j.legs[i]
		if !l.measured {
			want = known.Any(want, symptoms, j.e.OpenUlcer, l.diminished, known.Of(l.stiff || l.wave || l.support || l.begun))
		}
	}
	return want
}

// conclude says the rule that gave the answer, and what would settle it.
func (j *judge) conclude() {
	switch j.r.Level {
	case Suspected:
		if j.r.PressuresNeeded == known.No {
			j.say("What was measured does not settle it: this counts as peripheral artery disease until further vascular assessment.", "", srcSettles)
		} else {
			j.say("Until ankle and toe pressures settle it, this counts as peripheral artery disease.", "", srcSettles)
		}
	case Unlikely:
		if j.byPressures() {
			j.say("Ankle and toe pressures are normal on every leg: peripheral artery disease is less likely.", "", srcLess)
			if j.e.Claudication == known.Yes {
				j.say("With leg symptoms on walking and a resting index above 0.90, an exercise index is the next test.", "ask.claudication", srcExercise)
			}
		} else {
			j.say("Foot pulses are present and walking brings no leg pain: peripheral artery disease is unlikely.", "", srcSilence)
		}
	case CannotSay:
		if j.feet == 0 {
			j.say("There is no foot left whose pulses could be felt.", "", nil)
		}
	}
	if j.e.OpenUlcer == known.Yes && j.r.PressuresNeeded == known.Yes {
		j.say("With an open ulcer, pulses alone do not exclude artery disease: measure pressures and waveforms.", "", srcUlcer)
	}
	j.settle()
}

func (j *judge) byPressures() bool {
	for _, side := range foot.Sides {
		if !j.r.Legs[side].Gone && !j.legs[side].cleared {
			return false
		}
	}
	return true
}
