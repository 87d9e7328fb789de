package plan_test

import (
	"strings"

	"tengram/internal/kernel/assess"
	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/foot"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/neuro"
	"tengram/internal/kernel/perfusion"
	"tengram/internal/kernel/plan"
	"tengram/internal/kernel/when"
	"tengram/internal/kernel/wound"
)

const (
	yes = known.AnswerYes
	no  = known.AnswerNo
)

// monday is the day of the exam unless a test says otherwise.
var monday = when.MustDay("2026-03-02")

// person is what a plan is made for: an exam and what the record says.
type person struct {
	exam.Draft
	bg exam.Background
}

// healthy has two whole feet with everything asked and tested, and nothing
// found.
func healthy() *person {
	p := &person{Draft: exam.Draft{
		Schema: exam.SchemaID, ID: "e1", Revision: 1, Patient: "p1",
		Protocol: neuro.FourSites,
		Ask: exam.Ask{
			UlcerHistory: no, AmputationHistory: no, CharcotHistory: no, Revascularised: no, PADDiagnosed: no,
			LowVision: no, KidneyDisease: no, KidneyFailure: no, Dialysis: no, Transplant: no, Smoking: exam.NeverSmoked,
			GlucoseAboveTarget: no, Numbness: no, Pain: no, Claudication: no, RestPain: no, RestPainNew: no, CannotReach: no, Helper: yes,
		},
		Footwear: exam.Footwear{Suitable: known.Normal},
		Vitals:   wound.Systemic{TemperatureC: known.TenthsOf(368), Unwell: no},
	}}
	for _, s := range foot.Sides {
		f := p.Foot(s)
		f.Loss.Level = foot.Whole
		f.Look = exam.Look{Skin: known.Normal, Wound: known.Normal, Gangrene: wound.NoGangrene, Nails: known.Normal,
			Shape: known.Normal, Mobility: known.Normal, Redness: no}
		f.Feel = exam.Feel{Arteries: perfusion.Leg{DP: perfusion.PulsePresent, PT: perfusion.PulsePresent},
			Oedema: known.Normal, Warm: no, Swollen: no, SuddenlyCold: no}
		for _, site := range p.Protocol.Sites() {
			f.Test.Filament[site] = known.Normal
		}
		f.Test.Vibration = known.Normal
	}
	return p
}

// change alters a person; the changes below are the findings of the tests.
type change func(*person)

func lops(p *person)      { p.Left.Test.Filament[neuro.SiteMTH1] = known.Abnormal }
func weakPulse(p *person) { p.Left.Feel.Arteries.DP = perfusion.PulseWeak }
func noPulse(p *person)   { p.Left.Feel.Arteries.DP = perfusion.PulseAbsent }
func pastUlcer(p *person) { p.Ask.UlcerHistory = yes }
func smoker(p *person)    { p.Ask.Smoking = exam.CurrentSmoker }
func dialysis(p *person)  { p.Ask.KidneyDisease, p.Ask.KidneyFailure, p.Ask.Dialysis = yes, yes, yes }

func deformity(p *person) {
	p.Right.Look.Shape, p.Right.Look.Deformities = known.Abnormal, []exam.Deformity{exam.ClawToe}
}

func toeLost(p *person) {
	p.Ask.AmputationHistory = yes
	p.Right.Loss = foot.Loss{Level: foot.ToesOnly, Toes: foot.ToesOf(2)}
}

// charcotFoot is warm, red and swollen with lost sensation.
func charcotFoot(p *person) {
	lops(p)
	p.Left.Feel.Warm, p.Left.Feel.Swollen, p.Left.Look.Redness = yes, yes, yes
}

func skin(kind exam.LesionKind) change {
	return func(p *person) {
		p.Left.Look.Skin = known.Abnormal
		p.Left.Look.Lesions = append(p.Left.Look.Lesions, exam.Lesion{Place: foot.MTH1, Kind: kind})
	}
}

func nail(kind exam.NailKind) change {
	return func(p *person) {
		p.Left.Look.Nails = known.Abnormal
		p.Left.Look.NailKind = append(p.Left.Look.NailKind, kind)
	}
}

// ulcer is open, clean, superficial, and wholly described.
func ulcer(p *person) {
	if len(p.Ulcers) > 0 {
		return
	}
	p.Left.Look.Wound = known.Abnormal
	p.Ulcers = append(p.Ulcers, wound.Ulcer{
		ID: "u1", Side: foot.Left, Place: foot.MTH1, Since: when.MustMoment("2026-03-01"), Depth: wound.SkinOnly, ProbeToBone: no, Healed: no,
		Infection: wound.Infection{Swelling: no, ErythemaMM: known.Value(0), Tenderness: no, Warmth: no, Pus: no, Deep: no, Bone: no, Spreading: no, Crepitus: no},
	})
}

// pressures sets arm, ankle and toe pressures of both legs, in mmHg.
func pressures(arm, ankle, toe int) change {
	return func(p *person) {
		p.Arms = perfusion.Arms{Right: known.Value(arm), Left: known.Value(arm)}
		for _, s := range foot.Sides {
			a := &p.Foot(s).Feel.Arteries
			a.AnkleDP, a.AnklePT, a.ToePressure = known.Value(ankle), known.Value(ankle), known.Value(toe)
		}
	}
}

func with(changes ...change) *person {
	p := healthy()
	for _, c := range changes {
		c(p)
	}
	return p
}

// us and uk are the editions; a practice's choice of the recall can follow.
func us(choice ...string) assess.Edition { return edition("us-2024", choice) }
func uk(choice ...string) assess.Edition { return edition("uk-ng19", choice) }

func edition(id string, choice []string) assess.Edition {
	e, err := assess.EditionByID(id)
	if err != nil {
		panic(err)
	}
	if len(choice) > 0 {
		e.RecallChoice = choice[0]
	}
	return e
}

func assessed(e assess.Edition, on when.Day, p *person) assess.Assessment {
	return assess.Assess(assess.Input{Exam: &p.Draft, Background: p.bg, Edition: e, On: on})
}

func planned(e assess.Edition, changes ...change) plan.Plan {
	return assessed(e, monday, with(changes...)).Plan
}

// brief writes actions as "id urgency", without the teaching that everyone
// gets.
func brief(p plan.Plan) string {
	var words []string
	for _, a := range p.Actions {
		if a.ID != "teach-foot-care" {
			words = append(words, a.ID+" "+a.Urgency.String())
		}
	}
	return strings.Join(words, ", ")
}

func action(p plan.Plan, id string) (plan.Action, bool) {
	for _, a := range p.Actions {
		if a.ID == id {
			return a, true
		}
	}
	return plan.Action{}, false
}
