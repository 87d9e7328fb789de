package demo

import (
	"slices"

	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/foot"
	"tengram/internal/kernel/heat"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/neuro"
	"tengram/internal/kernel/perfusion"
	"tengram/internal/kernel/when"
	"tengram/internal/kernel/wound"
)

// examine writes the document of one planned exam out of the truth of that day.
func (p *patient) examine(x planned) Visit {
	examiner := pick(p.dice, examiners)
	v := p.come(x.day)
	minute := v.minute + p.between(4, 9)
	d := exam.Draft{
		Schema: exam.SchemaID, ID: p.uuid(), Revision: 1, Patient: p.person.ID,
		At: p.at(x.day, minute), Examiner: examiner, Protocol: neuro.FiveSites,
	}
	switch x.kind {
	case woundOnly:
		p.lookAtUlcer(&d, x)
	default:
		p.wholeExam(&d, x)
	}
	p.shorten(&d, x.kind)
	p.mistime(&d)
	by := examiner
	if d.Override != nil {
		by = d.Override.By
	} else if p.chance(0.3) {
		by = pick(p.dice, clinicians)
	}
	signed := p.g.clock(x.day, minute+4+p.between(1, 14))
	return Visit{Draft: d, SignedAt: signed, By: by}
}

func (p *patient) wholeExam(d *exam.Draft, x planned) {
	p.ask(&d.Ask, x.day)
	for _, s := range foot.Sides {
		*d.Foot(s) = p.footOn(s, x.day)
	}
	p.pressures(d, x.day)
	if x.episode != nil {
		p.addUlcer(d, x)
	}
	p.special(d, x.day)
	d.Footwear.Suitable = []known.Finding{known.Normal, known.Abnormal, known.NotDone}[p.weighted(72, 20, 8)]
	if d.Footwear.Suitable == known.Abnormal {
		if p.chance(0.5) {
			d.Footwear.TooTight = known.AnswerYes
		} else {
			d.Footwear.WornOut = known.AnswerYes
		}
	}
	d.Teach = exam.Teach{Given: answer(p.chance(0.93)), Language: p.person.Language}
	if d.Teach.Given == known.AnswerYes {
		d.Teach.TaughtBack = answer(p.chance(0.75))
	}
	d.Seconds = exam.Seconds{Ask: p.between(22, 60), Look: p.between(22, 50), Feel: p.between(14, 34), Test: p.between(28, 58), Teach: p.between(10, 40)}
}

func answer(yes bool) known.Answer {
	if yes {
		return known.AnswerYes
	}
	return known.AnswerNo
}

// ask answers the questions truthfully, but not all of them: some people are
// not sure, and some questions are left out.
func (p *patient) ask(a *exam.Ask, on when.Day) {
	f := p.feet
	healedBefore := f.ulcerOn != 0 || slices.ContainsFunc(f.episodes, func(e *episode) bool { return e.healed != 0 && e.healed < on })
	*a = exam.Ask{
		UlcerHistory: answer(healedBefore), AmputationHistory: answer(f.amputated(on)),
		CharcotHistory: answer(f.charcotOn != 0), Revascularised: answer(f.stentOn != 0),
		PADDiagnosed: answer(f.pad(on) && (f.padTold || (f.pressuresFrom != 0 && f.pressuresFrom+120 < on))),
		Retinopathy:  answer(f.retinopathy), LowVision: answer(f.lowVision),
		KidneyDisease: answer(f.kidney != kidneysWell), KidneyFailure: answer(f.kidney == onDialysis),
		Dialysis: answer(f.kidney == onDialysis), Transplant: answer(f.kidney == transplanted),
		Smoking: f.smoking, GlucoseAboveTarget: answer(f.a1c >= 80), A1c: known.TenthsOf(max(45, f.a1c+p.between(-4, 4))),
		Numbness: answer(f.lops(on) && f.symptoms), Pain: answer(f.lops(on) && f.symptoms && p.chance(0.5)),
		Claudication: answer(f.pad(on) && f.claudication), RestPain: known.AnswerNo,
		CannotReach: answer(!f.reach), Helper: answer(f.helper), DailyCheck: answer(f.daily), Barefoot: answer(p.chance(0.3)),
		FootSpecialist: answer(f.rank(on) >= 2 && p.chance(0.5)), VenousDisease: answer(p.chance(0.06)),
	}
	if f.lops(on) {
		a.OtherNeuropathy = answer(p.chance(0.1))
	}
	if !healedBefore && p.chance(0.025) {
		a.UlcerHistory = known.Unsure
	}
	if p.chance(0.08) {
		a.VenousDisease, a.CharcotHistory = known.NotAsked, known.NotAsked
	}
	if p.chance(0.05) {
		a.Smoking = exam.SmokingNotAsked
	}
	if p.chance(0.2) {
		a.A1c = known.Tenths{}
	}
}

