package wound

import (
	"strings"

	"tengram/internal/kernel/foot"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/perfusion"
	"tengram/internal/kernel/source"
)

// findings are the inputs of one ulcer, read once for all classes.
type findings struct {
	in *Input
	// at is where the ulcer stands in the exam, such as "ulcers.u1", and leg
	// where the arteries of its leg stand.
	at, leg  string
	area     known.Reading
	shallow  Depth // the least depth that the answers allow
	deep     Depth // the greatest
	infected known.Tri
	// deepInfection is an abscess, an infected bone or joint, or the like.
	deepInfection known.Tri
}

var legAt = [2]string{foot.Right: "right.feel.arteries", foot.Left: "left.feel.arteries"}
var gangreneAt = [2]string{foot.Right: "right.look.gangrene", foot.Left: "left.look.gangrene"}
var filamentAt = [2]string{foot.Right: "right.test.filament", foot.Left: "left.test.filament"}

func read(in *Input, g InfectionGrade) findings {
	u := &in.Ulcer
	f := findings{in: in, at: "ulcers." + u.ID, leg: legAt[u.Side&1], infected: g.Infected}
	f.area, _, _ = Area(u.Size)
	f.shallow, f.deep = u.Depths()
	f.deepInfection = known.Any(u.Infection.Deep.Tri(), u.Infection.Bone.Tri(), u.Infection.Crepitus.Tri())
	return f
}

// Depths bounds how deep the ulcer reaches. Bone felt with a probe is bone
// reached, whatever was recorded beside it; bone not felt does not make an
// ulcer less deep than it looked. A closed ulcer has no depth.
func (u Ulcer) Depths() (least, most Depth) {
	switch {
	case u.Open() == known.No:
		return Closed, Closed
	case u.ProbeToBone == known.AnswerYes:
		return BoneOrJoint, BoneOrJoint
	case u.Depth == DepthUnknown || u.Depth > BoneOrJoint:
		return SkinOnly, BoneOrJoint
	}
	return u.Depth, u.Depth
}

// reaches answers "does the ulcer reach this deep?".
func (f *findings) reaches(d Depth) known.Tri {
	switch {
	case f.shallow >= d:
		return known.Yes
	case f.deep < d:
		return known.No
	}
	return known.Unknown
}

// missingDepth names the depth where it is not settled.
func (f *findings) missingDepth(m []string) []string {
	if f.shallow != f.deep {
		m = append(m, f.at+".depth")
	}
	return m
}

// missingInfection names what would settle whether there is an infection.
func (f *findings) missingInfection(m []string, g InfectionGrade) []string {
	if f.infected == known.Unknown {
		for _, name := range g.Missing {
			if !strings.HasPrefix(name, "vitals.") {
				m = append(m, name)
			}
		}
	}
	return m
}

// noPulse answers "is neither foot pulse felt?": SINBAD's clinical evidence of
// reduced flow. One pulse felt is enough to say no. Where the pulses were not
// felt for, the conclusion from pressures stands in (our proposal).
func (f *findings) noPulse() (known.Tri, *source.Source) {
	dp, pt := f.in.Leg.DP.Palpable(), f.in.Leg.PT.Palpable()
	if none := known.All(dp.Not(), pt.Not()); none.Known() {
		return none, sinbadItems
	}
	switch f.in.Perfusion.Level {
	case perfusion.Likely:
		return known.Yes, flowFromPressures
	case perfusion.Unlikely:
		return known.No, flowFromPressures
	}
	return known.Unknown, sinbadItems
}

var flowFromPressures = own("without pulses, the arteries are judged by pressures")

// ischaemic answers "is the foot ischaemic?" for the University of Texas
// stage. The original threshold is an ABI below 0.80 (from memory). Either of
// these says yes as well: pressures in the critical range, a toe-brachial index
// of 0.70 or less, no foot pulse felt, and, without an ABI, PAD that is likely.
// A compressible ABI of 0.80 or more, two felt pulses, or PAD that is unlikely
// says no (our proposal).
func (f *findings) ischaemic() known.Tri {
	leg, abi, tbi := &f.in.Leg, f.in.Perfusion.ABI, f.in.Perfusion.TBI
	dp, pt := leg.DP.Palpable(), leg.PT.Palpable()
	switch {
	case f.in.Perfusion.Critical == known.Yes,
		abi.Known && abi.Value < 80,
		tbi.Known && tbi.Value <= 70,
		dp == known.No && pt == known.No,
		!abi.Known && f.in.Perfusion.Level == perfusion.Likely:
		return known.Yes
	case abi.Known && abi.Value <= incompressible,
		dp == known.Yes && pt == known.Yes,
		f.in.Perfusion.Level == perfusion.Unlikely:
		return known.No
	}
	return known.Unknown
}

// reason is short for a step of an explanation.
func reason(says, fact string, src *source.Source) source.Reason {
	return source.Reason{Says: says, Fact: fact, Source: src}
}
