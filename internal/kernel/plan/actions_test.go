package plan_test

import (
	"testing"

	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/foot"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/plan"
	"tengram/internal/kernel/when"
	"tengram/internal/kernel/wound"
)

// Who is referred and tested: ADA 2016 and 2024 (second hand, toe pressures from
// memory); the deadline of the specialist by the NG19 level, 6-8 weeks moderate
// and 2-4 weeks high (5.3, second hand); footwear and home temperature from
// IWGDF category 2 (abstract, confirmed); all other times are ours.
func TestEachFindingAsksForItsActions(t *testing.T) {
	critical := "refer-vascular same-day, refer-foot-team one-working-day, refer-foot-specialist eight-weeks"
	for _, tc := range []struct {
		name    string
		changes []change
		want    string
	}{
		{"nothing found: teaching only", nil, ""},
		{"LOPS: specialist, and other causes of neuropathy", []change{lops},
			"refer-foot-specialist eight-weeks, consider-other-causes three-months"},
		{"LOPS with another cause on record", []change{lops, func(p *person) { p.Ask.OtherNeuropathy = yes }}, "refer-foot-specialist eight-weeks"},
		{"LOPS with neuropathy diagnosed", []change{lops, func(p *person) { p.bg.Neuropathy.Is = known.Yes }}, "refer-foot-specialist eight-weeks"},
		{"LOPS and callus are NICE high", []change{lops, skin(exam.Callus)},
			"refer-foot-specialist four-weeks, treat-callus eight-weeks, consider-other-causes three-months"},
		{"deformity alone is NICE moderate", []change{deformity}, "refer-foot-specialist eight-weeks"},
		{"IWGDF category 2 brings footwear and home temperature", []change{lops, deformity, func(p *person) { p.Ask.OtherNeuropathy = no }},
			"refer-foot-specialist four-weeks, prescribe-footwear eight-weeks, consider-home-temperature routine"},
		{"a past ulcer alone is planned as category 3", []change{pastUlcer},
			"refer-foot-specialist four-weeks, prescribe-footwear eight-weeks, consider-home-temperature routine"},
		{"a lost toe alone is planned as category 3", []change{toeLost},
			"refer-foot-specialist four-weeks, prescribe-footwear eight-weeks, consider-home-temperature routine"},
		{"dialysis: kidney team, and NICE high", []change{dialysis},
			"kidney-team-feet four-weeks, refer-foot-specialist four-weeks, prescribe-footwear eight-weeks, consider-home-temperature routine"},
		{"already seen by a specialist: told, not referred again", []change{deformity, func(p *person) { p.Ask.FootSpecialist = yes }},
			"inform-foot-specialist eight-weeks"},

		{"a weak pulse asks for pressures", []change{weakPulse}, "test-pressures four-weeks, refer-foot-specialist eight-weeks"},
		{"STD-3: an absent dorsalis pedis pulse asks for ABI", []change{noPulse}, "test-pressures four-weeks, refer-foot-specialist eight-weeks"},
		{"claudication asks for pressures", []change{func(p *person) { p.Ask.Claudication = yes }}, "test-pressures four-weeks, refer-foot-specialist eight-weeks"},
		{"normal pressures settle an absent pulse", []change{noPulse, pressures(120, 120, 100)}, ""},
		{"ABI 0.80 is likely artery disease: vascular", []change{pressures(120, 96, 96)}, "refer-vascular four-weeks, refer-foot-specialist eight-weeks"},
		{"ABI 0.38 is in the critical range: vascular today", []change{pressures(140, 53, 60)}, critical},
		{"toe pressure 28 is in the critical range", []change{pressures(120, 120, 28)}, critical},
		{"a stiff ankle artery without a toe pressure asks for one", []change{func(p *person) {
			pressures(120, 180, 0)(p)
			for _, s := range foot.Sides {
				p.Foot(s).Feel.Arteries.ToePressure = known.Reading{}
			}
		}}, "complete-exam four-weeks, test-pressures four-weeks"},

		{"callus alone", []change{skin(exam.Callus)}, "treat-callus eight-weeks"},
		{"corn alone", []change{skin(exam.Corn)}, "treat-callus eight-weeks"},
		{"blister without LOPS and PAD", []change{skin(exam.Blister)}, "treat-pre-ulcer four-weeks"},
		{"fissure without LOPS and PAD", []change{skin(exam.Fissure)}, "treat-pre-ulcer four-weeks"},
		{"blister with PAD is sooner", []change{skin(exam.Blister), noPulse},
			"treat-pre-ulcer two-weeks, test-pressures four-weeks, refer-foot-specialist eight-weeks"},
		{"blister with feeling not tested is sooner too", []change{skin(exam.Blister), deformity, func(p *person) {
			for _, s := range foot.Sides {
				p.Foot(s).Test.Filament = [len(p.Right.Test.Filament)]known.Finding{}
				p.Foot(s).Test.Vibration = 0
			}
		}}, "complete-exam two-weeks, treat-pre-ulcer two-weeks, refer-foot-specialist four-weeks, prescribe-footwear eight-weeks, consider-home-temperature routine"},
		{"bleeding under callus is both, and once", []change{skin(exam.BleedingUnderCallus), skin(exam.BleedingUnderCallus)}, "treat-pre-ulcer four-weeks"},
		{"maceration and fungus are one action", []change{skin(exam.Maceration), skin(exam.Fungus)}, "treat-skin-infection two-weeks"},
		{"dry skin", []change{skin(exam.DrySkin)}, "advise-emollient routine"},
		{"a red spot is looked into today", []change{skin(exam.RedSpot)}, "find-the-rub same-day"},
		{"thick nails", []change{nail(exam.ThickNail)}, "care-for-nails eight-weeks"},
		{"an ingrown nail beside thick ones decides the time", []change{nail(exam.ThickNail), nail(exam.IngrownNail)}, "care-for-nails two-weeks"},

		{"unsuitable footwear", []change{func(p *person) { p.Footwear.Suitable = known.Abnormal }}, "change-footwear two-weeks"},
		{"a foreign body in the shoe", []change{func(p *person) { p.Footwear.ForeignBody = yes }}, "change-footwear two-weeks"},
		{"cannot see and has no helper: help is arranged", []change{func(p *person) { p.Ask.LowVision, p.Ask.Helper = yes, no }}, "arrange-help four-weeks"},
		{"cannot reach and nobody asked about a helper", []change{func(p *person) { p.Ask.CannotReach, p.Ask.Helper = yes, 0 }}, "arrange-help four-weeks"},
		{"low vision by the record and a helper", []change{func(p *person) { p.bg.LowVision.Is = known.Yes }}, ""},
		{"low vision by the record and no helper", []change{func(p *person) { p.bg.LowVision.Is = known.Yes; p.Ask.Helper = no }}, "arrange-help four-weeks"},

		{"STD-4: smoking alone asks for help to stop and refers to nobody", []change{smoker}, "stop-smoking four-weeks"},
		{"smoking by the record where it was not asked", []change{func(p *person) { p.Ask.Smoking = 0; p.bg.Smoker.Is = known.Yes }}, "stop-smoking four-weeks"},
		{"today's answer stands against an old record of smoking", []change{func(p *person) { p.bg.Smoker.Is = known.Yes }}, ""},
		{"glucose above the person's target", []change{func(p *person) { p.Ask.GlucoseAboveTarget = yes }}, "review-glucose three-months"},
		{"kidney failure without dialysis", []change{func(p *person) { p.Ask.KidneyDisease, p.Ask.KidneyFailure = yes, yes }},
			"kidney-team-feet four-weeks, prescribe-footwear eight-weeks, refer-foot-specialist eight-weeks, consider-home-temperature routine"},
		{"past ulcer not asked: complete the exam", []change{func(p *person) { p.Ask.UlcerHistory = 0 }},
			"complete-exam two-weeks, prescribe-footwear eight-weeks, consider-home-temperature routine"},
		{"deformity not looked at with LOPS: NICE may be high", []change{lops, func(p *person) { p.Right.Look.Shape, p.Ask.OtherNeuropathy = 0, no }},
			"complete-exam two-weeks, refer-foot-specialist four-weeks, prescribe-footwear eight-weeks, consider-home-temperature routine"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			if got := brief(planned(us(), tc.changes...)); got != tc.want {
				t.Errorf("\ngot  %s\nwant %s", got, tc.want)
			}
		})
	}
}

