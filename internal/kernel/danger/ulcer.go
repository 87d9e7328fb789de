package danger

import (
	"strings"

	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/foot"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/perfusion"
	"tengram/internal/kernel/source"
	"tengram/internal/kernel/wound"
)

// openSite says whether one side has an open wound, and whether it has been
// described as an ulcer.
type openSite struct {
	open, described bool
}

func openWound(in *Input, side foot.Side) openSite {
	w := openSite{open: in.Exam.Foot(side).Look.Wound == known.Abnormal}
	for i := range in.Exam.Ulcers {
		if u := &in.Exam.Ulcers[i]; u.Side == side && u.Open() == known.Yes {
			return openSite{open: true, described: true}
		}
	}
	return w
}

// ulcer raises everything that an open wound on one side asks for.
func (r *raised) ulcer(in *Input, side foot.Side, w openSite, s *systemic) {
	if w.described {
		r.raise(openUlcer, side, in.seen(side)...)
	} else {
		r.suspect(openUlcer, OneWorkingDay, side, saw("An open wound was seen and is not described.", side, "look.wound"))
	}
	switch s.look(); {
	case s.sure:
		r.raise(ulcerWithFever, side, s.because...)
	case s.any:
		r.suspect(ulcerWithFever, SameDay, side, s.because...)
	}
	short := r.ischaemia(in, side)
	if missing := in.missing(side, w, short); len(missing) > 0 {
		r.suspect(ulcerUnchecked, SameDay, side,
			saw("Not recorded: "+strings.Join(missing, ", ")+".", side, "look.wound"))
	}
}

// seen names the open ulcers of a side and what they worry about.
func (in *Input) seen(side foot.Side) source.Because {
	var b source.Because
	for i := range in.Exam.Ulcers {
		u := &in.Exam.Ulcers[i]
		if u.Side != side || u.Open() != known.Yes {
			continue
		}
		b = append(b, source.Reason{Says: "Open ulcer, " + u.Place.Words() + ".", Fact: "ulcers." + u.ID})
		for _, result := range in.Ulcers {
			if result.ID == u.ID {
				b = append(b, result.Worry...)
			}
		}
	}
	return b
}

// unseen raises an ulcer that was open at an earlier exam, on a foot that was
// not looked at for a wound today.
func (r *raised) unseen(in *Input, side foot.Side) {
	f := in.Exam.Foot(side)
	if in.Background == nil || f.Look.Wound == known.Normal || f.Loss.FootGone() {
		return
	}
	past := in.Background.Ulcers
	for i := range past {
		u := &past[i].Ulcer
		if u.Side == side && u.Open() == known.Yes && !seenSince(in, past[i+1:], u) {
			r.suspect(openUlcer, OneWorkingDay, side,
				saw("Ulcer "+u.ID+" was open on "+past[i].On+", and the foot was not looked at for a wound since.", side, "look.wound"))
		}
	}
}

// seenSince reports whether a later exam, or this one, describes the same
// ulcer. Past ulcers are ordered oldest first.
func seenSince(in *Input, later []exam.PastUlcer, u *wound.Ulcer) bool {
	for i := range later {
		if later[i].Ulcer.ID == u.ID && later[i].Ulcer.Side == u.Side {
			return true
		}
	}
	for i := range in.Exam.Ulcers {
		if in.Exam.Ulcers[i].ID == u.ID && in.Exam.Ulcers[i].Side == u.Side {
			return true
		}
	}
	return false
}

// ischaemia raises an ulcer on a leg short of blood: settled by pressures in
// the critical range, suspected by an absent pulse, by a leg whose artery
// disease is likely, or by pain at rest. An absent pulse gives way only to the
// pressures themselves, where they make artery disease of this leg unlikely.
func (r *raised) ischaemia(in *Input, side foot.Side) (found bool) {
	leg := in.PAD.Legs[side]
	if leg.Critical == known.Yes {
		r.raise(ulcerWithIschaemia, side, saw("Pressures of this leg are in the critical range.", side, "feel.arteries"))
		found = true
	}
	a := in.Exam.Foot(side).Feel.Arteries
	if noPulse(a) && leg.Level != perfusion.Unlikely {
		r.suspect(ulcerWithIschaemia, Now, side, source.Reason{
			Says: "A foot pulse is absent.", Fact: side.String() + ".feel.arteries", Source: ladderIschaemia,
		})
		found = true
	}
	if leg.Level == perfusion.Likely {
		r.suspect(ulcerWithIschaemia, Now, side, saw("Peripheral artery disease of this leg is likely.", side, "feel.arteries"))
		found = true
	}
	if in.Exam.Ask.RestPain == known.AnswerYes || in.Exam.Ask.RestPainNew == known.AnswerYes {
		r.suspect(ulcerWithIschaemia, Now, side, source.Reason{Says: "Pain of the foot at rest.", Fact: "ask.rest-pain", Source: cltiNow})
		found = true
	}
	return found
}

func noPulse(a perfusion.Leg) bool {
	return a.DP.Palpable() == known.No || a.PT.Palpable() == known.No
}

// missing lists in words what was not looked for and would make an open wound
// an emergency.
func (in *Input) missing(side foot.Side, w openSite, short bool) []string {
	var m []string
	v, f := &in.Exam.Vitals, in.Exam.Foot(side)
	if t := v.TemperatureC; !t.Known() && t.State != known.TooHigh {
		m = append(m, "body temperature")
	}
	if !v.Unwell.Tri().Known() {
		m = append(m, "whether the person feels unwell")
	}
	if !f.Look.Gangrene.Any().Known() {
		m = append(m, "gangrene")
	}
	a := f.Feel.Arteries
	felt := a.DP.Palpable().Known() && a.PT.Palpable().Known()
	if !short && !felt && !in.PAD.Legs[side].Critical.Known() && !f.Loss.FootGone() {
		m = append(m, "foot pulses or pressures")
	}
	if !w.described {
		return append(m, "depth, probing to bone and signs of infection of the wound")
	}
	for i := range in.Exam.Ulcers {
		if u := &in.Exam.Ulcers[i]; u.Side == side && u.Open() == known.Yes {
			m = append(m, ulcerMissing(u)...)
		}
	}
	return m
}

func ulcerMissing(u *wound.Ulcer) []string {
	var m []string
	i := &u.Infection
	if u.Depth.IsZero() {
		m = append(m, "depth of ulcer "+u.ID)
	}
	if !i.Bone.Tri().Known() && !u.ProbeToBone.Tri().Known() {
		m = append(m, "probing to bone of ulcer "+u.ID)
	}
	if !i.Deep.Tri().Known() {
		m = append(m, "deep infection of ulcer "+u.ID)
	}
	if e := i.ErythemaMM; !i.Spreading.Tri().Known() && !e.Known() && e.State != known.TooHigh {
		m = append(m, "spreading redness of ulcer "+u.ID)
	}
	return m
}
