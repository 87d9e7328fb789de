package plan

import (
	"slices"
	"strings"

	"tengram/internal/kernel/danger"
	"tengram/internal/kernel/foot"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/perfusion"
	"tengram/internal/kernel/risk"
	"tengram/internal/kernel/source"
)

// danger turns red flags into referrals: emergency care now, the foot team
// today or within a working day. Beside an emergency the foot team is told the
// same day, whatever the time of its own flag.
func (b *builder) danger() {
	emergency := len(b.in.Flags) > 0 && b.in.Flags[0].Urgency == danger.Now
	for _, f := range b.in.Flags {
		reason := source.Because{{Says: f.Says, Fact: "flag." + f.ID}}
		reason = append(reason, f.Because...)
		if f.Urgency == danger.Now {
			b.add(Action{ID: "act-now", Kind: Refer, To: EmergencyCare, Urgency: f.Urgency,
				Says: "Send to emergency care now by the local route, and tell the foot team.", Because: reason})
			continue
		}
		urgency := f.Urgency
		switch {
		case emergency:
			urgency = min(urgency, danger.SameDay)
			reason = append(reason, source.Reason{Says: "With an emergency the foot team is told at once.", Source: niceInform})
		case urgency == danger.OneWorkingDay:
			reason = append(reason, source.Reason{
				Says: "The foot team triages within 1 further working day: by " + TriageBy(b.in.On).String() + ".", Source: niceTriage})
		}
		b.add(Action{ID: "refer-foot-team", Kind: Refer, To: FootTeam, Urgency: urgency,
			Says: "Refer to the multidisciplinary foot team: " + lower(urgency.Words()) + ".", Because: reason})
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
			Because: source.Because{{Says: "There is an open ulcer.", Source: ulcerOffload}, ourTime}})
		b.add(Action{ID: "measure-ulcer", Kind: Examine, Urgency: danger.TwoWeeks, To: Practice,
			Says:    "Measure the ulcer again by the same method within 2 weeks, and at 4 weeks judge whether it has lost half its area.",
			Because: source.Because{{Says: "An ulcer is followed until it heals.", Source: healing4}, ourTime}})
		if len(u.Worry) > 0 {
			b.add(Action{ID: "review-ulcer-care", Kind: Examine, Urgency: danger.FourDays, To: FootTeam,
				Says: "Look again at circulation, infection, off-loading and how the plan works at home.", Because: append(slices.Clip(u.Worry), ourTime)})
		}
	}
}

// lower makes the first letter small, for the middle of a sentence.
func lower(words string) string { return strings.ToLower(words[:1]) + words[1:] }

// circulation asks for pressures when pulses are weak or legs ache, and for the
// vascular service when the pressures are abnormal.
func (b *builder) circulation() {
	pad := b.in.PAD
	if pad.PressuresNeeded == known.Yes {
		urgency, reasons := danger.FourWeeks, source.Because{
			{Says: "Pulses are weak or absent, the legs ache on walking, or an index cannot be read.", Source: adaPressures},
			{Says: "With diabetes, toe pressures are taken too, since stiff arteries read falsely high.", Source: adaToe},
		}
		if b.openWound() {
			urgency = danger.FourDays
			reasons = append(reasons, source.Reason{Says: "There is an open wound: pressures are part of its first days.", Source: ulcerPressures})
		}
		b.add(Action{ID: "test-pressures", Kind: Test, To: VascularLab, Urgency: urgency,
			Says: "Measure ankle and toe pressures (ABI and TBI) with waveforms.", Because: append(reasons, ourTime)})
	}
	if pad.Level == perfusion.Likely {
		urgency := danger.FourWeeks
		if critical(pad) {
			urgency = danger.SameDay
		}
		b.add(Action{ID: "refer-vascular", Kind: Refer, To: Vascular, Urgency: urgency,
			Says: "Refer for vascular assessment.", Because: source.Because{
				{Says: "Peripheral artery disease is likely.", Source: adaPressures},
				ourTime,
			}})
	}
	noPressures := !pad.Legs[foot.Right].ABI.Known && !pad.Legs[foot.Left].ABI.Known
	if b.in.Edition == US && b.in.Background.Age >= 50 && pad.PressuresNeeded != known.Yes && noPressures {
		b.add(Action{ID: "consider-abi-screen", Kind: Test, To: VascularLab, Urgency: danger.Routine,
			Says:    "Consider a screening ABI, if none is on record.",
			Because: because("Age 50 or more with diabetes.", adaScreen)})
	}
}

func (b *builder) openWound() bool {
	for i := range b.in.Ulcers {
		if b.in.Ulcers[i].Open == known.Yes {
			return true
		}
	}
	return b.in.Exam.Right.Look.Wound == known.Abnormal || b.in.Exam.Left.Look.Wound == known.Abnormal
}

func critical(pad *perfusion.Result) bool {
	return pad.Legs[foot.Right].Critical == known.Yes || pad.Legs[foot.Left].Critical == known.Yes
}

// referred are the findings that send a person to a foot-care specialist, each
// with the text that says so: the ADA's list, and for dialysis or a transplant
// the NG19 levels; kidney failure before dialysis is ours.
var referred = []struct {
	factor risk.Factor
	source *source.Source
}{
	{risk.LOPS, adaSpecialist}, {risk.PAD, adaSpecialist}, {risk.Deformity, adaSpecialist}, {risk.UlcerHistory, adaSpecialist},
	{risk.Amputation, adaSpecialist}, {risk.CharcotHistory, adaSpecialist}, {risk.KidneyReplacement, niceLevels},
	{risk.ESRD, kidneyAtRisk},
}

// specialist refers the foot at risk for ongoing care; the deadline follows the
// NG19 level of the person, the only one read in a guideline. Smoking alone
// does not refer (see health).
func (b *builder) specialist() {
	f, reasons := b.in.Facts, source.Because(nil)
	for _, r := range referred {
		if f.Is[r.factor] == known.Yes {
			reasons = append(reasons, source.Reason{Says: "There is " + r.factor.Words() + ".", Fact: r.factor.String(), Source: r.source})
		}
	}
	if len(reasons) == 0 {
		return
	}
	urgency, when := danger.EightWeeks, "NG19 moderate risk: first seen within 6 to 8 weeks."
	if _, high := b.in.Nice.ForPlan(); high.Rank >= 2 {
		urgency, when = danger.FourWeeks, "NG19 high risk: first seen within 2 to 4 weeks."
	}
	reasons = append(reasons, source.Reason{Says: when, Source: niceTimes})
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
	b.add(Action{ID: "refer-foot-specialist", Kind: Refer, To: FootSpecialist, Urgency: urgency, Says: says, Because: reasons})
}
