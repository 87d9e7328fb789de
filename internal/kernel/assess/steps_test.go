package assess

import (
	"encoding/json"

	"pgregory.net/rapid"

	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/foot"
	"tengram/internal/kernel/heat"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/neuro"
	"tengram/internal/kernel/perfusion"
	"tengram/internal/kernel/when"
	"tengram/internal/kernel/wound"
)

// someone is an exam with what the record says beside it.
type someone struct {
	exam.Draft
	bg exam.Background
}

// sound is a whole exam with normal vital signs and nothing found.
func sound() someone {
	p := someone{Draft: full()}
	p.Ask.RestPainNew = known.AnswerNo
	p.Vitals = wound.Systemic{TemperatureC: known.TenthsOf(368), HeartRate: known.Value(72), RespiratoryRate: known.Value(14),
		WhiteCells: known.TenthsOf(70), Unwell: known.AnswerNo}
	return p
}

// withUlcers adds two clean ulcers of one foot, wholly described. It is no
// worsening: an ulcer described as clean takes away the doubt of an open wound
// that nobody described.
func withUlcers(p *someone) {
	cleanUlcer(&p.Draft)
	second := p.Ulcers[0]
	second.ID, second.Place = "u2", foot.Heel
	p.Ulcers = append(p.Ulcers, second)
}

// step makes one finding worse, or leaves one that is as bad already.
type step struct {
	name string
	to   func(*someone)
}

const told = known.AnswerYes

func answered(name string, field func(*someone) *known.Answer) step {
	return step{name, func(p *someone) { *field(p) = told }}
}

func onRecord(name string, item func(*someone) *exam.Item) step {
	return step{name + " on record", func(p *someone) { *item(p) = exam.Item{Is: known.Yes, From: "a code"} }}
}

func lesion(name string, side foot.Side, kind exam.LesionKind) step {
	return step{name, func(p *someone) {
		l := &p.Foot(side).Look
		if l.Skin.Recorded() { // else the finding would answer for the rest of the skin
			l.Skin = known.Abnormal
		}
		l.Lesions = append(l.Lesions, exam.Lesion{Place: foot.MTH1, Kind: kind})
	}}
}

func nails(name string, kind exam.NailKind) step {
	return step{name, func(p *someone) {
		p.Left.Look.Nails = known.Abnormal
		p.Left.Look.NailKind = append(p.Left.Look.NailKind, kind)
	}}
}

// pressure lowers a pressure of the left leg to what is given, or measures it
// as that low.
func pressure(name string, mmHg int, field func(*perfusion.Leg) *known.Reading) step {
	return step{name, func(p *someone) {
		if !p.Arms.Right.Known() {
			p.Arms.Right = known.Value(130)
		}
		r := field(&p.Left.Feel.Arteries)
		if r.State == known.NoSignal || r.Known() && r.Value <= mmHg {
			return
		}
		*r = known.Value(mmHg)
	}}
}

// hotter raises the difference of one spot of the left foot to what is given in
// tenths of a degree Celsius.
func hotter(name string, spot heat.Spot, by int) step {
	return step{name, func(p *someone) {
		p.TemperatureUnit = heat.Celsius
		r, l := &p.Right.Feel.Temperatures[spot], &p.Left.Feel.Temperatures[spot]
		if !r.Known() {
			*r = known.TenthsOf(305)
		}
		if !l.Known() || l.Value < r.Value+by {
			*l = known.TenthsOf(r.Value + by)
		}
	}}
}

// ulcer changes the first ulcer, if there is one.
func ulcer(name string, to func(*wound.Ulcer)) step {
	return step{"ulcer " + name, func(p *someone) {
		for i := range p.Ulcers {
			if p.Ulcers[i].ID == "u1" {
				to(&p.Ulcers[i])
			}
		}
	}}
}

func deeper(d wound.Depth) step {
	return ulcer("reaches "+d.String(), func(u *wound.Ulcer) { u.Depth = max(u.Depth, d) })
}

