package danger

import (
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/foot"
	"tengram/internal/kernel/heat"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/perfusion"
	"tengram/internal/kernel/wound"
)

// worse makes one finding of an exam worse. It returns false where the finding
// was as bad already.
type worse struct {
	name string
	do   func(*Input, foot.Side) bool
}

// answer makes an answer a yes.
func answer(of func(*Input, foot.Side) *known.Answer) func(*Input, foot.Side) bool {
	return func(in *Input, side foot.Side) bool {
		a := of(in, side)
		if a == nil || *a == yes {
			return false
		}
		*a = yes
		return true
	}
}

func firstUlcer(in *Input, side foot.Side) *wound.Ulcer {
	for i := range in.Exam.Ulcers {
		if in.Exam.Ulcers[i].Side == side {
			return &in.Exam.Ulcers[i]
		}
	}
	return nil
}

// infectionAnswers lists the yes-no signs of an infection.
func infectionAnswers(i *wound.Infection) []*known.Answer {
	return []*known.Answer{&i.Swelling, &i.Tenderness, &i.Warmth, &i.Pus, &i.Deep, &i.Bone, &i.Spreading, &i.Crepitus}
}

func allWorse() []worse {
	list := []worse{
		{"fever", func(in *Input, _ foot.Side) bool {
			in.Exam.Vitals.TemperatureC = known.TenthsOf(395)
			return true
		}},
		{"heart rate 100", func(in *Input, _ foot.Side) bool {
			if over(in.Exam.Vitals.HeartRate, 90) {
				return false
			}
			in.Exam.Vitals.HeartRate = known.Value(100)
			return true
		}},
		{"heart rate 140", func(in *Input, _ foot.Side) bool {
			in.Exam.Vitals.HeartRate = known.Value(140)
			return true
		}},
		{"breathing 30", func(in *Input, _ foot.Side) bool {
			in.Exam.Vitals.RespiratoryRate = known.Value(30)
			return true
		}},
		{"white cells 20", func(in *Input, _ foot.Side) bool {
			in.Exam.Vitals.WhiteCells = known.TenthsOf(200)
			return true
		}},
		{"gangrene", func(in *Input, s foot.Side) bool {
			in.Exam.Foot(s).Look.Gangrene = wound.WholeFootGangrene
			return true
		}},
		{"open wound", func(in *Input, s foot.Side) bool { in.Exam.Foot(s).Look.Wound = known.Abnormal; return true }},
		{"oedema", func(in *Input, s foot.Side) bool { in.Exam.Foot(s).Feel.Oedema = known.Abnormal; return true }},
		{"pulse absent", func(in *Input, s foot.Side) bool {
			in.Exam.Foot(s).Feel.Arteries.DP = perfusion.PulseAbsent
			return true
		}},
		{"artery disease likely", func(in *Input, s foot.Side) bool { in.PAD.Legs[s].Level = perfusion.Likely; return true }},
		{"critical pressures", func(in *Input, s foot.Side) bool { in.PAD.Legs[s].Critical = known.Yes; return true }},
		{"Charcot suspected", func(in *Input, s foot.Side) bool {
			in.Heat.CharcotSuspected = known.Yes
			if slices.Contains(in.Heat.CharcotSides, s) {
				return false
			}
			in.Heat.CharcotSides = append(slices.Clone(in.Heat.CharcotSides), s)
			return true
		}},
		{"hot spot", func(in *Input, s foot.Side) bool {
			in.Heat.Hot = known.Yes
			in.Heat.Spots = append(slices.Clone(in.Heat.Spots), heat.HotSpot{Warmer: s})
			return true
		}},
		{"redness of 30 mm", func(in *Input, s foot.Side) bool {
			in.Exam.Foot(s).Look.Infection.ErythemaMM = known.Value(30)
			return true
		}},
		{"one more ulcer", func(in *Input, s foot.Side) bool {
			in.Exam.Ulcers = append(slices.Clone(in.Exam.Ulcers), wound.Ulcer{ID: "new", Side: s, Place: foot.Heel})
			return true
		}},
		{"ulcer to bone", func(in *Input, s foot.Side) bool {
			u := firstUlcer(in, s)
			if u == nil {
				return false
			}
			u.Depth, u.Healed = wound.BoneOrJoint, no
			return true
		}},
		{"ulcer to tendon", func(in *Input, s foot.Side) bool {
			u := firstUlcer(in, s)
			if u == nil || u.Depth >= wound.TendonOrMuscle {
				return false
			}
			u.Depth = wound.TendonOrMuscle
			return true
		}},
		{"rest pain", answer(func(in *Input, _ foot.Side) *known.Answer { return &in.Exam.Ask.RestPain })},
		{"new rest pain", answer(func(in *Input, _ foot.Side) *known.Answer { return &in.Exam.Ask.RestPainNew })},
		{"unwell", answer(func(in *Input, _ foot.Side) *known.Answer { return &in.Exam.Vitals.Unwell })},
		{"redness", answer(func(in *Input, s foot.Side) *known.Answer { return &in.Exam.Foot(s).Look.Redness })},
		{"warm", answer(func(in *Input, s foot.Side) *known.Answer { return &in.Exam.Foot(s).Feel.Warm })},
		{"swollen", answer(func(in *Input, s foot.Side) *known.Answer { return &in.Exam.Foot(s).Feel.Swollen })},
		{"suddenly cold", answer(func(in *Input, s foot.Side) *known.Answer { return &in.Exam.Foot(s).Feel.SuddenlyCold })},
		{"bone felt", answer(func(in *Input, s foot.Side) *known.Answer {
			if u := firstUlcer(in, s); u != nil {
				return &u.ProbeToBone
			}
			return nil
		})},
	}
	for n := range infectionAnswers(&wound.Infection{}) {
		list = append(list,
			worse{"sign of foot infection", answer(func(in *Input, s foot.Side) *known.Answer {
				return infectionAnswers(&in.Exam.Foot(s).Look.Infection)[n]
			})},
			worse{"sign of ulcer infection", answer(func(in *Input, s foot.Side) *known.Answer {
				if u := firstUlcer(in, s); u != nil {
					return infectionAnswers(&u.Infection)[n]
				}
				return nil
			})})
	}
	return list
}

