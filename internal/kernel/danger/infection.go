package danger

import (
	"tengram/internal/kernel/foot"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/source"
	"tengram/internal/kernel/wound"
)

// systemic reads the signs of a systemic response once, when a wound or an
// infection first asks for them.
type systemic struct {
	of   wound.Systemic
	read bool
	// sure: fever or a temperature below 36, feeling unwell, two systemic
	// criteria, or one far outside; any: at least one criterion.
	sure, any bool
	because   source.Because
}

func (s *systemic) look() *systemic {
	if s.read {
		return s
	}
	s.read = true
	sirs := wound.SIRS(s.of)
	s.because = sirs.Because
	s.any = sirs.Low > 0
	s.sure = sirs.Is == known.Yes || temperatureOff(s.of)
	if s.of.Unwell == known.AnswerYes {
		s.any, s.sure = true, true
		s.because = append(s.because, source.Reason{Says: "The person is unwell: fever, shivering, vomiting, confusion or new weakness.", Fact: "vitals.unwell"})
	}
	if over(s.of.HeartRate, 130) || over(s.of.RespiratoryRate, 25) {
		s.any, s.sure = true, true
		s.because = append(s.because, source.Reason{Says: "Heart rate above 130 or breathing above 25 a minute is a sign of sepsis on its own.", Fact: "vitals", Source: sepsisHigh})
	}
	if s.any && !s.sure {
		s.because = append(s.because, source.Reason{Says: "One systemic sign alone is not a systemic response, and may be its start.", Fact: "vitals", Source: ladderOneSign})
	}
	return s
}

// temperatureOff is fever, or the opposite: above 38.0 or below 36.0 degrees
// Celsius (IWGDF/IDSA 2023, second hand).
func temperatureOff(v wound.Systemic) bool {
	t := v.TemperatureC
	return t.State == known.TooHigh || t.Known() && (t.Value > 380 || t.Value < 360)
}

func over(r known.Reading, edge int) bool {
	return r.State == known.TooHigh || r.Known() && r.Value > edge
}

// infections looks at every place where signs of infection are recorded on one
// side: the foot itself and each ulcer, open or closed.
func (r *raised) infections(in *Input, side foot.Side, s *systemic) {
	r.infected(in, side, side.String()+".look.infection", in.Exam.Foot(side).Look.Infection, s)
	for i := range in.Exam.Ulcers {
		u := &in.Exam.Ulcers[i]
		if u.Side != side {
			continue
		}
		at := "ulcers." + u.ID
		r.infected(in, side, at+".infection", u.Infection, s)
		if u.ProbeToBone == known.AnswerYes {
			r.raise(deepInfection, side, source.Reason{Says: "Bone was felt with the probe.", Fact: at + ".probe-to-bone"})
		}
		switch {
		case u.Depth == wound.BoneOrJoint:
			r.suspect(deepInfection, Now, side, source.Reason{Says: "The ulcer reaches bone or joint.", Fact: at + ".depth", Source: ladderDeep})
		case u.Depth == wound.TendonOrMuscle && localSign(u.Infection):
			r.suspect(deepInfection, Now, side, source.Reason{Says: "The ulcer reaches tendon or muscle, with a sign of infection.", Fact: at + ".depth", Source: ladderDeep})
		}
	}
}

// infected raises what the signs at one place ask for. The grade of the
// infection is the wound room's; here are only the signs that cannot wait.
func (r *raised) infected(in *Input, side foot.Side, at string, i wound.Infection, s *systemic) {
	if !localSign(i) {
		return
	}
	for _, sign := range [...]struct {
		answer     known.Answer
		says, path string
	}{
		{i.Deep, "There is an abscess or another infection of deep tissue.", ".deep"},
		{i.Bone, "An infection of bone is suspected or shown.", ".bone"},
		{i.Crepitus, "There is gas in the tissue.", ".crepitus"},
	} {
		if sign.answer == known.AnswerYes {
			r.raise(deepInfection, side, source.Reason{Says: sign.says, Fact: at + sign.path})
		}
	}
	if i.Spreading == known.AnswerYes {
		r.raise(spreading, side, source.Reason{Says: "Redness or swelling is moving up the foot or leg.", Fact: at + ".spreading"})
	}
	if over(i.ErythemaMM, 19) {
		r.suspect(spreading, SameDay, side, source.Reason{Says: "Redness reaches " + i.ErythemaMM.String() + " mm from the edge.", Fact: at + ".erythema-mm", Source: moderate})
	}
	grade := wound.GradeInfection(at, i, in.Exam.Vitals, wound.Infection2023)
	// Spreading counts as infected: it is no local sign of the grade, but says
	// that somebody saw an infection move.
	is := known.Any(grade.Infected, i.Spreading.Tri())
	count := source.Reason{Says: "Two or more local signs are an infection.", Fact: at, Source: mild}
	switch is {
	case known.Yes:
		r.raise(infection, side, count)
	case known.Unknown:
		r.suspect(infection, OneWorkingDay, side, count)
	default:
		return
	}
	if s.look(); !s.any {
		return
	}
	if s.sure && is == known.Yes {
		r.raise(infectionWithFever, side, s.because...)
	} else {
		r.suspect(infectionWithFever, SameDay, side, s.because...)
	}
}

// localSign reports whether any sign of infection is recorded as there.
func localSign(i wound.Infection) bool {
	for _, a := range [...]known.Answer{i.Swelling, i.Tenderness, i.Warmth, i.Pus, i.Deep, i.Bone, i.Spreading, i.Crepitus} {
		if a == known.AnswerYes {
			return true
		}
	}
	return over(i.ErythemaMM, 0)
}