func TestActiveDiseaseComesBeforeEverything(t *testing.T) {
	p := planned(us(), charcotFoot)
	if first := p.Actions[0]; first.ID != "off-load-charcot" || first.Due != monday || first.To != plan.Practice {
		t.Errorf("an acute Charcot foot is off-loaded first, before imaging (IWGDF 2023, second hand): %+v", first)
	}
	p = planned(us(), ulcer, func(p *person) { p.Vitals.TemperatureC = known.TenthsOf(385) })
	if first := p.Actions[0]; first.ID != "act-now" || first.To != plan.EmergencyCare || first.Due != monday {
		t.Errorf("an ulcer with fever goes to emergency care first (NICE NG19, second hand): %+v", first)
	}
	if _, ok := action(p, "refer-foot-team"); !ok {
		t.Error("the foot team is not told")
	}
}

// Sheehan 2003 (confirmed): less than half the area lost at 4 weeks does not
// heal as it should. The ulcer of the background is that of four weeks before.
func TestAnUlcerThatDoesNotShrinkIsLookedAtAgain(t *testing.T) {
	size := func(mm int) wound.Size {
		return wound.Size{LengthMM: known.Value(mm), WidthMM: known.Value(mm), Method: wound.Ellipse}
	}
	p := with(ulcer)
	p.Ulcers[0].Since, p.Ulcers[0].Size = when.MustMoment("2026-02-01"), size(19)
	before := p.Ulcers[0]
	before.Size = size(20)
	p.bg.Ulcers = []exam.PastUlcer{{On: "2026-02-02", Ulcer: before}}
	review, ok := action(assessed(us(), monday, p).Plan, "review-ulcer-care")
	if !ok || review.To != plan.FootTeam {
		t.Errorf("%+v", review)
	}
	if _, ok := action(planned(us(), ulcer), "review-ulcer-care"); ok {
		t.Error("a new ulcer is reviewed already")
	}
}

