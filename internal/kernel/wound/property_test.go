package wound

import (
	"strings"
	"testing"

	"pgregory.net/rapid"

	"tengram/internal/kernel/foot"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/perfusion"
)

// scale is one finding with its values from the best to the worst; set puts
// value i into the input, and -1 is "not known".
type scale struct {
	name   string
	worst  int
	set    func(in *Input, i int)
	opens  bool // an unknown value widens every class, and knowing it narrows them
	always bool // never unknown
}

func yesNo(name string, field func(in *Input) *known.Answer) scale {
	return scale{name: name, worst: 1, opens: true, set: func(in *Input, i int) {
		*field(in) = []known.Answer{known.NotAsked, known.AnswerNo, known.AnswerYes}[i+1]
	}}
}

func reading(name string, field func(in *Input) *known.Reading, opens bool, values ...int) scale {
	return scale{name: name, worst: len(values) - 1, opens: opens, set: func(in *Input, i int) {
		*field(in) = known.Reading{}
		if i >= 0 {
			*field(in) = known.Value(values[i])
		}
	}}
}

func tenths(name string, field func(in *Input) *known.Tenths, opens bool, values ...int) scale {
	return scale{name: name, worst: len(values) - 1, opens: opens, set: func(in *Input, i int) {
		*field(in) = known.Tenths{}
		if i >= 0 {
			*field(in) = known.TenthsOf(values[i])
		}
	}}
}

func scales() []scale {
	return []scale{
		{name: "depth", worst: 3, opens: true, set: func(in *Input, i int) {
			in.Ulcer.Depth = []Depth{DepthUnknown, SkinOnly, Subcutis, TendonOrMuscle, BoneOrJoint}[i+1]
		}},
		{name: "gangrene", worst: 3, opens: true, set: func(in *Input, i int) {
			in.Gangrene = []Gangrene{GangreneNotRecorded, NoGangrene, ToeGangrene, ForefootGangrene, WholeFootGangrene}[i+1]
		}},
		{name: "LOPS", worst: 1, opens: true, set: func(in *Input, i int) { in.LOPS = known.Tri(i + 1) }},
		{name: "size", worst: 3, opens: true, set: func(in *Input, i int) {
			in.Ulcer.Size = Size{}
			if i >= 0 {
				in.Ulcer.Size = diameters([]int{4, 9, 10, 40}[i], []int{4, 9, 10, 30}[i], Rectangle)
			}
		}},
		yesNo("probe to bone", func(in *Input) *known.Answer { return &in.Ulcer.ProbeToBone }).closedToKnowing(),
		yesNo("swelling", func(in *Input) *known.Answer { return &in.Ulcer.Infection.Swelling }),
		yesNo("tenderness", func(in *Input) *known.Answer { return &in.Ulcer.Infection.Tenderness }),
		yesNo("warmth", func(in *Input) *known.Answer { return &in.Ulcer.Infection.Warmth }),
		yesNo("pus", func(in *Input) *known.Answer { return &in.Ulcer.Infection.Pus }),
		yesNo("deep", func(in *Input) *known.Answer { return &in.Ulcer.Infection.Deep }),
		yesNo("bone", func(in *Input) *known.Answer { return &in.Ulcer.Infection.Bone }),
		yesNo("crepitus", func(in *Input) *known.Answer { return &in.Ulcer.Infection.Crepitus }),
		reading("erythema", func(in *Input) *known.Reading { return &in.Ulcer.Infection.ErythemaMM }, true, 0, 5, 6, 19, 20, 21, 60),
		tenths("temperature", func(in *Input) *known.Tenths { return &in.Systemic.TemperatureC }, true, 370, 380, 381, 400),
		reading("heart rate", func(in *Input) *known.Reading { return &in.Systemic.HeartRate }, true, 70, 90, 91, 140),
		// A criterion with two ways is settled by one normal way (our proposal),
		// so knowing the second one as well can widen the class.
		reading("breathing", func(in *Input) *known.Reading { return &in.Systemic.RespiratoryRate }, false, 14, 20, 21, 40),
		reading("PaCO2", func(in *Input) *known.Reading { return &in.Systemic.PaCO2 }, false, 40, 32, 31),
		tenths("leucocytes", func(in *Input) *known.Tenths { return &in.Systemic.WhiteCells }, false, 70, 120, 121),
		tenths("immature cells", func(in *Input) *known.Tenths { return &in.Systemic.ImmatureCells }, false, 10, 100, 101),
		{name: "dorsalis pedis", worst: 1, set: func(in *Input, i int) {
			in.Leg.DP = []perfusion.Pulse{perfusion.PulseNotDone, perfusion.PulsePresent, perfusion.PulseAbsent}[i+1]
		}},
		{name: "posterior tibial", worst: 1, set: func(in *Input, i int) {
			in.Leg.PT = []perfusion.Pulse{perfusion.PulseNotDone, perfusion.PulsePresent, perfusion.PulseAbsent}[i+1]
		}},
		reading("toe pressure", func(in *Input) *known.Reading { return &in.Leg.ToePressure }, false, 90, 60, 59, 40, 39, 30, 29, 0),
		reading("TcPO2", func(in *Input) *known.Reading { return &in.Leg.TcPO2 }, false, 70, 59, 39, 29),
		reading("ankle pressure", func(in *Input) *known.Reading { return &in.Leg.AnkleDP }, false, 130, 100, 70, 50, 49),
		{name: "ABI", worst: 5, set: func(in *Input, i int) {
			in.Perfusion.ABI = perfusion.Index{}
			if i >= 0 {
				in.Perfusion.ABI = perfusion.Index{Known: true, Value: []int{110, 80, 79, 59, 39, 20}[i]}
			}
		}},
		{name: "critical", worst: 1, set: func(in *Input, i int) { in.Perfusion.Critical = known.Tri(i + 1) }},
		{name: "PAD", worst: 2, always: true, set: func(in *Input, i int) {
			in.Perfusion.Level = []perfusion.Level{perfusion.Unlikely, perfusion.Suspected, perfusion.Likely}[i]
		}},
	}
}