// footOn is one foot, wholly examined, on a day.
func (p *patient) footOn(s foot.Side, on when.Day) exam.Foot {
	f := p.feet
	loss := f.lost(s, on)
	if loss.FootGone() {
		return exam.Foot{Loss: loss}
	}
	e := normalFoot(neuro.FiveSites)
	e.Loss = loss
	p.skin(&e, on)
	if list := f.shapeOf(s, loss); len(list) > 0 {
		e.Look.Shape, e.Look.Deformities = known.Abnormal, list
	}
	if f.stiff[s] {
		e.Look.Mobility = known.Abnormal
	}
	if f.pad(on) && f.pulses[s][0] != perfusion.PulseNotDone {
		e.Feel.Arteries.DP, e.Feel.Arteries.PT = f.pulses[s][0], f.pulses[s][1]
	}
	if !loss.Has(foot.Dorsum) {
		e.Feel.Arteries.DP = perfusion.PulseNotPossible
	}
	numb := false
	for _, site := range neuro.FiveSites.Sites() {
		switch {
		case !loss.Has(site.Place()):
			e.Test.Filament[site] = known.Absent
		case f.lops(on) && f.numb[s][site]:
			e.Test.Filament[site], numb = known.Abnormal, true
		}
	}
	switch {
	case !loss.Has(foot.Hallux):
		e.Test.Vibration = known.Absent
	case numb && p.chance(0.7):
		e.Test.Vibration = known.Abnormal
	}
	return e
}

// shapeOf leaves out deformities of a toe that is gone.
func (f *feet) shapeOf(s foot.Side, loss foot.Loss) []exam.Deformity {
	var list []exam.Deformity
	for _, d := range f.deformities[s] {
		if d == exam.HalluxValgus && !loss.Has(foot.Hallux) {
			continue
		}
		list = append(list, d)
	}
	return list
}

// skin gives findings of skin and nails; the shares are ours.
func (p *patient) skin(e *exam.Foot, on when.Day) {
	callus := 0.07
	if p.feet.lops(on) || p.feet.deformed() {
		callus = 0.24
	}
	for _, l := range []struct {
		kind  exam.LesionKind
		place foot.Place
		share float64
	}{
		{exam.Callus, pick(p.dice, []foot.Place{foot.MTH1, foot.MTH5, foot.Hallux}), callus},
		{exam.DrySkin, foot.Heel, 0.15}, {exam.Fungus, foot.Web4, 0.05}, {exam.Corn, foot.Toe5Top, 0.03},
		{exam.Fissure, foot.HeelBack, 0.025}, {exam.Blister, foot.HeelBack, 0.008}, {exam.BleedingUnderCallus, foot.MTH1, 0.01},
	} {
		if p.chance(l.share) && e.Loss.Has(l.place) {
			e.Look.Skin = known.Abnormal
			e.Look.Lesions = append(e.Look.Lesions, exam.Lesion{Place: l.place, Kind: l.kind})
		}
	}
	switch {
	case e.Loss.Level > foot.ToesOnly:
		e.Look.Nails = known.Absent
	case p.chance(0.3):
		e.Look.Nails = known.Abnormal
		e.Look.NailKind = []exam.NailKind{pick(p.dice, []exam.NailKind{exam.ThickNail, exam.ThickNail, exam.FungalNail, exam.LongNail, exam.IngrownNail})}
	}
}

// pressures are measured once, some time after weak pulses were found.
func (p *patient) pressures(d *exam.Draft, on when.Day) {
	f := p.feet
	if !f.pad(on) || f.pressuresFrom == 0 || on < f.pressuresFrom || on > f.pressuresFrom+200 {
		return
	}
	arm := p.between(124, 152)
	d.Arms = perfusion.Arms{Right: known.Value(arm), Left: known.Value(arm - p.between(0, 8))}
	for _, s := range foot.Sides {
		if f.lost(s, on).FootGone() {
			continue
		}
		low, high := 98, 112
		if f.pulses[s][0] != perfusion.PulseNotDone {
			low, high = 58, 84
		}
		share := p.between(low, high)
		a := &d.Foot(s).Feel.Arteries
		a.AnkleDP, a.AnklePT = known.Value(arm*share/100), known.Value(arm*(share-p.between(0, 5))/100)
		a.ToePressure, a.Waveform = known.Value(arm*(share-22)/100), perfusion.Triphasic
		if !f.lost(s, on).Has(foot.Hallux) {
			a.ToePressure = known.Reading{State: known.CannotMeasure}
		}
		if high < 90 {
			a.Waveform = perfusion.Monophasic
		}
	}
}

// addUlcer writes the ulcer of a look into an exam.
func (p *patient) addUlcer(d *exam.Draft, x planned) {
	l, u := x.episode.looks[x.look], x.episode.ulcer(x.look)
	d.Ulcers, d.Vitals = []wound.Ulcer{u}, l.vitals
	f := d.Foot(u.Side)
	if l.closed {
		return
	}
	f.Look.Skin, f.Look.Wound = known.Abnormal, known.Abnormal
	if l.infection.Spreading == known.AnswerYes {
		f.Look.Redness, f.Feel.Warm, f.Feel.Swollen = known.AnswerYes, known.AnswerYes, known.AnswerYes
	}
}

