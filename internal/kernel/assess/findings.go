package assess

import (
	"strconv"
	"strings"

	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/foot"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/perfusion"
	"tengram/internal/kernel/risk"
	"tengram/internal/kernel/source"
)

// findings lists what is abnormal or in doubt, in the order of the hands: ask,
// look, feel, test.
func findings(d *exam.Draft, bg *exam.Background, a *Assessment) []Finding {
	c := &collector{out: make([]Finding, 0, 8)}
	c.asked(d, bg)
	for _, s := range foot.Sides {
		c.looked(s, d.Foot(s))
	}
	for _, s := range foot.Sides {
		c.felt(s, d.Foot(s), &a.PAD.Legs[s])
	}
	for _, s := range foot.Sides {
		c.tested(s, a)
	}
	if a.PAD.Level >= perfusion.Suspected {
		c.add(Finding{ID: "pad", Says: "Peripheral artery disease is " + a.PAD.Level.String() + ".", Is: known.Yes, Because: a.PAD.Because})
	}
	return c.out
}

type collector struct{ out []Finding }

func (c *collector) add(f Finding) { c.out = append(c.out, f) }

func (c *collector) one(id string, s foot.Side, says, fact string) {
	c.add(Finding{ID: id, Sides: []foot.Side{s}, Says: says, Is: known.Yes,
		Because: source.Because{{Says: says, Fact: s.String() + "." + fact}}})
}

func (c *collector) asked(d *exam.Draft, bg *exam.Background) {
	a := &d.Ask
	ask := func(id, says, fact string, answer known.Answer, item exam.Item) {
		if either(answer, item) != known.Yes {
			return
		}
		c.add(Finding{ID: id, Says: says, Is: known.Yes, Because: source.Because{fromRecord(says, fact, item)}})
	}
	none := exam.Item{}
	ask("ulcer-history", "A foot ulcer in the past.", "ask.ulcer-history", a.UlcerHistory, bg.UlcerHistory)
	ask("amputation-history", "An amputation in the past.", "ask.amputation-history", a.AmputationHistory, bg.Amputation)
	ask("charcot-history", "A Charcot foot in the past.", "ask.charcot-history", a.CharcotHistory, bg.CharcotHistory)
	ask("revascularised", "Leg artery surgery or stent in the past.", "ask.revascularised", a.Revascularised, bg.Revascularised)
	ask("kidney-failure", "Kidney failure.", "ask.kidney-failure", a.KidneyFailure, bg.KidneyFailure)
	ask("dialysis", "On dialysis.", "ask.dialysis", a.Dialysis, bg.Dialysis)
	ask("low-vision", "Cannot see the own feet well.", "ask.low-vision", a.LowVision, bg.LowVision)
	ask("cannot-reach", "Cannot reach the own feet.", "ask.cannot-reach", a.CannotReach, none)
	ask("numbness", "Numbness of the feet.", "ask.numbness", a.Numbness, none)
	ask("neuropathic-pain", "Burning, tingling or shooting pain.", "ask.neuropathic-pain", a.Pain, none)
	ask("claudication", "Leg pain on walking.", "ask.claudication", a.Claudication, none)
	ask("rest-pain", "Foot pain at rest.", "ask.rest-pain", a.RestPain, none)
	if a.Smoking == exam.CurrentSmoker {
		c.add(Finding{ID: "smoking", Says: "Smokes.", Is: known.Yes, Because: source.Because{{Says: "Smokes now.", Fact: "ask.smoking"}}})
	}
}

