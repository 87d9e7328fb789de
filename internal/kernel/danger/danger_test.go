package danger

import (
	"strings"
	"testing"

	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/foot"
	"tengram/internal/kernel/heat"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/perfusion"
	"tengram/internal/kernel/wound"
)

const (
	yes = known.AnswerYes
	no  = known.AnswerNo
)

// quiet is an exam in which everything a flag looks at was looked at and found
// normal.
func quiet() Input {
	d := &exam.Draft{
		Vitals: wound.Systemic{
			TemperatureC: known.TenthsOf(368), HeartRate: known.Value(72),
			RespiratoryRate: known.Value(14), WhiteCells: known.TenthsOf(70), Unwell: no,
		},
		Ask: exam.Ask{RestPain: no, RestPainNew: no},
	}
	in := Input{Exam: d, Heat: heat.Result{Hot: known.No, CharcotSuspected: known.No}, PAD: perfusion.Result{PAD: known.No, Level: perfusion.Unlikely}}
	for _, side := range foot.Sides {
		f := d.Foot(side)
		f.Look = exam.Look{Wound: known.Normal, Gangrene: wound.NoGangrene, Redness: no, Infection: noInfection()}
		f.Feel = exam.Feel{Warm: no, Swollen: no, SuddenlyCold: no, Oedema: known.Normal,
			Arteries: perfusion.Leg{DP: perfusion.PulsePresent, PT: perfusion.PulsePresent}}
		in.PAD.Legs[side] = perfusion.LegResult{Side: side, Level: perfusion.Unlikely, Critical: known.No}
		in.LOPS.Feet[side].LOPS = known.No
	}
	return in
}

func noInfection() wound.Infection {
	return wound.Infection{Swelling: no, ErythemaMM: known.Value(0), Tenderness: no, Warmth: no, Pus: no, Deep: no, Bone: no, Spreading: no, Crepitus: no}
}

// cleanUlcer is open, shallow, not infected, and wholly described.
func cleanUlcer(side foot.Side) wound.Ulcer {
	return wound.Ulcer{ID: "u1", Side: side, Place: foot.MTH1, Depth: wound.SkinOnly, ProbeToBone: no, Infection: noInfection(), Healed: no}
}

func withUlcer(in *Input, change func(*wound.Ulcer)) {
	u := cleanUlcer(foot.Left)
	if change != nil {
		change(&u)
	}
	in.Exam.Left.Look.Wound = known.Abnormal
	in.Exam.Ulcers = append(in.Exam.Ulcers, u)
}

// brief writes flags as "id:urgency", with a question mark where suspected.
func brief(flags []Flag) string {
	var words []string
	for _, f := range flags {
		w := f.ID + ":" + f.Urgency.String()
		if f.Suspected {
			w += "?"
		}
		words = append(words, w)
	}
	return strings.Join(words, " ")
}

