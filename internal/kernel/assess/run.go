package assess

import (
	"tengram/internal/kernel/danger"
	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/foot"
	"tengram/internal/kernel/heat"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/neuro"
	"tengram/internal/kernel/perfusion"
	"tengram/internal/kernel/plan"
	"tengram/internal/kernel/risk"
	"tengram/internal/kernel/when"
	"tengram/internal/kernel/wound"
)

// Assess judges one exam. It never fails: what cannot be said is said to be
// unknown, with what would settle it.
func Assess(in Input) Assessment {
	bg := &in.Background
	d := withKnownLoss(in.Exam, bg)
	a := Assessment{Edition: in.Edition.ID, On: in.On, Override: d.Override, Caution: Caution}

	a.LOPS, a.OtherLOPS = judgeNerves(d, in.Edition.LOPS)
	a.PAD = perfusion.Judge(evidence(d, bg))
	a.Heat = heat.Judge(warmth(d, &a.LOPS))
	a.Ulcers = judgeUlcers(d, bg, &a, in.On)
	a.Flags = danger.Judge(danger.Input{Exam: d, Background: bg, LOPS: a.LOPS, PAD: a.PAD, Heat: a.Heat, Ulcers: a.Ulcers})

	if len(a.Flags) > 0 {
		a.Active = ActiveFirst
	}

	facts := factsOf(d, bg, &a)
	lead := judgeRisks(&a, &facts, in.Edition.Risk)
	a.Disagreement = disagreement(&a)
	a.Findings = findings(d, bg, &a)
	a.Missing = missing(d, &a)
	a.Plan = plan.Make(plan.Input{
		Edition: in.Edition.Plan, On: in.On, Exam: d, Background: bg,
		LOPS: &a.LOPS, PAD: &a.PAD, Heat: &a.Heat, Ulcers: a.Ulcers, Flags: a.Flags,
		Facts: &facts, Lead: &a.Risks[0], LeadSystem: lead, Nice: a.risk("nice-ng19"), IWGDF: a.risk("iwgdf-2023"), RecallChoice: in.Edition.RecallChoice,
	})
	return a
}

// withKnownLoss takes a foot that the record says is gone as gone where nothing
// of it was recorded today. A finding of today is proof that the foot is there,
// and a lesser loss than the foot is for the examiner to see.
func withKnownLoss(d *exam.Draft, bg *exam.Background) *exam.Draft {
	out := d
	for _, s := range foot.Sides {
		if bg.Loss[s].FootGone() && d.Foot(s).IsZero() {
			if out == d {
				copied := *d
				out = &copied
			}
			out.Foot(s).Loss = bg.Loss[s]
		}
	}
	return out
}

func judgeNerves(d *exam.Draft, leading string) (lead neuro.Result, others []neuro.Result) {
	tests := neuro.Tests{
		Protocol: d.Protocol,
		Feet:     [2]neuro.Foot{d.Right.Test, d.Left.Test},
		Loss:     [2]foot.Loss{d.Right.Loss, d.Left.Loss},
	}
	definitions := neuro.Definitions()
	others = make([]neuro.Result, 0, len(definitions)-1)
	for _, def := range definitions {
		if r := def.Judge(tests); def.ID == leading {
			lead = r
		} else {
			others = append(others, r)
		}
	}
	return lead, others
}

// evidence joins what was felt and asked today with what the record says; a yes
// from either side stands.
func evidence(d *exam.Draft, bg *exam.Background) perfusion.Evidence {
	return perfusion.Evidence{
		Legs:           [2]perfusion.Leg{d.Right.Feel.Arteries, d.Left.Feel.Arteries},
		Loss:           [2]foot.Loss{d.Right.Loss, d.Left.Loss},
		Arms:           d.Arms,
		Claudication:   d.Ask.Claudication.Tri(),
		RestPain:       d.Ask.RestPain.Tri(),
		Diagnosed:      either(d.Ask.PADDiagnosed, bg.PAD),
		Revascularised: either(d.Ask.Revascularised, bg.Revascularised),
		OpenUlcer:      openUlcer(d),
	}
}