func TestTheEditionsDifferInWordsAndScreening(t *testing.T) {
	old := func(p *person) { p.bg.Age = 50 }
	if got := brief(planned(us(), old)); got != "consider-abi-screen routine" {
		t.Errorf("ADA 2024 (second hand) screens from 50 years: %q", got)
	}
	for name, changes := range map[string][]change{
		"49 years":                {func(p *person) { p.bg.Age = 49 }},
		"pressures are there":     {old, pressures(120, 120, 100)},
		"pressures are asked for": {old, weakPulse},
	} {
		if _, ok := action(planned(us(), changes...), "consider-abi-screen"); ok {
			t.Errorf("%s: screened all the same", name)
		}
	}
	if got := brief(planned(uk(), old)); got != "" {
		t.Errorf("NG19 does not screen by age: %q", got)
	}

	american, _ := action(planned(us(), lops), "refer-foot-specialist")
	british, ok := action(planned(uk(), lops), "refer-foot-specialist")
	if american.Says != "Refer to a foot-care specialist for ongoing care, unless already under one." ||
		!ok || british.Says != "Refer to the foot protection service, unless already under it." || british.To != plan.FootSpecialist {
		t.Errorf("%q and %q", american.Says, british.Says)
	}
	if american.Due != monday.AddDays(56) || british.Due != american.Due {
		t.Errorf("moderate risk is first seen within 8 weeks by both: %v, %v", american.Due, british.Due)
	}
}

// STD-4: in 2016 "smokers or ..." refers (second hand); in 2024, as remembered,
// it does not. The difference is said where it matters, and only there.
func TestThePlanSaysWhereTwoEditionsDifferOverSmoking(t *testing.T) {
	const differs = "The text of 2016 sends a smoker"
	alone, _ := action(planned(us(), smoker), "stop-smoking")
	if !says(alone.Because, differs) {
		t.Errorf("not said: %+v", alone.Because)
	}
	besides, _ := action(planned(us(), smoker, lops), "stop-smoking")
	if says(besides.Because, differs) {
		t.Error("said beside a finding that refers anyway")
	}
}