// lookAtUlcer is a visit for the ulcer: skin of both feet, the wound, the
// pulses of that foot, and nothing else.
func (p *patient) lookAtUlcer(d *exam.Draft, x planned) {
	for _, s := range foot.Sides {
		all := p.footOn(s, x.day)
		if all.Loss.FootGone() {
			*d.Foot(s) = all
			continue
		}
		*d.Foot(s) = exam.Foot{Loss: all.Loss, Look: exam.Look{
			Skin: all.Look.Skin, Lesions: all.Look.Lesions, Wound: known.Normal, Gangrene: wound.NoGangrene, Redness: known.AnswerNo,
		}}
		if s == x.episode.side {
			f := d.Foot(s)
			f.Feel.Arteries = all.Feel.Arteries
			f.Feel.Warm, f.Feel.Swollen = known.AnswerNo, known.AnswerNo
		}
	}
	d.Protocol = neuro.NoProtocol
	p.addUlcer(d, x)
	d.Seconds = exam.Seconds{Look: p.between(60, 150), Feel: p.between(10, 25)}
}

// special writes the findings of a part.
func (p *patient) special(d *exam.Draft, on when.Day) {
	f := p.feet
	switch {
	case f.hotFootOn == on && on != 0:
		d.TemperatureUnit = heat.Fahrenheit
		d.Left.Look.Redness, d.Left.Feel.Warm, d.Left.Feel.Swollen, d.Left.Feel.Oedema = known.AnswerYes, known.AnswerYes, known.AnswerYes, known.Abnormal
		d.Left.Feel.Temperatures = heat.Temperatures{heat.SpotMTH1: known.TenthsOf(884), heat.SpotMidfoot: known.TenthsOf(931), heat.SpotHeel: known.TenthsOf(867)}
		d.Right.Feel.Temperatures = heat.Temperatures{heat.SpotMTH1: known.TenthsOf(862), heat.SpotMidfoot: known.TenthsOf(868), heat.SpotHeel: known.TenthsOf(861)}
		d.Note = "Swollen for two weeks, no injury remembered, walks on it."
	case f.blackToeOn == on && on != 0:
		d.Ask.RestPain, d.Ask.RestPainNew = known.AnswerYes, known.AnswerNo
		d.Left.Look.Skin, d.Left.Look.Gangrene = known.Abnormal, wound.ToeGangrene
		d.Left.Look.Lesions = []exam.Lesion{{Place: foot.Toe3, Kind: exam.ColourChange, Note: "black and dry"}}
		d.Left.Feel.Arteries.DP, d.Left.Feel.Arteries.PT = perfusion.PulseAbsent, perfusion.PulseAbsent
	case p.role == "override" && on >= p.g.today-130:
		d.Override = &exam.Override{Category: "3", Reason: "Nearly blind, lives alone and cannot reach the feet; two falls lately.", By: wexcombe}
	}
}

// shorten leaves out what an incomplete exam does not reach.
func (p *patient) shorten(d *exam.Draft, k kind) {
	if k == whole || k == woundOnly {
		return
	}
	for _, s := range foot.Sides {
		f := d.Foot(s)
		if f.Loss.FootGone() {
			continue
		}
		switch k {
		case refused:
			for _, site := range d.Protocol.Sites() {
				if f.Loss.Has(site.Place()) {
					f.Test.Filament[site] = known.Refused
				}
			}
			f.Test.Vibration = known.Refused
		case pulsesOnly:
			*f = exam.Foot{Loss: f.Loss, Feel: f.Feel}
		case lookOnly:
			*f = exam.Foot{Loss: f.Loss, Look: f.Look}
		case filamentOnly:
			*f = exam.Foot{Loss: f.Loss, Test: f.Test}
		}
	}
	if k == refused {
		return
	}
	d.Arms, d.Footwear, d.Teach = perfusion.Arms{}, exam.Footwear{}, exam.Teach{}
	d.Ask = exam.Ask{AmputationHistory: d.Ask.AmputationHistory}
	d.Note = "Not finished: no time left."
	if k != filamentOnly {
		d.Protocol = neuro.NoProtocol
	}
	d.Seconds = exam.Seconds{Look: p.between(10, 40), Feel: p.between(5, 25)}
}

// mistime leaves a few exams without times, as if they had been typed in without
// the clock, and a few with a page that was left open. The shares are ours. It
// has dice of its own: nothing else of a person hangs on the clock.
func (p *patient) mistime(d *exam.Draft) {
	c := newDice(p.g.seed, "clock of "+d.ID, 0)
	switch {
	case c.chance(0.06):
		d.Seconds = exam.Seconds{}
	case c.chance(0.03):
		d.Seconds.Look += c.between(600, 2400)
	}
}
