package plan

import (
	"tengram/internal/kernel/danger"
	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/foot"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/risk"
	"tengram/internal/kernel/source"
)

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
					{Says: "Nail finding on the " + side.String() + " foot: " + n.String() + ".", Fact: side.String() + ".look.nail-kinds", Source: preUlcerSigns}, ourTime}})
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
	seen := func(src *source.Source) source.Reason {
		return source.Reason{Says: l.Kind.String() + " at the " + l.Place.Words() + ", " + side.String() + " foot.",
			Fact: side.String() + ".look.lesions", Source: src}
	}
	switch {
	case l.Kind.PreUlcerative():
		urgency := danger.FourWeeks
		if atRisk {
			urgency = danger.TwoWeeks
		}
		b.add(Action{ID: "treat-pre-ulcer", Kind: Protect, To: FootSpecialist, Urgency: urgency,
			Says: "Have the pre-ulcerative lesion treated by somebody trained in it, and take pressure off it.",
			Because: source.Because{seen(preUlcerMeans),
				{Says: "Any pre-ulcerative lesion is treated.", Source: iwgdfPreUlcer}, ourTime}})
	case l.Kind == exam.Callus || l.Kind == exam.Corn:
		b.add(Action{ID: "treat-callus", Kind: Protect, To: FootSpecialist, Urgency: danger.EightWeeks,
			Says: "Have callus or corns removed by somebody trained in it; not at home.", Because: source.Because{seen(preUlcerSigns), ourTime}})
	case l.Kind == exam.Fungus || l.Kind == exam.Maceration:
		b.add(Action{ID: "treat-skin-infection", Kind: Protect, To: Practice, Urgency: danger.TwoWeeks,
			Says: "Treat fungal or wet skin between the toes.", Because: source.Because{seen(preUlcerSigns), ourTime}})
	case l.Kind == exam.DrySkin:
		b.add(Action{ID: "advise-emollient", Kind: Educate, To: Practice, Urgency: danger.Routine,
			Says: "Advise an emollient every day, not between the toes.", Because: source.Because{seen(iwgdfSelfCare)}})
	case l.Kind == exam.RedSpot:
		b.add(Action{ID: "find-the-rub", Kind: Footwear, To: Practice, Urgency: danger.SameDay,
			Says: "Find what rubs at the red spot today: shoe, sock, seam or foreign body.", Because: source.Because{seen(redSpot), ourTime}})
	}
}

// footwear follows the IWGDF category, since the recommendations are the
// IWGDF's and NG19's "moderate" is another group; and what was seen of the
// shoes.
func (b *builder) footwear() {
	if _, high := b.in.IWGDF.ForPlan(); high.Rank >= 2 {
		is := "The IWGDF category is or may be " + high.Words() + "."
		b.add(Action{ID: "prescribe-footwear", Kind: Footwear, To: Orthotics, Urgency: danger.EightWeeks,
			Says: "Assess for therapeutic footwear and insoles.", Because: source.Because{{Says: is, Source: iwgdfFootwear}, ourTime}})
		b.add(Action{ID: "consider-home-temperature", Kind: Educate, To: Practice, Urgency: danger.Routine,
			Says: "Consider coaching in home skin-temperature checks.", Because: because(is, iwgdfHeat)})
	}
	w := b.in.Exam.Footwear
	if w.Suitable == known.Abnormal || w.TooTight == known.AnswerYes || w.WornOut == known.AnswerYes || w.ForeignBody == known.AnswerYes {
		b.add(Action{ID: "change-footwear", Kind: Footwear, To: Practice, Urgency: danger.TwoWeeks,
			Says:    "Change the footwear that does not suit the foot; do not let the person leave with a shoe that rubs a foot without feeling.",
			Because: source.Because{{Says: "The footwear seen today is not suitable.", Fact: "footwear", Source: iwgdfShoes}, ourTime}})
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
			Because: source.Because{{Says: "The person cannot see or reach the own feet and no helper is known.", Source: niceCannot}, ourTime}})
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
			Says: "Offer help to stop smoking.", Because: b.smoking()})
	}
	if a.GlucoseAboveTarget == known.AnswerYes {
		b.add(Action{ID: "review-glucose", Kind: Health, To: Practice, Urgency: danger.ThreeMonths,
			Says:    "Review glucose control against the person's own target.",
			Because: source.Because{{Says: "Glucose is above the person's target.", Fact: "ask.glucose-above-target", Source: glucoseReview}, ourTime}})
	}
	if b.in.Facts.Is[risk.ESRD] == known.Yes || b.in.Facts.Is[risk.KidneyReplacement] == known.Yes {
		b.add(Action{ID: "kidney-team-feet", Kind: Health, To: Kidney, Urgency: danger.FourWeeks,
			Says:    "Ask the kidney or dialysis team to look at the feet every month.",
			Because: source.Because{{Says: "Kidney failure raises the risk of foot ulcers.", Source: kidneySource}, ourTime}})
	}
	if b.in.LOPS.LOPS == known.Yes && !a.OtherNeuropathy.Recorded() && b.in.Background.Neuropathy.Is != known.Yes {
		b.add(Action{ID: "consider-other-causes", Kind: Health, To: Practice, Urgency: danger.ThreeMonths,
			Says:    "Consider other causes of neuropathy, such as B12 deficiency, alcohol, drugs or the spine.",
			Because: source.Because{{Says: "Protective sensation is lost and no cause is on record.", Source: medicareCauses}, ourTime}})
	}
}

// smoking gives the reasons, and where smoking is all that there is says that
// two editions differ: in 2016 "or" joined smoking with the findings that send
// somebody to a specialist; the 2024 text, as remembered, has "and".
func (b *builder) smoking() source.Because {
	because := source.Because{{Says: "Smokes now.", Fact: "ask.smoking", Source: smokingSource}, ourTime}
	for _, r := range referred {
		if b.in.Facts.Is[r.factor] == known.Yes {
			return because
		}
	}
	return append(because, source.Reason{
		Says:   "The text of 2016 sends a smoker to a foot-care specialist also without another finding; that of 2024, as remembered, does not and is followed here.",
		Source: adaSmokers,
	})
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
	reasons := source.Because{{Says: "The risk lies between " + low.Name + " and " + high.Name + " until the exam is complete; until then the plan follows the higher.", Source: highestStands}, ourTime}
	for _, f := range settled {
		reasons = append(reasons, source.Reason{Says: "Not settled: " + f.Words() + ".", Fact: f.String()})
	}
	b.add(Action{ID: "complete-exam", Kind: Examine, To: Practice, Urgency: urgency,
		Says: "Complete what is missing for the risk category.", Because: reasons})
}