func (c *collector) looked(s foot.Side, f *exam.Foot) {
	if f.Loss.Any() == known.Yes {
		c.one("amputated", s, "Amputation: "+lossWords(f.Loss)+".", "loss")
	}
	l := &f.Look
	for i := range l.Lesions {
		id := "skin"
		if l.Lesions[i].Kind.PreUlcerative() {
			id = "pre-ulcerative-lesion"
		}
		c.one(id, s, strings.ReplaceAll(sentence(l.Lesions[i].Kind.String()), "-", " ")+", "+l.Lesions[i].Place.Words()+".", "look.lesions")
	}
	if l.Skin == known.Abnormal && len(l.Lesions) == 0 {
		c.one("skin", s, "Skin not normal; what it is was not recorded.", "look.skin")
	}
	if l.Wound == known.Abnormal {
		c.one("open-wound", s, "An open wound.", "look.wound")
	}
	if l.Gangrene.Any() == known.Yes {
		c.one("gangrene", s, "Gangrene: "+l.Gangrene.String()+".", "look.gangrene")
	}
	if l.Nails == known.Abnormal || len(l.NailKind) > 0 {
		c.one("nails", s, "Nails not normal.", "look.nails")
	}
	for _, k := range l.Deformities {
		c.one("deformity", s, strings.ReplaceAll(sentence(k.String()), "-", " ")+".", "look.deformities")
	}
	if l.Shape == known.Abnormal && len(l.Deformities) == 0 {
		c.one("deformity", s, "Deformity; which was not recorded.", "look.shape")
	}
	if l.Mobility == known.Abnormal {
		c.one("limited-movement", s, "Limited movement of ankle or great toe joint.", "look.mobility")
	}
	if l.Redness == known.AnswerYes {
		c.one("redness", s, "Redness.", "look.redness")
	}
}

func (c *collector) felt(s foot.Side, f *exam.Foot, leg *perfusion.LegResult) {
	arteries := &f.Feel.Arteries
	for _, p := range []struct {
		name, field string
		pulse       perfusion.Pulse
	}{{"dorsalis pedis", "dorsalis-pedis", arteries.DP}, {"posterior tibial", "posterior-tibial", arteries.PT}} {
		if p.pulse.Diminished() == known.Yes {
			c.one("pulse", s, sentence(p.name)+" pulse "+strings.ReplaceAll(p.pulse.String(), "-", " ")+".", "feel.arteries."+p.field)
		}
	}
	if leg.ABI.Known && leg.ABI.Band != "normal" {
		c.one("abi", s, "Ankle-brachial index "+hundredths(leg.ABI.Value)+", "+leg.ABI.Band+".", "feel.arteries")
	}
	if leg.TBI.Known && leg.TBI.Band != "normal" {
		c.one("tbi", s, "Toe-brachial index "+hundredths(leg.TBI.Value)+", "+leg.TBI.Band+".", "feel.arteries.toe-pressure")
	}
	if f.Feel.Oedema == known.Abnormal {
		c.one("oedema", s, "Oedema.", "feel.oedema")
	}
	if f.Feel.Warm == known.AnswerYes {
		c.one("warm", s, "Warmer than the other foot.", "feel.warm")
	}
	if f.Feel.Swollen == known.AnswerYes {
		c.one("swollen", s, "More swollen than the other foot.", "feel.swollen")
	}
	if f.Feel.SuddenlyCold == known.AnswerYes {
		c.one("suddenly-cold", s, "Suddenly cold, pale or painful.", "feel.suddenly-cold")
	}
}

func (c *collector) tested(s foot.Side, a *Assessment) {
	if f := &a.LOPS.Feet[s]; f.LOPS == known.Yes {
		c.add(Finding{ID: "lops", Sides: []foot.Side{s}, Says: "Loss of protective sensation.", Is: known.Yes, Because: a.LOPS.Because})
	}
}

// hundredths writes 79 as 0.79.
func hundredths(v int) string {
	s := strconv.Itoa(v % 100)
	if len(s) == 1 {
		s = "0" + s
	}
	return strconv.Itoa(v/100) + "." + s
}

func sentence(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}

func lossWords(l foot.Loss) string {
	if l.Level != foot.ToesOnly {
		return strings.ReplaceAll(l.Level.String(), "-", " ")
	}
	words := "toe"
	for i, n := range (l.Toes | l.Rays).List() {
		if i > 0 {
			words += ","
		}
		words += " " + strconv.Itoa(n)
	}
	return words
}

