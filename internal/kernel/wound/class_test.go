package wound

import (
	"slices"
	"strings"
	"testing"

	"tengram/internal/kernel/foot"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/perfusion"
	"tengram/internal/kernel/when"
)

// fresh is a small superficial clean ulcer of the ball of a foot that feels
// and is well supplied, with everything looked for.
func fresh() Input {
	return Input{
		Ulcer: Ulcer{ID: "u1", Side: foot.Right, Place: foot.MTH1, Size: diameters(8, 6, Rectangle), Depth: SkinOnly,
			ProbeToBone: known.AnswerNo, Infection: clean(), Healed: known.AnswerNo},
		LOPS:      known.No,
		Leg:       perfusion.Leg{DP: perfusion.PulsePresent, PT: perfusion.PulsePresent, ToePressure: known.Value(90)},
		Perfusion: perfusion.LegResult{Level: perfusion.Unlikely, Critical: known.No, ABI: perfusion.Index{Known: true, Value: 105}},
		Gangrene:  NoGangrene,
		Systemic:  well(),
		On:        when.MustDay("2026-03-10"),
	}
}

// classes writes the classes of a result as one line: "sinbad 1, texas 1A, ..".
func classes(r Result) string {
	var out []string
	for _, c := range r.Classes {
		s := c.ID + " " + c.Low
		if c.High != c.Low {
			s += ".." + c.High
		}
		out = append(out, s)
	}
	return strings.Join(out, ", ")
}

