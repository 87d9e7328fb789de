package plan

import (
	"tengram/internal/kernel/danger"
	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/foot"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/neuro"
	"tengram/internal/kernel/perfusion"
	"tengram/internal/kernel/risk"
	"tengram/internal/kernel/source"
)

// danger turns red flags into referrals: emergency care now, the foot team
// today or within a working day.
func (b *builder) danger() {
	for _, f := range b.in.Flags {
		reason := source.Because{{Says: f.Says, Fact: "flag." + f.ID}}
		reason = append(reason, f.Because...)
		switch {
		case f.Urgency == danger.Now:
			b.add(Action{ID: "act-now", Kind: Refer, To: EmergencyCare, Urgency: f.Urgency,
				Says: "Send to emergency care now by the local route, and tell the foot team.", Because: reason})
		case f.Urgency <= danger.FourDays:
			b.add(Action{ID: "refer-foot-team", Kind: Refer, To: FootTeam, Urgency: f.Urgency,
				Says: "Refer to the multidisciplinary foot team (" + f.Urgency.Words() + ").", Because: reason})
		}
	}
	if b.in.Heat.CharcotSuspected == known.Yes {
		b.add(Action{ID: "off-load-charcot", Kind: Protect, Urgency: danger.SameDay, To: Practice,
			Says:    "Take the weight off the foot today and keep it off until Charcot foot is ruled out; do not wait for imaging.",
			Because: because("An acute Charcot foot is suspected.", charcotOffload)})
	}
	for _, u := range b.in.Ulcers {
		if u.Open != known.Yes {
			continue
		}
		b.add(Action{ID: "off-load-ulcer", Kind: Protect, Urgency: danger.OneWorkingDay, To: FootTeam,
			Says:    "Take pressure off the ulcer with every step; the foot team chooses the device.",
			Because: because("There is an open ulcer.", ulcerOffload)})
		b.add(Action{ID: "measure-ulcer", Kind: Examine, Urgency: danger.TwoWeeks, To: Practice,
			Says:    "Measure the ulcer again by the same method within 2 weeks, and at 4 weeks judge whether it has lost half its area.",
			Because: because("An ulcer is followed until it heals.", healing4)})
		if len(u.Worry) > 0 {
			b.add(Action{ID: "review-ulcer-care", Kind: Examine, Urgency: danger.FourDays, To: FootTeam,
				Says: "Look again at circulation, infection, off-loading and how the plan works at home.", Because: u.Worry})
		}
	}
}

// circulation asks for pressures when pulses are weak or legs ache, and for the
// vascular service when the pressures are abnormal.
func (b *builder) circulation() {
	pad := b.in.PAD
	if pad.PressuresNeeded == known.Yes {
		b.add(Action{ID: "test-pressures", Kind: Test, To: VascularLab, Urgency: danger.FourWeeks,
			Says: "Measure ankle and toe pressures (ABI and TBI) with waveforms.",
			Because: source.Because{
				{Says: "Pulses are weak or absent, the legs ache on walking, or an index cannot be read.", Source: adaPressures},
				{Says: "With diabetes, toe pressures are taken too, since stiff arteries read falsely high.", Source: adaToe},
				{Says: "No guideline read gives a time; 4 weeks is ours.", Source: proposal},
			}})
	}
	if pad.Level == perfusion.Likely {
		urgency := danger.FourWeeks
		if critical(pad) {
			urgency = danger.SameDay
		}
		b.add(Action{ID: "refer-vascular", Kind: Refer, To: Vascular, Urgency: urgency,
			Says: "Refer for vascular assessment.", Because: source.Because{
				{Says: "Peripheral artery disease is likely.", Source: adaPressures},
				{Says: "No guideline read gives a time for legs without a wound; 4 weeks is ours, sooner where pressures are critical.", Source: proposal},
			}})
	}
	noPressures := !pad.Legs[foot.Right].ABI.Known && !pad.Legs[foot.Left].ABI.Known
	if b.in.Edition == US && b.in.Background.Age >= 50 && pad.PressuresNeeded != known.Yes && noPressures {
		b.add(Action{ID: "consider-abi-screen", Kind: Test, To: VascularLab, Urgency: danger.Routine,
			Says:    "Consider a screening ABI, if none is on record.",
			Because: because("Age 50 or more with diabetes.", adaScreen)})
	}
}

func critical(pad *perfusion.Result) bool {
	return pad.Legs[foot.Right].Critical == known.Yes || pad.Legs[foot.Left].Critical == known.Yes
}