// closedToKnowing marks a finding whose answer can contradict another one.
func (s scale) closedToKnowing() scale { s.opens = false; return s }

func drawInput(t *rapid.T, all []scale) (Input, []int) {
	in := Input{Ulcer: Ulcer{ID: "u1", Place: rapid.SampledFrom(append(foot.Places(), foot.NoPlace)).Draw(t, "place")}}
	values := make([]int, len(all))
	for n, s := range all {
		least := -1
		if s.always {
			least = 0
		}
		values[n] = rapid.IntRange(least, s.worst).Draw(t, s.name)
		s.set(&in, values[n])
	}
	return in, values
}

// ranks turns a bound of a class into numbers that must each not fall.
func ranks(c Class, bound string) []int {
	switch c.ID {
	case "texas": // the letter is two answers: infected, ischaemic
		letter := strings.IndexByte("ABCD", bound[1])
		return []int{int(bound[0]), letter & 1, letter >> 1}
	case "pedis":
		var out []int
		for _, axis := range strings.Fields(bound) {
			if axis[0] != 'E' {
				out = append(out, int(axis[1]))
			}
		}
		return out
	case "infection-2023":
		return []int{int(bound[0]), strings.Count(bound, "(O)")}
	}
	return []int{int(bound[len(bound)-1])}
}

func notBelow(a, b []int) bool {
	for n := range a {
		if a[n] < b[n] {
			return false
		}
	}
	return true
}

func TestAWorseFindingNeverLowersAClass(t *testing.T) {
	all := scales()
	rapid.Check(t, func(t *rapid.T) {
		in, values := drawInput(t, all)
		n := rapid.IntRange(0, len(all)-1).Draw(t, "finding")
		if values[n] < 0 || values[n] == all[n].worst {
			t.Skip("nothing worse")
		}
		before := Judge(in)
		all[n].set(&in, rapid.IntRange(values[n]+1, all[n].worst).Draw(t, "worse"))
		after := Judge(in)
		for i, c := range after.Classes {
			b := before.Classes[i]
			if !notBelow(ranks(c, c.Low), ranks(b, b.Low)) || !notBelow(ranks(c, c.High), ranks(b, b.High)) {
				t.Fatalf("worse %s took %s from %s..%s to %s..%s", all[n].name, c.ID, b.Low, b.High, c.Low, c.High)
			}
		}
	})
}

func TestAnUnknownFindingHoldsEveryAnswer(t *testing.T) {
	all := scales()
	rapid.Check(t, func(t *rapid.T) {
		in, _ := drawInput(t, all)
		n := rapid.IntRange(0, len(all)-1).Draw(t, "finding")
		if !all[n].opens {
			t.Skip("an answer here can contradict another")
		}
		all[n].set(&in, -1)
		open := Judge(in)
		for i := range all[n].worst + 1 {
			all[n].set(&in, i)
			for k, c := range Judge(in).Classes {
				o := open.Classes[k]
				if !notBelow(ranks(c, c.Low), ranks(o, o.Low)) || !notBelow(ranks(o, o.High), ranks(c, c.High)) {
					t.Fatalf("%s %d gives %s %s..%s outside %s..%s", all[n].name, i, c.ID, c.Low, c.High, o.Low, o.High)
				}
			}
		}
	})
}

func TestLowNeverPassesHighAndOpenClassesSayWhy(t *testing.T) {
	all := scales()
	rapid.Check(t, func(t *rapid.T) {
		in, _ := drawInput(t, all)
		for _, c := range Judge(in).Classes {
			if !notBelow(ranks(c, c.High), ranks(c, c.Low)) {
				t.Fatalf("%s: low %s passes high %s", c.ID, c.Low, c.High)
			}
			if c.Low != c.High && len(c.Missing) == 0 && !strings.Contains(c.Words, "to judge") {
				t.Fatalf("%s is open from %s to %s and neither asks for anything nor names a judgement: %s", c.ID, c.Low, c.High, c.Words)
			}
		}
	})
}