func drawAnswer(t *rapid.T) known.Answer {
	return rapid.SampledFrom([]known.Answer{known.NotAsked, no, no, yes, known.Unsure, known.Prevented}).Draw(t, "answer")
}

func drawReading(t *rapid.T, values ...int) known.Reading {
	r := known.Reading{State: rapid.SampledFrom([]known.ReadingState{known.NotMeasured, known.Measured, known.Measured, known.CannotMeasure}).Draw(t, "state")}
	if r.Known() {
		r.Value = rapid.SampledFrom(values).Draw(t, "value")
	}
	return r
}

func drawInfection(t *rapid.T) wound.Infection {
	var i wound.Infection
	if rapid.Bool().Draw(t, "infection looked for") {
		for _, a := range infectionAnswers(&i) {
			*a = drawAnswer(t)
		}
		i.ErythemaMM = drawReading(t, 0, 3, 10, 19, 20, 40)
	}
	return i
}

func drawTenths(t *rapid.T, values ...int) known.Tenths {
	r := drawReading(t, values...)
	return known.Tenths(r)
}

func drawInput(t *rapid.T) Input {
	d := &exam.Draft{}
	d.Vitals = wound.Systemic{
		TemperatureC: drawTenths(t, 355, 368, 380, 381), HeartRate: drawReading(t, 70, 90, 91, 131),
		RespiratoryRate: drawReading(t, 14, 21, 26), WhiteCells: drawTenths(t, 70, 121), Unwell: drawAnswer(t),
	}
	d.Ask.RestPain, d.Ask.RestPainNew = drawAnswer(t), drawAnswer(t)
	in := Input{Exam: d, Background: &exam.Background{}}
	tri := rapid.SampledFrom([]known.Tri{known.Unknown, known.No, known.Yes})
	finding := rapid.SampledFrom([]known.Finding{known.NotDone, known.Normal, known.Abnormal, known.NotPossible})
	in.Heat.Hot = tri.Draw(t, "hot")
	for _, side := range foot.Sides {
		f := d.Foot(side)
		f.Look.Wound, f.Feel.Oedema = finding.Draw(t, "wound"), finding.Draw(t, "oedema")
		f.Look.Gangrene = rapid.SampledFrom([]wound.Gangrene{wound.GangreneNotRecorded, wound.NoGangrene, wound.NoGangrene, wound.ToeGangrene}).Draw(t, "gangrene")
		f.Look.Redness, f.Feel.Warm, f.Feel.Swollen, f.Feel.SuddenlyCold = drawAnswer(t), drawAnswer(t), drawAnswer(t), drawAnswer(t)
		f.Look.Infection = drawInfection(t)
		pulse := rapid.SampledFrom([]perfusion.Pulse{perfusion.PulseNotDone, perfusion.PulsePresent, perfusion.PulseWeak, perfusion.PulseAbsent})
		f.Feel.Arteries.DP, f.Feel.Arteries.PT = pulse.Draw(t, "dp"), pulse.Draw(t, "pt")
		in.PAD.Legs[side].Level = perfusion.Level(rapid.IntRange(0, 3).Draw(t, "level"))
		in.PAD.Legs[side].Critical = tri.Draw(t, "critical")
		in.LOPS.Feet[side].LOPS = tri.Draw(t, "lops")
		for n := range rapid.IntRange(0, 2).Draw(t, "ulcers") {
			d.Ulcers = append(d.Ulcers, wound.Ulcer{
				ID: "u" + string(rune('0'+n)) + side.String(), Side: side, Place: foot.Heel,
				Depth:       wound.Depth(rapid.IntRange(0, 5).Draw(t, "depth")),
				ProbeToBone: drawAnswer(t), Healed: drawAnswer(t), Infection: drawInfection(t),
			})
		}
		if rapid.Bool().Draw(t, "past ulcer") {
			in.Background.Ulcers = append(in.Background.Ulcers, exam.PastUlcer{On: "2024-05-01", Ulcer: wound.Ulcer{ID: "old", Side: side}})
		}
	}
	if tri.Draw(t, "charcot") == known.Yes {
		in.Heat.CharcotSuspected, in.Heat.CharcotSides = known.Yes, []foot.Side{foot.Right}
	}
	return in
}

