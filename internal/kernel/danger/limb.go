package danger

import (
	"tengram/internal/kernel/foot"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/source"
)

func (r *raised) dead(in *Input, side foot.Side) {
	g := in.Exam.Foot(side).Look.Gangrene
	if g.Any() == known.Yes {
		r.raise(gangrene, side, saw("Gangrene, extent: "+g.String()+".", side, "look.gangrene"))
	}
}

func (r *raised) cold(in *Input, side foot.Side) {
	if in.Exam.Foot(side).Feel.SuddenlyCold == known.AnswerYes {
		r.raise(suddenlyCold, side, saw("The foot became cold, pale, painful or numb within hours or days.", side, "feel.suddenly-cold"))
	}
}

// hot looks for warmth, redness and swelling of one foot. Two of the three are
// the hot red swollen foot; one is suspicion as long as another is not known.
func (r *raised) hot(in *Input, side foot.Side) {
	f := in.Exam.Foot(side)
	warm, red, swollen := f.Feel.Warm.Tri(), f.Look.Redness.Tri(), f.Feel.Swollen.Tri()
	if warmerSpot(in, side) {
		warm = known.Yes
	} else if warm == known.Unknown && in.Heat.Hot == known.No {
		warm = known.No
	}
	if swollen == known.Unknown {
		swollen = f.Feel.Oedema.Abnormal()
	}
	yes, unknown := 0, 0
	for _, t := range [3]known.Tri{warm, red, swollen} {
		switch t {
		case known.Yes:
			yes++
		case known.Unknown:
			unknown++
		}
	}
	if yes == 0 || yes == 1 && unknown == 0 {
		return
	}
	because := source.Because{
		{Says: "Warm: " + warm.String() + ". Red: " + red.String() + ". Swollen: " + swollen.String() + ".", Fact: side.String() + ".feel.warm", Source: ladderHot},
	}
	if l := in.LOPS.Feet[side].LOPS; l != known.No {
		because = append(because, source.Reason{
			Says:   "Loss of protective sensation: " + l.String() + ". Think of an acute Charcot foot, also without pain; keep weight off the foot.",
			Source: ladderOffload,
		})
	}
	if yes >= 2 {
		r.raise(hotFoot, side, because...)
	} else {
		r.suspect(hotFoot, OneWorkingDay, side, because...)
	}
}

func warmerSpot(in *Input, side foot.Side) bool {
	for _, s := range in.Heat.Spots {
		if s.Warmer == side {
			return true
		}
	}
	return false
}

func (r *raised) charcot(in *Input) {
	if in.Heat.CharcotSuspected != known.Yes {
		return
	}
	f := r.flag(acuteCharcot, OneWorkingDay, false)
	for _, side := range foot.Sides {
		for _, s := range in.Heat.CharcotSides {
			if s == side {
				addSide(f, side)
			}
		}
	}
	f.Because = append(f.Because, source.Reason{Says: "Weight is kept off the foot before any imaging.", Source: ladderOffload})
	f.Because = append(f.Because, in.Heat.Because...)
}

// restPain needs no side: the exam asks it of the person.
func (r *raised) restPain(in *Input) {
	ask := &in.Exam.Ask
	if ask.RestPain != known.AnswerYes && ask.RestPainNew != known.AnswerYes {
		return
	}
	pain := source.Reason{Says: "Pain of the foot at rest.", Fact: "ask.rest-pain"}
	switch ask.RestPainNew.Tri() {
	case known.Yes:
		f := r.flag(newRestPain, SameDay, true)
		f.Because = append(f.Because, pain, source.Reason{Says: "The pain is new.", Fact: "ask.rest-pain-new"})
	case known.Unknown:
		f := r.flag(newRestPain, SameDay, false)
		f.Because = append(f.Because, pain, source.Reason{Says: "Whether the pain is new was not recorded.", Fact: "ask.rest-pain-new"})
	}
	f := r.flag(threatenedLimb, OneWorkingDay, false)
	f.Because = append(f.Because, pain, source.Reason{
		Says: "Peripheral artery disease with pain at rest, gangrene or a lasting ulcer is chronic limb-threatening ischaemia; every suspicion is referred urgently.", Source: cltiNow,
	})
}

// criticalLeg flags pressures in the critical range, with a wound or without.
// They are settled as limb-threatening with one of the three signs beside them.
func (r *raised) criticalLeg(in *Input, side foot.Side, w openSite) {
	if in.PAD.Legs[side].Critical != known.Yes {
		return
	}
	low := source.Reason{
		Says: "Pressures of this leg are in the critical range.", Fact: side.String() + ".feel.arteries", Source: ladderLimb,
	}
	sign := w.open || in.Exam.Ask.RestPain == known.AnswerYes || in.Exam.Ask.RestPainNew == known.AnswerYes ||
		in.Exam.Foot(side).Look.Gangrene.Any() == known.Yes
	if sign {
		r.raise(threatenedLimb, side, low)
	} else {
		r.suspect(threatenedLimb, OneWorkingDay, side, low)
	}
}