// either is Yes if the record or the answer says yes, and otherwise what the
// answer says: the record's silence is not a no.
func either(a known.Answer, item exam.Item) known.Tri {
	if item.Is == known.Yes {
		return known.Yes
	}
	return a.Tri()
}

func openUlcer(d *exam.Draft) known.Tri {
	for i := range d.Ulcers {
		if d.Ulcers[i].Open() == known.Yes {
			return known.Yes
		}
	}
	return known.Any(footOpen(&d.Right), footOpen(&d.Left))
}

func footOpen(f *exam.Foot) known.Tri {
	if f.Loss.FootGone() {
		return known.No
	}
	return known.Any(f.Look.Wound.Abnormal(), f.Look.Gangrene.Any())
}

func warmth(d *exam.Draft, lops *neuro.Result) heat.Input {
	in := heat.Input{Right: d.Right.Feel.Temperatures, Left: d.Left.Feel.Temperatures, Unit: d.TemperatureUnit}
	for _, s := range foot.Sides {
		f := d.Foot(s)
		in.LOPS[s] = lops.Feet[s].LOPS
		in.Warm[s], in.Swollen[s], in.Red[s] = f.Feel.Warm.Tri(), f.Feel.Swollen.Tri(), f.Look.Redness.Tri()
		in.OpenUlcer[s] = sideUlcer(d, s)
		in.Loss[s] = f.Loss
	}
	return in
}

func sideUlcer(d *exam.Draft, s foot.Side) known.Tri {
	for i := range d.Ulcers {
		if d.Ulcers[i].Side == s && d.Ulcers[i].Open() == known.Yes {
			return known.Yes
		}
	}
	return d.Foot(s).Look.Wound.Abnormal()
}

func judgeUlcers(d *exam.Draft, bg *exam.Background, a *Assessment, on when.Day) []wound.Result {
	if len(d.Ulcers) == 0 {
		return nil
	}
	out := make([]wound.Result, 0, len(d.Ulcers))
	for i := range d.Ulcers {
		u := &d.Ulcers[i]
		f := d.Foot(u.Side)
		out = append(out, wound.Judge(wound.Input{
			Ulcer: *u, Past: pastOf(bg, u), On: on,
			LOPS: a.LOPS.Feet[u.Side].LOPS, Leg: f.Feel.Arteries, Perfusion: a.PAD.Legs[u.Side],
			Gangrene: f.Look.Gangrene, Systemic: d.Vitals,
		}))
	}
	return out
}

// pastOf lists the same ulcer in earlier exams.
func pastOf(bg *exam.Background, u *wound.Ulcer) []wound.Past {
	var past []wound.Past
	for i := range bg.Ulcers {
		p := &bg.Ulcers[i]
		if p.Ulcer.ID == u.ID && p.Ulcer.Side == u.Side {
			if day, err := when.ParseDay(p.On); err == nil {
				past = append(past, wound.Past{On: day, Ulcer: p.Ulcer})
			}
		}
	}
	return past
}

// judgeRisks fills Risks, the leading system first, and returns the leading
// system.
func judgeRisks(a *Assessment, facts *risk.Facts, leading string) (lead *risk.System) {
	systems := risk.Systems()
	a.Risks = make([]risk.Result, 0, len(systems))
	for i := range systems {
		if systems[i].ID == leading {
			lead = &systems[i]
			a.Risks = append(a.Risks, risk.Judge(systems[i], facts))
		}
	}
	for i := range systems {
		if systems[i].ID != leading {
			a.Risks = append(a.Risks, risk.Judge(systems[i], facts))
		}
	}
	return lead
}

// risk returns the result of one system.
func (a *Assessment) risk(system string) *risk.Result {
	for i := range a.Risks {
		if a.Risks[i].System == system {
			return &a.Risks[i]
		}
	}
	return nil
}