// specialist refers the foot at risk for ongoing care; the deadline follows the
// NG19 level of the person, the only one read in a guideline.
func (b *builder) specialist() {
	f, reasons := b.in.Facts, source.Because(nil)
	for _, factor := range []risk.Factor{risk.LOPS, risk.PAD, risk.Deformity, risk.UlcerHistory, risk.Amputation, risk.CharcotHistory, risk.KidneyReplacement} {
		if f.Is[factor] == known.Yes {
			reasons = append(reasons, source.Reason{Says: "There is " + factor.Words() + ".", Fact: factor.String(), Source: adaSpecialist})
		}
	}
	if len(reasons) == 0 {
		return
	}
	urgency, when := danger.EightWeeks, "NG19 moderate risk: first seen within 6 to 8 weeks."
	if _, high := b.in.Nice.ForPlan(); high.Rank >= 2 {
		urgency, when = danger.FourWeeks, "NG19 high risk: first seen within 2 to 4 weeks."
	}
	if b.in.Exam.Ask.FootSpecialist == known.AnswerYes {
		b.add(Action{ID: "inform-foot-specialist", Kind: Examine, To: FootSpecialist, Urgency: urgency,
			Says: "Send today's findings to the foot-care service that already sees the person.", Because: append(reasons, source.Reason{
				Says: "Sees a foot-care specialist regularly.", Fact: "ask.foot-specialist"})})
		return
	}
	says := "Refer to a foot-care specialist for ongoing care, unless already under one."
	if b.in.Edition == UK {
		says = "Refer to the foot protection service, unless already under it."
	}
	reasons = append(reasons, source.Reason{Says: when, Source: niceTimes})
	b.add(Action{ID: "refer-foot-specialist", Kind: Refer, To: FootSpecialist, Urgency: urgency, Says: says, Because: reasons})
}

// skin treats what may become an ulcer.
func (b *builder) skin() {
	atRisk := known.Any(b.in.Facts.Is[risk.LOPS], b.in.Facts.Is[risk.PAD]) != known.No
	for _, side := range foot.Sides {
		look := &b.in.Exam.Foot(side).Look
		for _, l := range look.Lesions {
			b.lesion(side, l, atRisk)
		}
		for _, n := range look.NailKind {
			b.add(Action{ID: "care-for-nails", Kind: Protect, To: FootSpecialist, Urgency: nailUrgency(n),
				Says: "Arrange nail care by somebody trained in it.", Because: source.Because{
					{Says: "Nail finding on the " + side.String() + " foot: " + n.String() + ".", Fact: side.String() + ".look.nail-kinds", Source: iwgdfPreUlcer}}})
		}
	}
}

func nailUrgency(n exam.NailKind) danger.Urgency {
	if n == exam.IngrownNail || n == exam.NailBleeding {
		return danger.TwoWeeks
	}
	return danger.EightWeeks
}

func (b *builder) lesion(side foot.Side, l exam.Lesion, atRisk bool) {
	seen := source.Reason{Says: l.Kind.String() + " at the " + l.Place.Words() + ", " + side.String() + " foot.",
		Fact: side.String() + ".look.lesions", Source: iwgdfPreUlcer}
	switch {
	case l.Kind.PreUlcerative():
		urgency := danger.FourWeeks
		if atRisk {
			urgency = danger.TwoWeeks
		}
		b.add(Action{ID: "treat-pre-ulcer", Kind: Protect, To: FootSpecialist, Urgency: urgency,
			Says:    "Have the pre-ulcerative lesion treated by somebody trained in it, and take pressure off it.",
			Because: source.Because{seen, {Says: "The time is ours.", Source: proposal}}})
	case l.Kind == exam.Callus || l.Kind == exam.Corn:
		b.add(Action{ID: "treat-callus", Kind: Protect, To: FootSpecialist, Urgency: danger.EightWeeks,
			Says: "Have callus or corns removed by somebody trained in it; not at home.", Because: source.Because{seen}})
	case l.Kind == exam.Fungus || l.Kind == exam.Maceration:
		b.add(Action{ID: "treat-skin-infection", Kind: Protect, To: Practice, Urgency: danger.TwoWeeks,
			Says: "Treat fungal or wet skin between the toes.", Because: source.Because{seen}})
	case l.Kind == exam.DrySkin:
		b.add(Action{ID: "advise-emollient", Kind: Educate, To: Practice, Urgency: danger.Routine,
			Says: "Advise an emollient every day, not between the toes.", Because: source.Because{seen}})
	case l.Kind == exam.RedSpot:
		b.add(Action{ID: "find-the-rub", Kind: Footwear, To: Practice, Urgency: danger.SameDay,
			Says: "Find what rubs at the red spot today: shoe, sock, seam or foreign body.", Because: source.Because{seen}})
	}
}