// Expected classes are the derived cases of the reference, 6.7, 5.5 and 8,
// unless a case says otherwise.
func TestClasses(t *testing.T) {
	tests := []struct {
		name string
		in   Input
		want string
	}{
		{"a small clean ulcer with everything normal", fresh(),
			"sinbad 0, texas 1A, wagner 1, pedis P1 E0.48 D1 I1 S1, infection-2023 1, infection-2012 1, wifi stage 1"},
		{"heel, no pulses, LOPS, infected, 2.3 cm2, tendon seen: SINBAD 6", change(fresh(), func(in *Input) {
			in.Ulcer.Place, in.Ulcer.Depth, in.Ulcer.Size = foot.Heel, TendonOrMuscle, diameters(23, 10, Rectangle)
			in.Ulcer.Infection.Pus, in.Ulcer.Infection.Warmth = known.AnswerYes, known.AnswerYes
			in.LOPS = known.Yes
			in.Leg = perfusion.Leg{DP: perfusion.PulseAbsent, PT: perfusion.PulseDopplerOnly}
			in.Perfusion = perfusion.LegResult{Level: perfusion.Suspected, Critical: known.Unknown}
		}), "sinbad 6, texas 2D, wagner 2, pedis P1 E2.30 D2 I2 S2..P3 E2.30 D2 I2 S2, infection-2023 2, infection-2012 2, wifi stage 3..stage 4"},
		{"forefoot, one pulse felt, LOPS, clean, 0.9 cm2, subcutis: SINBAD 1", change(fresh(), func(in *Input) {
			in.Ulcer.Depth, in.Ulcer.Size = Subcutis, diameters(10, 9, Rectangle)
			in.LOPS, in.Leg.PT = known.Yes, perfusion.PulseAbsent
		}), "sinbad 1, texas 1A, wagner 1, pedis P1 E0.90 D1 I1 S2, infection-2023 1, infection-2012 1, wifi stage 1"},
		{"forefoot, LOPS, 1.0 cm2, clean, pulses, superficial: SINBAD 2, the area edge counts", change(fresh(), func(in *Input) {
			in.Ulcer.Size = diameters(10, 10, Rectangle)
			in.LOPS = known.Yes
		}), "sinbad 2, texas 1A, wagner 1, pedis P1 E1.00 D1 I1 S2, infection-2023 1, infection-2012 1, wifi stage 1"},
		{"1.2 x 0.9 cm is a point as a rectangle (7.6)", change(fresh(), func(in *Input) { in.Ulcer.Size = diameters(12, 9, Rectangle) }),
			"sinbad 1, texas 1A, wagner 1, pedis P1 E1.08 D1 I1 S1, infection-2023 1, infection-2012 1, wifi stage 1"},
		{"1.2 x 0.9 cm is no point as an ellipse (7.6)", change(fresh(), func(in *Input) { in.Ulcer.Size = diameters(12, 9, Ellipse) }),
			"sinbad 0, texas 1A, wagner 1, pedis P1 E0.85 D1 I1 S1, infection-2023 1, infection-2012 1, wifi stage 1"},
		{"probes to bone, infected, ABI 0.6: UT 3D, PEDIS depth 3", change(fresh(), func(in *Input) {
			in.Ulcer.ProbeToBone, in.Ulcer.Depth = known.AnswerYes, BoneOrJoint
			in.Ulcer.Infection.Pus, in.Ulcer.Infection.Warmth = known.AnswerYes, known.AnswerYes
			in.Leg.ToePressure = known.Reading{}
			in.Perfusion = perfusion.LegResult{Level: perfusion.Likely, Critical: known.No, ABI: perfusion.Index{Known: true, Value: 60}}
		}), "sinbad 2, texas 3D, wagner 2, pedis P2 E0.48 D3 I2 S1, infection-2023 2, infection-2012 2, wifi stage 3..stage 4"},
		{"the same with osteomyelitis is Wagner 3", change(fresh(), func(in *Input) {
			in.Ulcer.ProbeToBone, in.Ulcer.Depth = known.AnswerYes, BoneOrJoint
			in.Ulcer.Infection.Pus, in.Ulcer.Infection.Warmth, in.Ulcer.Infection.Bone = known.AnswerYes, known.AnswerYes, known.AnswerYes
		}), "sinbad 2, texas 3B, wagner 3, pedis P1 E0.48 D3 I3 S1, infection-2023 3(O), infection-2012 3, wifi stage 3..stage 4"},
		{"a healed ulcer, epithelialised, good pulses: UT 0A, Wagner 0", change(fresh(), func(in *Input) {
			in.Ulcer.Healed, in.Ulcer.Depth, in.Ulcer.Size = known.AnswerYes, Closed, Size{}
		}), "texas 0A, wagner 0, infection-2023 1, infection-2012 1"},
		{"dry gangrene of one toe: Wagner 4, WIfI W2", change(fresh(), func(in *Input) { in.Gangrene = ToeGangrene }),
			"sinbad 0, texas 1A, wagner 4, pedis P1 E0.48 D1 I1 S1, infection-2023 1, infection-2012 1, wifi stage 2"},
		{"gangrene of the whole foot: Wagner 5", change(fresh(), func(in *Input) { in.Gangrene = WholeFootGangrene }),
			"sinbad 0, texas 1A, wagner 5, pedis P1 E0.48 D1 I1 S1, infection-2023 1, infection-2012 1, wifi stage 3"},
		{"hallux gone, second toe at 34 mmHg: WIfI I2", change(fresh(), func(in *Input) { in.Leg.ToePressure, in.Leg.ToeUsed = known.Value(34), 2 }),
			"sinbad 0, texas 1A, wagner 1, pedis P1 E0.48 D1 I1 S1, infection-2023 1, infection-2012 1, wifi stage 2"},
		{"nothing recorded but that there is an ulcer may be anything", Input{Ulcer: Ulcer{ID: "u1"}},
			"sinbad 0..6, texas 1A..3D, wagner 1..5, pedis P1 E? D1 I1 S1..P3 E? D3 I4 S2, infection-2023 1..4(O), infection-2012 1..4, wifi stage 1..stage 4"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			r := Judge(tt.in)
			if got := classes(r); got != tt.want {
				t.Errorf("\n got %s\nwant %s", got, tt.want)
			}
			for _, c := range r.Classes {
				if c.Name == "" || c.Words == "" || len(c.Because) == 0 {
					t.Errorf("%s lacks name, words or reasons: %+v", c.ID, c)
				}
				if c.Low == c.High && c.ID != "pedis" && c.ID != "wifi" && len(c.Missing) > 0 {
					t.Errorf("%s is settled and asks for %q", c.ID, c.Missing)
				}
				for _, why := range c.Because {
					if why.Says == "" || why.Source != nil && (why.Source.Standing == "" || why.Source.ID == "") {
						t.Errorf("%s: a reason without words or standing: %+v", c.ID, why)
					}
				}
			}
		})
	}
}

func TestClassesAskForWhatWouldSettleThem(t *testing.T) {
	r := Judge(Input{Ulcer: Ulcer{ID: "u1", Side: foot.Left}})
	want := map[string][]string{
		"sinbad": {"ulcers.u1.place", "left.feel.arteries.dorsalis-pedis", "left.feel.arteries.posterior-tibial", "left.test.filament",
			"ulcers.u1.infection.swelling", "ulcers.u1.infection.erythema-mm", "ulcers.u1.infection.tenderness", "ulcers.u1.infection.warmth",
			"ulcers.u1.infection.pus", "ulcers.u1.infection.deep", "ulcers.u1.infection.crepitus", "ulcers.u1.infection.bone",
			"ulcers.u1.size", "ulcers.u1.depth"},
		"wagner": {"left.look.gangrene", "ulcers.u1.infection.deep", "ulcers.u1.infection.bone", "ulcers.u1.infection.crepitus", "ulcers.u1.depth"},
	}
	for _, c := range r.Classes {
		if w, ok := want[c.ID]; ok && !slices.Equal(c.Missing, w) {
			t.Errorf("%s asks for %q, want %q", c.ID, c.Missing, w)
		}
		if len(c.Missing) == 0 {
			t.Errorf("%s is open and asks for nothing", c.ID)
		}
	}
}