// worsenings are single steps from a finding to a worse one.
var worsenings = []step{
	{"filament lost left", func(p *someone) { p.Left.Test.Filament[neuro.SiteMTH5] = known.Abnormal }},
	{"filament lost right", func(p *someone) { p.Right.Test.Filament[neuro.SiteHallux] = known.Abnormal }},
	{"fork lost", func(p *someone) { p.Left.Test.Vibration = known.Abnormal }},
	{"pinprick lost", func(p *someone) { p.Right.Test.Pinprick = known.Abnormal }},
	{"reflex lost", func(p *someone) { p.Right.Test.Reflex = neuro.ReflexAbsent }},
	{"pulse weaker", func(p *someone) {
		if a := &p.Left.Feel.Arteries; a.PT == perfusion.PulsePresent {
			a.PT = perfusion.PulseWeak
		}
	}},
	{"pulse lost left", func(p *someone) { p.Left.Feel.Arteries.DP = perfusion.PulseAbsent }},
	{"pulse lost right", func(p *someone) { p.Right.Feel.Arteries.PT = perfusion.PulseAbsent }},
	{"slow refill", func(p *someone) { p.Left.Feel.Arteries.CapillaryRefill = known.Abnormal }},
	{"monophasic", func(p *someone) {
		p.Left.Feel.Arteries.Waveform = max(p.Left.Feel.Arteries.Waveform, perfusion.Monophasic)
	}},
	pressure("ankle 104", 104, func(l *perfusion.Leg) *known.Reading { return &l.AnkleDP }),
	pressure("ankle 45", 45, func(l *perfusion.Leg) *known.Reading { return &l.AnkleDP }),
	pressure("toe 80", 80, func(l *perfusion.Leg) *known.Reading { return &l.ToePressure }),
	pressure("toe 28", 28, func(l *perfusion.Leg) *known.Reading { return &l.ToePressure }),
	pressure("TcPO2 27", 27, func(l *perfusion.Leg) *known.Reading { return &l.TcPO2 }),
	answered("claudication", func(p *someone) *known.Answer { return &p.Ask.Claudication }),
	answered("rest pain", func(p *someone) *known.Answer { return &p.Ask.RestPain }),
	{"new rest pain", func(p *someone) { p.Ask.RestPain, p.Ask.RestPainNew = told, told }},
	{"deformity", func(p *someone) {
		p.Right.Look.Shape = known.Abnormal
		p.Right.Look.Deformities = append(p.Right.Look.Deformities, exam.HammerToe)
	}},
	{"another deformity", func(p *someone) {
		p.Right.Look.Shape = known.Abnormal
		p.Right.Look.Deformities = append(p.Right.Look.Deformities, exam.RockerBottom)
	}},
	{"stiff joint", func(p *someone) { p.Left.Look.Mobility = known.Abnormal }},
	lesion("callus", foot.Left, exam.Callus), lesion("blister", foot.Right, exam.Blister), lesion("fissure", foot.Left, exam.Fissure),
	lesion("bleeding under callus", foot.Left, exam.BleedingUnderCallus), lesion("fungus", foot.Right, exam.Fungus),
	lesion("red spot", foot.Left, exam.RedSpot), lesion("dry skin", foot.Left, exam.DrySkin),
	nails("thick nail", exam.ThickNail), nails("ingrown nail", exam.IngrownNail), nails("bleeding nail", exam.NailBleeding),
	{"unsuitable shoe", func(p *someone) { p.Footwear.Suitable = known.Abnormal }},
	answered("tight shoe", func(p *someone) *known.Answer { return &p.Footwear.TooTight }),
	answered("foreign body", func(p *someone) *known.Answer { return &p.Footwear.ForeignBody }),
	answered("past ulcer", func(p *someone) *known.Answer { return &p.Ask.UlcerHistory }),
	answered("past Charcot", func(p *someone) *known.Answer { return &p.Ask.CharcotHistory }),
	{"toe lost", func(p *someone) {
		p.Ask.AmputationHistory = told
		p.Right.Loss = foot.Loss{Level: foot.ToesOnly, Toes: foot.ToesOf(2)}
	}},
	{"dialysis", func(p *someone) { p.Ask.KidneyFailure, p.Ask.Dialysis = told, told }},
	answered("transplant", func(p *someone) *known.Answer { return &p.Ask.Transplant }),
	{"smoking", func(p *someone) { p.Ask.Smoking = exam.CurrentSmoker }},
	answered("glucose", func(p *someone) *known.Answer { return &p.Ask.GlucoseAboveTarget }),
	answered("cannot see", func(p *someone) *known.Answer { return &p.Ask.LowVision }),
	answered("cannot reach", func(p *someone) *known.Answer { return &p.Ask.CannotReach }),
	{"no helper", func(p *someone) { p.Ask.Helper = known.AnswerNo }},
	{"gangrene of a toe", func(p *someone) { p.Left.Look.Gangrene = max(p.Left.Look.Gangrene, wound.ToeGangrene) }},
	{"gangrene of the foot", func(p *someone) { p.Left.Look.Gangrene = max(p.Left.Look.Gangrene, wound.WholeFootGangrene) }},
	{"open wound", func(p *someone) { p.Right.Look.Wound = known.Abnormal }},
	answered("suddenly cold", func(p *someone) *known.Answer { return &p.Right.Feel.SuddenlyCold }),
	answered("warm", func(p *someone) *known.Answer { return &p.Left.Feel.Warm }),
	answered("swollen", func(p *someone) *known.Answer { return &p.Left.Feel.Swollen }),
	answered("red", func(p *someone) *known.Answer { return &p.Left.Look.Redness }),
	{"oedema", func(p *someone) { p.Left.Feel.Oedema = known.Abnormal }},
	hotter("hallux 1.9 warmer", heat.SpotHallux, 19), hotter("hallux 2.3 warmer", heat.SpotHallux, 23), hotter("heel 5.0 warmer", heat.SpotHeel, 50),
	{"fever", func(p *someone) { p.Vitals.TemperatureC = known.TenthsOf(386) }},
	{"fast heart", func(p *someone) { p.Vitals.HeartRate = known.Value(112) }},
	answered("unwell", func(p *someone) *known.Answer { return &p.Vitals.Unwell }),
	deeper(wound.Subcutis), deeper(wound.TendonOrMuscle), deeper(wound.BoneOrJoint),
	ulcer("probes to bone", func(u *wound.Ulcer) { u.Depth, u.ProbeToBone = max(u.Depth, wound.BoneOrJoint), told }),
	ulcer("with pus", func(u *wound.Ulcer) { u.Infection.Pus = told }),
	ulcer("warm at its edge", func(u *wound.Ulcer) { u.Infection.Warmth = told }),
	ulcer("red for 10 mm", func(u *wound.Ulcer) { u.Infection.ErythemaMM = known.Value(max(u.Infection.ErythemaMM.Value, 10)) }),
	ulcer("red for 20 mm", func(u *wound.Ulcer) { u.Infection.ErythemaMM = known.Value(max(u.Infection.ErythemaMM.Value, 20)) }),
	ulcer("spreading", func(u *wound.Ulcer) { u.Infection.Spreading = told }),
	ulcer("with an abscess", func(u *wound.Ulcer) { u.Infection.Deep = told }),
	ulcer("with osteomyelitis", func(u *wound.Ulcer) { u.Infection.Bone = told }),
	ulcer("larger", func(u *wound.Ulcer) {
		u.Size.LengthMM, u.Size.WidthMM = known.Value(max(u.Size.LengthMM.Value, 30)), known.Value(max(u.Size.WidthMM.Value, 20))
	}),
	ulcer("older", func(u *wound.Ulcer) { u.Since = when.MustMoment("2026-01-01") }),
	{"pus without an ulcer", func(p *someone) { p.Right.Look.Infection.Pus, p.Right.Look.Infection.Swelling = told, told }},
	onRecord("past ulcer", func(p *someone) *exam.Item { return &p.bg.UlcerHistory }),
	onRecord("amputation", func(p *someone) *exam.Item { return &p.bg.Amputation }),
	onRecord("PAD", func(p *someone) *exam.Item { return &p.bg.PAD }),
	onRecord("kidney failure", func(p *someone) *exam.Item { return &p.bg.KidneyFailure }),
	onRecord("eGFR below 30", func(p *someone) *exam.Item { return &p.bg.EGFRBelow30 }),
	onRecord("low vision", func(p *someone) *exam.Item { return &p.bg.LowVision }),
}