// footwear follows risk and what was seen of the shoes.
func (b *builder) footwear() {
	_, high := b.in.Lead.ForPlan()
	threshold := 2
	if b.in.Edition == UK {
		threshold = 1 // NG19 has three levels; moderate is rank 1
	}
	if high.Rank >= threshold {
		b.add(Action{ID: "prescribe-footwear", Kind: Footwear, To: Orthotics, Urgency: danger.EightWeeks,
			Says: "Assess for therapeutic footwear and insoles.", Because: source.Because{
				{Says: "The risk is or may be " + high.Name + ".", Source: iwgdfFootwear}, {Says: "The time is ours.", Source: proposal}}})
		b.add(Action{ID: "consider-home-temperature", Kind: Educate, To: Practice, Urgency: danger.Routine,
			Says: "Consider coaching in home skin-temperature checks.", Because: because("Moderate or high risk.", iwgdfHeat)})
	}
	w := b.in.Exam.Footwear
	if w.Suitable == known.Abnormal || w.TooTight == known.AnswerYes || w.WornOut == known.AnswerYes || w.ForeignBody == known.AnswerYes {
		b.add(Action{ID: "change-footwear", Kind: Footwear, To: Practice, Urgency: danger.TwoWeeks,
			Says:    "Change the footwear that does not suit the foot; do not let the person leave with a shoe that rubs a foot without feeling.",
			Because: source.Because{{Says: "The footwear seen today is not suitable.", Fact: "footwear", Source: iwgdfExercise}, {Says: "The time is ours.", Source: proposal}}})
	}
}

// teaching is part of every exam.
func (b *builder) teaching() {
	a := &b.in.Exam.Ask
	b.add(Action{ID: "teach-foot-care", Kind: Educate, To: Practice, Urgency: danger.Routine,
		Says:    "Teach daily foot care and the signs that mean call today, and let the person say it back.",
		Because: because("Foot self-care education is for everyone with diabetes.", adaEducate)})
	cannot := known.Any(a.LowVision.Tri(), a.CannotReach.Tri(), b.in.Background.LowVision.Is)
	if cannot == known.Yes && a.Helper != known.AnswerYes {
		b.add(Action{ID: "arrange-help", Kind: Educate, To: Practice, Urgency: danger.FourWeeks,
			Says:    "Arrange for somebody to look at the feet every day, and see the person more often.",
			Because: because("The person cannot see or reach the own feet and no helper is known.", niceCannot)})
	}
}

// health is what shows in the feet: smoking, glucose, kidneys, other causes of
// lost feeling.
func (b *builder) health() {
	a, bg := &b.in.Exam.Ask, b.in.Background
	smokes := a.Smoking.Current()
	if !smokes.Known() {
		smokes = bg.Smoker.Is
	}
	if smokes == known.Yes {
		b.add(Action{ID: "stop-smoking", Kind: Health, To: StopSmoking, Urgency: danger.FourWeeks,
			Says:    "Offer help to stop smoking.",
			Because: source.Because{{Says: "Smokes now.", Fact: "ask.smoking", Source: smokingSource}, {Says: "The time is ours.", Source: proposal}}})
	}
	if a.GlucoseAboveTarget == known.AnswerYes {
		b.add(Action{ID: "review-glucose", Kind: Health, To: Practice, Urgency: danger.ThreeMonths,
			Says:    "Review glucose control against the person's own target.",
			Because: source.Because{{Says: "Glucose is above the person's target.", Fact: "ask.glucose-above-target", Source: proposal}}})
	}
	if b.in.Facts.Is[risk.ESRD] == known.Yes || b.in.Facts.Is[risk.KidneyReplacement] == known.Yes {
		b.add(Action{ID: "kidney-team-feet", Kind: Health, To: Kidney, Urgency: danger.FourWeeks,
			Says:    "Ask the kidney or dialysis team to look at the feet every month.",
			Because: because("Kidney failure raises the risk of foot ulcers.", kidneySource)})
	}
	if b.in.LOPS.LOPS == known.Yes && !a.OtherNeuropathy.Recorded() && b.in.Background.Neuropathy.Is != known.Yes {
		b.add(Action{ID: "consider-other-causes", Kind: Health, To: Practice, Urgency: danger.ThreeMonths,
			Says:    "Consider other causes of neuropathy, such as B12 deficiency, alcohol, drugs or the spine.",
			Because: because("Protective sensation is lost and no cause is on record.", medicareCauses)})
	}
}

// unfinished asks for what would settle the category.
func (b *builder) unfinished() {
	low, high := b.in.Lead.ForPlan()
	if low.Rank == high.Rank {
		return
	}
	urgency := danger.FourWeeks
	if high.Rank >= 2 {
		urgency = danger.TwoWeeks
	}
	settled := b.in.Lead.SettledBy
	if b.in.Lead.Cautious != nil {
		settled = b.in.Lead.Cautious.SettledBy
	}
	reasons := source.Because{{Says: "The risk lies between " + low.Name + " and " + high.Name + " until the exam is complete; until then the plan follows the higher.", Source: proposal}}
	for _, f := range settled {
		reasons = append(reasons, source.Reason{Says: "Not settled: " + f.Words() + ".", Fact: f.String()})
	}
	b.add(Action{ID: "complete-exam", Kind: Examine, To: Practice, Urgency: urgency,
		Says: "Complete what is missing for the risk category.", Because: reasons})
}

// gone reports that no foot is left on either side.
func gone(l neuro.Result) bool { return l.Feet[foot.Right].Gone && l.Feet[foot.Left].Gone }