func TestBenefitFromRevascularisationAlwaysShowsThatItIsFromMemory(t *testing.T) {
	for _, c := range Judge(fresh()).Classes {
		if c.ID != "wifi" {
			continue
		}
		for _, why := range c.Because {
			if strings.Contains(why.Says, "revascularisation") {
				if why.Source.Standing != "from memory" || !strings.Contains(why.Says, "from memory") {
					t.Errorf("the benefit is shown without its standing: %+v", why)
				}
				return
			}
		}
	}
	t.Error("the benefit is not shown")
}

func TestProblems(t *testing.T) {
	tests := []struct {
		name  string
		ulcer Ulcer
		field string
	}{
		{"nothing wrong", fresh().Ulcer, ""},
		{"width above length", Ulcer{ID: "u1", Size: diameters(3, 5, Rectangle)}, "ulcers.u1.size"},
		{"healed with a depth", Ulcer{ID: "u1", Healed: known.AnswerYes, Depth: Subcutis}, "ulcers.u1.depth"},
		{"closed and not healed", Ulcer{ID: "u1", Healed: known.AnswerNo, Depth: Closed}, "ulcers.u1.depth"},
		{"bone felt in a closed ulcer", Ulcer{ID: "u1", Depth: Closed, ProbeToBone: known.AnswerYes}, "ulcers.u1.probe-to-bone"},
		{"bone felt in a superficial ulcer", Ulcer{ID: "u1", Depth: SkinOnly, ProbeToBone: known.AnswerYes}, "ulcers.u1.probe-to-bone"},
		{"redness below nothing", Ulcer{ID: "u1", Infection: Infection{ErythemaMM: known.Value(-1)}}, "ulcers.u1.infection.erythema-mm"},
	}
	for _, tt := range tests {
		var fields []string
		for _, p := range Problems(tt.ulcer) {
			fields = append(fields, p.Field)
		}
		if got := strings.Join(fields, " "); got != tt.field {
			t.Errorf("%s: problems at %q, want %q", tt.name, got, tt.field)
		}
	}
}

// The University of Texas letter: an ABI below 0.80 is from memory, the rest is
// our proposal (reference, 6.2).
func TestTexasIschaemia(t *testing.T) {
	abi := func(v int) perfusion.Index { return perfusion.Index{Known: true, Value: v} }
	present, absent := perfusion.PulsePresent, perfusion.PulseAbsent
	tests := []struct {
		name string
		leg  perfusion.Leg
		of   perfusion.LegResult
		want known.Tri
	}{
		{"ABI 0.79", perfusion.Leg{}, perfusion.LegResult{ABI: abi(79)}, known.Yes},
		{"ABI 0.80", perfusion.Leg{}, perfusion.LegResult{ABI: abi(80)}, known.No},
		{"ABI 0.80 with PAD likely keeps the threshold of the system", perfusion.Leg{}, perfusion.LegResult{ABI: abi(80), Level: perfusion.Likely}, known.No},
		{"ABI 1.31 says nothing", perfusion.Leg{}, perfusion.LegResult{ABI: abi(131)}, known.Unknown},
		{"TBI 0.70 beside a normal ABI", perfusion.Leg{}, perfusion.LegResult{ABI: abi(100), TBI: abi(70)}, known.Yes},
		{"TBI 0.71 beside a normal ABI", perfusion.Leg{}, perfusion.LegResult{ABI: abi(100), TBI: abi(71)}, known.No},
		{"critical pressures", perfusion.Leg{DP: present, PT: present}, perfusion.LegResult{Critical: known.Yes}, known.Yes},
		{"both pulses", perfusion.Leg{DP: present, PT: perfusion.PulseWeak}, perfusion.LegResult{}, known.No},
		{"no pulse", perfusion.Leg{DP: absent, PT: absent}, perfusion.LegResult{Level: perfusion.Suspected}, known.Yes},
		{"one pulse of two", perfusion.Leg{DP: present, PT: absent}, perfusion.LegResult{Level: perfusion.Suspected}, known.Unknown},
		{"PAD likely without an ABI", perfusion.Leg{}, perfusion.LegResult{Level: perfusion.Likely}, known.Yes},
		{"nothing known", perfusion.Leg{}, perfusion.LegResult{}, known.Unknown},
	}
	for _, tt := range tests {
		f := findings{in: &Input{Leg: tt.leg, Perfusion: tt.of}}
		if got := f.ischaemic(); got != tt.want {
			t.Errorf("%s: %v, want %v", tt.name, got, tt.want)
		}
	}
}