// missing joins what is missing for the risk with what is missing for the
// measure and for a comprehensive exam.
func missing(d *exam.Draft, a *Assessment) []exam.Missing {
	ms := []exam.Missing{}
	r := a.Risk()
	settle := r.SettledBy
	if r.Cautious != nil && len(r.Cautious.SettledBy) > 0 {
		settle = r.Cautious.SettledBy
	}
	for _, f := range settle {
		fields := []string{factorFields[f]}
		switch f {
		case risk.LOPS:
			fields = a.LOPS.SettledBy
		case risk.PAD:
			fields = a.PAD.SettledBy
		case risk.Deformity:
			fields = openOnFeet(d, ".look.shape", func(f *exam.Foot) bool { return !f.Look.Shape.Tested() })
		case risk.Callus:
			fields = openOnFeet(d, ".look.skin", func(f *exam.Foot) bool { return f.Look.Skin != known.Normal && len(f.Look.Lesions) == 0 })
		}
		if len(fields) == 0 {
			fields = []string{f.String()}
		}
		for _, field := range fields {
			ms = append(ms, exam.Missing{Purpose: exam.ForRisk, Field: field, Says: f.Words()})
		}
	}
	ms = append(ms, d.MissingForMeasure()...)
	return append(ms, d.MissingForComprehensive()...)
}

// openOnFeet names a field of each foot that is there and has it open.
func openOnFeet(d *exam.Draft, field string, open func(*exam.Foot) bool) []string {
	var fields []string
	for _, s := range foot.Sides {
		if f := d.Foot(s); !f.Loss.FootGone() && open(f) {
			fields = append(fields, s.String()+field)
		}
	}
	return fields
}

var factorFields = [risk.FactorCount]string{
	risk.UlcerHistory: "ask.ulcer-history", risk.Amputation: "ask.amputation-history",
	risk.ESRD: "ask.kidney-failure", risk.KidneyReplacement: "ask.dialysis", risk.EGFRBelow30: "ask.kidney-disease",
	risk.CharcotHistory: "ask.charcot-history", risk.SelfCareDifficulty: "ask.cannot-reach",
}

// disagreement says where another system would see the person at another time
// than the leading one, and where another definition finds LOPS otherwise.
// Differences are shown, never averaged.
func disagreement(a *Assessment) string {
	lead := a.Risk()
	leadLow, leadHigh := lead.ForPlan()
	var b strings.Builder
	for i := range a.Risks[1:] {
		r := &a.Risks[i+1]
		low, high := r.ForPlan()
		if low.Recall.IsZero() || high.Recall.IsZero() || !apart(leadLow, leadHigh, low, high) {
			continue
		}
		if leadHigh.Rank == 0 && low.Recall.MinMonths > leadHigh.Recall.MaxMonths {
			continue // a system that waits longer over a foot without findings is no news
		}
		b.WriteString(r.Name + " says " + spanWords(low, high) + ". ")
	}
	for i := range a.OtherLOPS {
		if o := &a.OtherLOPS[i]; o.LOPS.Known() && a.LOPS.LOPS.Known() && o.LOPS != a.LOPS.LOPS {
			b.WriteString("Loss of protective sensation is \"" + o.LOPS.String() + "\" by " + o.Name + ". ")
		}
	}
	if b.Len() == 0 {
		return ""
	}
	return lead.Name + " says " + spanWords(leadLow, leadHigh) + ". " + strings.TrimSpace(b.String())
}

// apart reports that the recall intervals of two results do not overlap.
func apart(aLow, aHigh, bLow, bHigh risk.Category) bool {
	return aHigh.Recall.MinMonths > bLow.Recall.MaxMonths || bHigh.Recall.MinMonths > aLow.Recall.MaxMonths
}

func spanWords(low, high risk.Category) string {
	words := categoryWords(low)
	if low.Rank != high.Rank {
		words += " to " + categoryWords(high)
	}
	return words
}

func categoryWords(c risk.Category) string {
	w := c.Code
	if c.Name != "" && c.Name != c.Code {
		w += " (" + c.Name + ")"
	}
	if c.Recall.MaxMonths > 0 {
		w += ", every " + monthsWords(c.Recall)
	}
	return w
}

func monthsWords(i risk.Interval) string {
	if i.MinMonths == i.MaxMonths {
		return strconv.Itoa(i.MaxMonths) + " months"
	}
	return strconv.Itoa(i.MinMonths) + " to " + strconv.Itoa(i.MaxMonths) + " months"
}