// blanks take single answers back to "not recorded".
var blanks = []step{
	{"past ulcer", func(p *someone) { p.Ask.UlcerHistory = 0 }},
	{"past Charcot", func(p *someone) { p.Ask.CharcotHistory = 0 }},
	{"kidney", func(p *someone) { p.Ask.KidneyFailure, p.Ask.Dialysis, p.Ask.KidneyDisease = 0, 0, 0 }},
	{"transplant", func(p *someone) { p.Ask.Transplant = 0 }},
	{"amputation", func(p *someone) { p.Ask.AmputationHistory, p.Right.Loss, p.Left.Loss = 0, foot.Loss{}, foot.Loss{} }},
	{"nerves of the left foot", func(p *someone) { p.Left.Test = neuro.Foot{} }},
	{"one site", func(p *someone) { p.Right.Test.Filament[neuro.SiteHallux] = 0 }},
	{"arteries of the right leg", func(p *someone) { p.Right.Feel.Arteries = perfusion.Leg{} }},
	{"one pulse", func(p *someone) { p.Left.Feel.Arteries.PT = 0 }},
	{"left shape", func(p *someone) { p.Left.Look.Shape, p.Left.Look.Deformities, p.Left.Look.Mobility = 0, nil, 0 }},
	{"claudication", func(p *someone) { p.Ask.Claudication = 0 }},
	{"left skin", func(p *someone) { p.Left.Look.Skin, p.Left.Look.Lesions = 0, nil }},
	{"self-care", func(p *someone) { p.Ask.LowVision, p.Ask.CannotReach, p.Ask.Helper = 0, 0, 0 }},
	{"arms", func(p *someone) { p.Arms = perfusion.Arms{} }},
	{"warmth", func(p *someone) { p.Left.Feel.Warm, p.Left.Feel.Swollen, p.Left.Look.Redness = 0, 0, 0 }},
}

// draw makes somebody with a choice of findings and returns their names.
func draw(t *rapid.T) someone {
	p := sound()
	if rapid.Bool().Draw(t, "ulcers") {
		withUlcers(&p)
	}
	for _, i := range rapid.SliceOfDistinct(rapid.IntRange(0, len(worsenings)-1), rapid.ID[int]).Draw(t, "findings") {
		worsenings[i].to(&p)
	}
	return p
}

func (p someone) clone() someone {
	var c someone
	copyJSON(p.Draft, &c.Draft)
	copyJSON(p.bg, &c.bg)
	return c
}

func copyJSON(from, to any) {
	b, err := json.Marshal(from)
	if err == nil {
		err = json.Unmarshal(b, to)
	}
	if err != nil {
		panic(err)
	}
}

func (p *someone) judge(e Edition) Assessment {
	return Assess(Input{Exam: &p.Draft, Background: p.bg, Edition: e, On: examDay})
}