// The expected urgencies are of NICE NG19 (second hand) where the finding is in
// its lists, else of the merged ladder (our proposal); tests-and-wounds
// sections 9.1, 9.5 and 9.6.
func TestFindingsThatCannotWait(t *testing.T) {
	for _, tc := range []struct {
		name   string
		change func(*Input)
		want   string
	}{
		{"a quiet foot raises nothing", func(in *Input) {}, ""},
		{"an exam of which nothing was recorded raises nothing", func(in *Input) { *in = Input{Exam: &exam.Draft{}} }, ""},
		{"a clean new ulcer with good pulses is referred within 1 working day (NICE; 9.6)",
			func(in *Input) { withUlcer(in, nil) }, "open-ulcer:one-working-day"},
		{"an ulcer with 38.5 degrees goes now (NICE; 9.6)",
			func(in *Input) { withUlcer(in, nil); in.Exam.Vitals.TemperatureC = known.TenthsOf(385) },
			"ulcer-with-fever:now open-ulcer:one-working-day"},
		{"exactly 38.0 degrees is no fever (IWGDF/IDSA 2023: above 38)",
			func(in *Input) { withUlcer(in, nil); in.Exam.Vitals.TemperatureC = known.TenthsOf(380) }, "open-ulcer:one-working-day"},
		{"a temperature of 35.9 counts as fever does (IWGDF/IDSA 2023: below 36)",
			func(in *Input) { withUlcer(in, nil); in.Exam.Vitals.TemperatureC = known.TenthsOf(359) },
			"ulcer-with-fever:now open-ulcer:one-working-day"},
		{"an ulcer in a person who is unwell goes now",
			func(in *Input) { withUlcer(in, nil); in.Exam.Vitals.Unwell = yes }, "ulcer-with-fever:now open-ulcer:one-working-day"},
		{"an ulcer with a heart rate of 95 alone is judged the same day (our proposal)",
			func(in *Input) { withUlcer(in, nil); in.Exam.Vitals.HeartRate = known.Value(95) },
			"ulcer-with-fever:same-day? open-ulcer:one-working-day"},
		{"an ulcer with a heart rate of 131 goes now (NICE sepsis, second hand)",
			func(in *Input) { withUlcer(in, nil); in.Exam.Vitals.HeartRate = known.Value(131) },
			"ulcer-with-fever:now open-ulcer:one-working-day"},
		{"an ulcer with two systemic criteria goes now (9.5: SIRS)",
			func(in *Input) {
				withUlcer(in, nil)
				in.Exam.Vitals.HeartRate, in.Exam.Vitals.RespiratoryRate = known.Value(95), known.Value(22)
			}, "ulcer-with-fever:now open-ulcer:one-working-day"},
		{"an ulcer with a toe pressure in the critical range goes now (NICE; 9.6: TP 28)",
			func(in *Input) { withUlcer(in, nil); in.PAD.Legs[foot.Left].Critical = known.Yes },
			"ulcer-with-ischaemia:now limb-threatening-ischaemia:one-working-day open-ulcer:one-working-day"},
		{"an ulcer with an absent pulse is suspected of ischaemia, now",
			func(in *Input) {
				withUlcer(in, nil)
				in.Exam.Left.Feel.Arteries.DP = perfusion.PulseAbsent
				in.PAD.Legs[foot.Left] = perfusion.LegResult{Level: perfusion.Suspected}
			}, "ulcer-with-ischaemia:now? open-ulcer:one-working-day"},
		{"an absent pulse of the other foot says nothing of the ulcer",
			func(in *Input) { withUlcer(in, nil); in.Exam.Right.Feel.Arteries.DP = perfusion.PulseAbsent },
			"open-ulcer:one-working-day"},
		{"an absent pulse gives way to pressures that make artery disease unlikely",
			func(in *Input) { withUlcer(in, nil); in.Exam.Left.Feel.Arteries.DP = perfusion.PulseAbsent },
			"open-ulcer:one-working-day"},
		{"a dry black toe in a well person without an ulcer goes now (NICE: gangrene with or without ulcer; 9.6)",
			func(in *Input) { in.Exam.Right.Look.Gangrene = wound.ToeGangrene }, "gangrene:now"},
		{"bone felt with the probe is a concern for bone infection, now (NICE)",
			func(in *Input) { withUlcer(in, func(u *wound.Ulcer) { u.ProbeToBone = yes }) },
			"deep-infection:now open-ulcer:one-working-day"},
		{"exposed bone is suspicion of bone infection, now (our proposal)",
			func(in *Input) { withUlcer(in, func(u *wound.Ulcer) { u.Depth = wound.BoneOrJoint }) },
			"deep-infection:now? open-ulcer:one-working-day"},
		{"an abscess without an ulcer goes now (NICE: with or without ulcer)",
			func(in *Input) { in.Exam.Right.Look.Infection.Deep = yes }, "deep-infection:now foot-infection:one-working-day"},
		{"gas in the tissue goes now (9.5)",
			func(in *Input) { in.Exam.Right.Look.Infection.Crepitus = yes }, "deep-infection:now foot-infection:one-working-day"},
		{"spreading redness without systemic signs is seen the same day (9.5)",
			func(in *Input) { in.Exam.Right.Look.Infection.Spreading = yes }, "spreading-infection:same-day foot-infection:one-working-day"},
		{"redness of exactly 20 mm with warmth is seen the same day (grade 3 of 2023)",
			func(in *Input) {
				in.Exam.Right.Look.Infection.ErythemaMM, in.Exam.Right.Look.Infection.Warmth = known.Value(20), yes
			}, "spreading-infection:same-day? foot-infection:one-working-day"},
		{"redness of 19 mm with warmth is a mild infection: 1 working day (9.5)",
			func(in *Input) {
				in.Exam.Right.Look.Infection.ErythemaMM, in.Exam.Right.Look.Infection.Warmth = known.Value(19), yes
			}, "foot-infection:one-working-day"},
		{"one sign of five with the rest normal is no infection (grade 2 needs two)",
			func(in *Input) { in.Exam.Right.Look.Infection.Warmth = yes }, ""},
		{"one sign with the rest not recorded is suspicion",
			func(in *Input) { in.Exam.Right.Look.Infection = wound.Infection{Pus: yes} }, "foot-infection:one-working-day?"},
		{"a foot infection with fever and no ulcer goes now (grade 4, from memory)",
			func(in *Input) {
				in.Exam.Right.Look.Infection.Pus, in.Exam.Right.Look.Infection.Swelling = yes, yes
				in.Exam.Vitals.TemperatureC = known.TenthsOf(390)
			}, "infection-with-fever:now foot-infection:one-working-day"},
		{"a suddenly cold foot is an emergency (from memory)",
			func(in *Input) { in.Exam.Left.Feel.SuddenlyCold = yes }, "acute-limb-ischaemia:now"},
		{"new rest pain is seen the same day (9.5)",
			func(in *Input) { in.Exam.Ask.RestPain, in.Exam.Ask.RestPainNew = yes, yes },
			"new-rest-pain:same-day limb-threatening-ischaemia:one-working-day?"},
		{"rest pain of unknown age is asked about the same day",
			func(in *Input) { in.Exam.Ask.RestPain, in.Exam.Ask.RestPainNew = yes, known.NotAsked },
			"new-rest-pain:same-day? limb-threatening-ischaemia:one-working-day?"},
		{"old rest pain is suspicion of chronic limb-threatening ischaemia (NICE active list)",
			func(in *Input) { in.Exam.Ask.RestPain = yes }, "limb-threatening-ischaemia:one-working-day?"},
		{"old rest pain with critical pressures settles it",
			func(in *Input) { in.Exam.Ask.RestPain = yes; in.PAD.Legs[foot.Right].Critical = known.Yes },
			"limb-threatening-ischaemia:one-working-day"},
		{"a suspected Charcot foot is referred within 1 working day (NICE)",
			func(in *Input) {
				in.Heat.CharcotSuspected, in.Heat.CharcotSides = known.Yes, []foot.Side{foot.Left}
			}, "acute-charcot:one-working-day?"},
		{"a hot red foot is referred within 1 working day (NICE)",
			func(in *Input) { in.Exam.Left.Feel.Warm, in.Exam.Left.Look.Redness = yes, yes }, "hot-red-swollen-foot:one-working-day"},
		{"a warm spot and swelling are a hot foot too",
			func(in *Input) {
				in.Heat.Hot, in.Heat.Spots = known.Yes, []heat.HotSpot{{Warmer: foot.Left}}
				in.Exam.Left.Feel.Swollen = yes
			}, "hot-red-swollen-foot:one-working-day"},
		{"a red foot of which warmth was not felt is suspicion",
			func(in *Input) {
				in.Exam.Left.Look.Redness, in.Exam.Left.Feel.Warm = yes, known.NotAsked
				in.Heat.Hot = known.Unknown
			},
			"hot-red-swollen-foot:one-working-day?"},
		{"a red foot that is neither warm nor swollen is not a hot foot",
			func(in *Input) { in.Exam.Left.Look.Redness = yes }, ""},
		{"an ulcer of which nothing else is known is checked today",
			func(in *Input) {
				*in = Input{Exam: &exam.Draft{Ulcers: []wound.Ulcer{{ID: "u1", Side: foot.Left, Place: foot.Heel}}}}
			}, "ulcer-checks-missing:same-day? open-ulcer:one-working-day"},
		{"a wound without a description is flagged and checked today",
			func(in *Input) { in.Exam.Left.Look.Wound = known.Abnormal },
			"ulcer-checks-missing:same-day? open-ulcer:one-working-day?"},
		{"an ulcer open at the last exam, on a foot not looked at today, is still open",
			func(in *Input) {
				in.Exam.Left.Look.Wound = known.NotDone
				in.Background = &exam.Background{Ulcers: []exam.PastUlcer{{On: "2025-01-10", Ulcer: cleanUlcer(foot.Left)}}}
			}, "open-ulcer:one-working-day?"},
		{"an ulcer open at the last exam raises nothing where no wound is seen today",
			func(in *Input) {
				in.Background = &exam.Background{Ulcers: []exam.PastUlcer{{On: "2025-01-10", Ulcer: cleanUlcer(foot.Left)}}}
			}, ""},
		{"an ulcer that a later exam found healed raises nothing",
			func(in *Input) {
				in.Exam.Left.Look.Wound = known.NotDone
				healed := cleanUlcer(foot.Left)
				healed.Healed = yes
				in.Background = &exam.Background{Ulcers: []exam.PastUlcer{{On: "2025-01-10", Ulcer: cleanUlcer(foot.Left)}, {On: "2025-03-10", Ulcer: healed}}}
			}, ""},
		{"a healed ulcer raises nothing",
			func(in *Input) {
				withUlcer(in, func(u *wound.Ulcer) { u.Healed = yes })
				in.Exam.Left.Look.Wound = known.Normal
			}, ""},
	} {
		t.Run(tc.name, func(t *testing.T) {
			in := quiet()
			tc.change(&in)
			got := Judge(in)
			if brief(got) != tc.want {
				t.Errorf("got  %q\nwant %q", brief(got), tc.want)
			}
			for _, f := range got {
				if f.Says == "" || len(f.Because) < 2 || f.Because[0].Source == nil {
					t.Errorf("%s lacks words, a finding or the source of its time: %+v", f.ID, f)
				}
			}
		})
	}
}

func TestAnUlcerSaysWhatMustBeCheckedToday(t *testing.T) {
	in := Input{Exam: &exam.Draft{Ulcers: []wound.Ulcer{{ID: "u1", Side: foot.Left, Place: foot.Heel}}}}
	says := Judge(in)[0].Because[1].Says
	for _, want := range []string{"body temperature", "unwell", "gangrene", "pulses", "depth", "probing to bone", "deep infection", "spreading redness"} {
		if !strings.Contains(says, want) {
			t.Errorf("%q does not ask for %s", says, want)
		}
	}
}

var sink []Flag

func BenchmarkJudgeAQuietFoot(b *testing.B) {
	in := quiet()
	b.ReportAllocs()
	for b.Loop() {
		sink = Judge(in)
	}
}

func BenchmarkJudgeAnInfectedUlcer(b *testing.B) {
	in := quiet()
	withUlcer(&in, func(u *wound.Ulcer) { u.Infection.Pus, u.Infection.Warmth, u.ProbeToBone = yes, yes, yes })
	in.Exam.Vitals.TemperatureC = known.TenthsOf(385)
	b.ReportAllocs()
	for b.Loop() {
		sink = Judge(in)
	}
}