// copyOf is deep where the changes of this file reach.
func copyOf(in Input) Input {
	d := *in.Exam
	d.Ulcers = slices.Clone(d.Ulcers)
	in.Exam = &d
	return in
}

func find(flags []Flag, id string) *Flag {
	for i := range flags {
		if flags[i].ID == id {
			return &flags[i]
		}
	}
	return nil
}

// answered reports whether each foot that the call for missing checks lost has
// an urgent flag instead: the answer was what was missing.
func answered(was Flag, now *Flag, is []Flag) bool {
	for _, side := range was.Sides {
		if now != nil && slices.Contains(now.Sides, side) {
			continue
		}
		if !slices.ContainsFunc(is, func(g Flag) bool {
			return g.ID != was.ID && g.Urgency <= SameDay && slices.Contains(g.Sides, side)
		}) {
			return false
		}
	}
	return true
}

// "A red flag is never softened by another finding": design, laws; the ladder
// takes the shortest time (tests-and-wounds section 9.5).
func TestAWorseFindingNeverTakesAFlagAwayNorMakesItLater(t *testing.T) {
	changes := allWorse()
	rapid.Check(t, func(t *rapid.T) {
		before := drawInput(t)
		side := foot.Side(rapid.IntRange(0, 1).Draw(t, "side"))
		change := rapid.SampledFrom(changes).Draw(t, "change")
		after := copyOf(before)
		if !change.do(&after, side) {
			return
		}
		was, is := Judge(before), Judge(after)
		for _, f := range was {
			now := find(is, f.ID)
			if f.ID == ulcerUnchecked.id && answered(f, now, is) {
				continue
			}
			switch {
			case now == nil:
				t.Fatalf("%s took away %s: %s became %s", change.name, f.ID, brief(was), brief(is))
			case now.Urgency > f.Urgency:
				t.Fatalf("%s made %s later: %s became %s", change.name, f.ID, brief(was), brief(is))
			case now.Suspected && !f.Suspected:
				t.Fatalf("%s made %s less sure: %s became %s", change.name, f.ID, brief(was), brief(is))
			case len(now.Sides) < len(f.Sides):
				t.Fatalf("%s took a foot away from %s", change.name, f.ID)
			}
		}
	})
}

func TestFlagsAreOrderedAndComeOnce(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		flags := Judge(drawInput(t))
		for i := 1; i < len(flags); i++ {
			a, b := flags[i-1], flags[i]
			if a.Urgency > b.Urgency || a.Urgency == b.Urgency && a.ID >= b.ID {
				t.Fatalf("%s", brief(flags))
			}
		}
	})
}

// mirrored swaps the feet of an input.
func mirrored(in Input) Input {
	in = copyOf(in)
	d := in.Exam
	d.Right, d.Left = d.Left, d.Right
	for i := range d.Ulcers {
		d.Ulcers[i].Side = d.Ulcers[i].Side.Other()
	}
	bg := *in.Background
	bg.Ulcers = slices.Clone(bg.Ulcers)
	for i := range bg.Ulcers {
		bg.Ulcers[i].Ulcer.Side = bg.Ulcers[i].Ulcer.Side.Other()
	}
	in.Background = &bg
	in.PAD.Legs[0], in.PAD.Legs[1] = in.PAD.Legs[1], in.PAD.Legs[0]
	in.LOPS.Feet[0], in.LOPS.Feet[1] = in.LOPS.Feet[1], in.LOPS.Feet[0]
	in.Heat.CharcotSides = slices.Clone(in.Heat.CharcotSides)
	for i := range in.Heat.CharcotSides {
		in.Heat.CharcotSides[i] = in.Heat.CharcotSides[i].Other()
	}
	return in
}

func TestTheMirroredPersonHasTheMirroredFlags(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := drawInput(t)
		plain, swapped := Judge(in), Judge(mirrored(in))
		for i := range plain {
			plain[i].Because = nil
			for j := range plain[i].Sides {
				plain[i].Sides[j] = plain[i].Sides[j].Other()
			}
			slices.Sort(plain[i].Sides)
		}
		for i := range swapped {
			swapped[i].Because = nil
		}
		if d := cmp.Diff(plain, swapped); d != "" {
			t.Fatal(d)
		}
	})
}
