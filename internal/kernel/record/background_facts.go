package record

import (
	"strconv"
	"strings"

	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/foot"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/term"
	"tengram/internal/kernel/when"
)

// proof is the newest thing that says something.
type proof struct {
	is   bool
	at   when.Moment
	from string
}

// gathered is what was found so far for one background.
type gathered struct {
	on when.Day
	// proofs and answers are by bit of meaning; answers are the newest about
	// what a person has now.
	proofs  [32]proof
	answers [32]answered
	// egfrAbove, notSmoking and noWound are the newest that say the opposite.
	egfrAbove, notSmoking, noWound proof
	codedLoss                      []codedLoss
	seenLoss                       [2]seenLoss
	diabetesSince                  when.Day
}

type codedLoss struct {
	from  when.Day
	sides sides
	loss  foot.Loss
}

type seenLoss struct {
	on   when.Day
	loss foot.Loss
}

type answered struct {
	on     when.Day
	answer known.Answer
}

// present are the meanings that are over when the condition is.
const present = meansPAD | meansNeuropathy | meansLowVision | meansKidneyFailure | meansDialysis |
	meansTransplant | meansEGFRBelow30 | meansSmoker | meansUlcer

// recentDialysis is how many days a dialysis session speaks for dialysis now:
// sessions come several times a week (our proposal).
const recentDialysis = 92

// fact takes in one coded fact.
func (g *gathered) fact(f *Fact) {
	start, last := f.Start.Days(nil)
	if f.Standing != Stands || start > g.on {
		return
	}
	switch f.Kind {
	case Observation:
		g.observation(f)
		return
	case Condition, Procedure, Encounter:
	default:
		return
	}
	over := f.Kind == Condition && endedBy(f, g.on)
	for _, c := range f.Codes {
		says, ok := meaningOf(c)
		if !ok {
			continue
		}
		if says.means&meansDiabetes != 0 && last != 0 && last <= g.on && (g.diabetesSince == 0 || last < g.diabetesSince) {
			g.diabetesSince = last
		}
		g.coded(f, c, says, over)
	}
}

func (g *gathered) coded(f *Fact, c term.Code, says coded, over bool) {
	start, _ := f.Start.Days(nil)
	means := says.means
	if means&meansUlcer != 0 && (over || start < g.on) {
		means |= meansUlcerHistory // an ulcer before today, healed or not
	}
	if over {
		means &^= present
	}
	if f.Kind == Procedure && start.AddDays(recentDialysis) < g.on {
		means &^= meansDialysis
	}
	if means&meansPastSmoker != 0 {
		g.notSmoking.take(f.Start, c, "")
	}
	for rest := means; rest != 0; rest &= rest - 1 {
		g.proofs[rest.bit()].take(f.Start, c, "")
	}
	if means&meansAmputation != 0 && !says.loss.IsZero() {
		on := says.sides
		for _, site := range f.Sites {
			if site.System == term.SNOMED {
				on |= sideCodes[site.Code]
			}
		}
		g.codedLoss = append(g.codedLoss, codedLoss{start, on, says.loss})
	}
}

// endedBy reports whether a condition had surely ended on a day.
func endedBy(f *Fact, on when.Day) bool {
	_, last := f.End.Days(nil)
	if f.Ended == known.No || f.Ended == known.Unknown && f.End.IsZero() {
		return false
	}
	return last <= on
}

// observation reads the smoking status and the eGFR.
func (g *gathered) observation(f *Fact) {
	if !f.Value.Given {
		return
	}
	if codesSmoking.HasAny(f.Codes) {
		for _, c := range f.Value.Codes {
			switch says, _ := meaningOf(c); says.means {
			case meansSmoker:
				g.proofs[meansSmoker.bit()].take(f.Start, c, "")
			case meansPastSmoker:
				g.notSmoking.take(f.Start, c, "")
			}
		}
	}
	if codesEGFR.HasAny(f.Codes) {
		switch below, ok := egfrBelow30(&f.Value); {
		case ok && below:
			g.proofs[meansEGFRBelow30.bit()].take(f.Start, term.Code{}, "eGFR "+f.Value.Comparator+f.Value.Number)
		case ok:
			g.egfrAbove.take(f.Start, term.Code{}, "eGFR "+f.Value.Comparator+f.Value.Number)
		}
	}
}

// egfrBelow30 answers for one value in mL/min, with or without the body
// surface; ok is false where the value leaves it open, such as "<60".
func egfrBelow30(v *Value) (below, ok bool) {
	if v.Unit != "" && !strings.HasPrefix(strings.ToLower(v.Unit), "ml/min") {
		return false, false
	}
	n, err := strconv.ParseFloat(v.Number, 64)
	if err != nil || n < 0 {
		return false, false
	}
	switch v.Comparator {
	case "":
		return n < 30, true
	case "<":
		return true, n <= 30
	case "<=":
		return true, n < 30
	case ">", ">=":
		return false, n >= 30
	}
	return false, false
}

// take keeps the newest proof; of two of one time the one that sorts last, so
// that the order of facts changes nothing.
func (p *proof) take(at when.Moment, c term.Code, words string) {
	if p.is {
		newer := at.Compare(p.at)
		if newer < 0 {
			return
		}
		if words == "" {
			words = codeWords(c)
		}
		if newer == 0 && words <= p.from {
			return
		}
	} else if words == "" {
		words = codeWords(c)
	}
	*p = proof{true, at, words}
}

func codeWords(c term.Code) string {
	if c.System == term.SNOMED {
		return "SNOMED " + c.Code
	}
	return c.Value()
}

// item is what the newest proof says.
func (g *gathered) item(m meaning) exam.Item {
	p := g.proofs[m.bit()]
	if !p.is {
		return exam.Item{}
	}
	date := p.at.String()
	if len(date) > 10 && p.at.Precision() > when.DayOnly {
		date = date[:10]
	}
	if date == "" {
		date = "undated"
	}
	return exam.Item{Is: known.Yes, From: p.from + ", " + date}
}

// newer is an item only where nothing newer says the opposite.
func (g *gathered) newer(m meaning, opposite proof) exam.Item {
	if p := g.proofs[m.bit()]; opposite.is && opposite.at.Compare(p.at) > 0 {
		return exam.Item{}
	}
	return g.item(m)
}

// exam takes in one signed exam of an earlier day.
func (g *gathered) exam(d *exam.Draft, day when.Day) {
	say := func(m meaning, is bool, words string) {
		if is {
			g.proofs[m.bit()].take(when.OnDay(day), term.Code{}, words)
		}
	}
	a := &d.Ask
	const told = "told at an exam"
	say(meansUlcerHistory, a.UlcerHistory == known.AnswerYes, told)
	say(meansUlcerHistory, len(d.Ulcers) > 0, "an ulcer at an exam")
	say(meansAmputation, a.AmputationHistory == known.AnswerYes, told)
	say(meansCharcot, a.CharcotHistory == known.AnswerYes, told)
	say(meansRevascularised, a.Revascularised == known.AnswerYes, told)
	say(meansPAD, a.PADDiagnosed == known.AnswerYes, told)
	say(meansRetinopathy, a.Retinopathy == known.AnswerYes, told)
	say(meansTransplant, a.Transplant == known.AnswerYes, told)
	g.answer(meansLowVision, day, a.LowVision)
	g.answer(meansKidneyFailure, day, a.KidneyFailure)
	g.answer(meansDialysis, day, a.Dialysis)
	if a.Smoking == exam.CurrentSmoker {
		say(meansSmoker, true, told)
	} else if !a.Smoking.IsZero() {
		g.notSmoking.take(when.OnDay(day), term.Code{}, told)
	}
	whole := true
	for _, side := range foot.Sides {
		f := d.Foot(side)
		whole = whole && (f.Look.Wound == known.Normal || f.Loss.FootGone())
		say(meansAmputation, f.Loss.Any() == known.Yes, "seen at an exam")
		say(meansDeformity, len(f.Look.Deformities) > 0 || f.Look.Shape == known.Abnormal, "seen at an exam")
		if !f.Loss.IsZero() && day >= g.seenLoss[side].on {
			g.seenLoss[side] = seenLoss{day, f.Loss}
		}
	}
	for i := range d.Ulcers {
		open := d.Ulcers[i].Open() == known.Yes
		say(meansUlcer, open, "open at an exam")
		whole = whole && !open
	}
	if whole {
		g.noWound.take(when.OnDay(day), term.Code{}, "no wound at an exam")
	}
}

// answer keeps the newest yes or no about what a person has now.
func (g *gathered) answer(m meaning, day when.Day, a known.Answer) {
	at := &g.answers[m.bit()]
	if a.Tri().Known() && day >= at.on {
		*at = answered{day, a}
	}
}

// settleAnswers counts the newest answers where they are yes; a newest no is
// only silence, and takes nothing from the codes.
func (g *gathered) settleAnswers() {
	for bit := range g.answers {
		if a := g.answers[bit]; a.answer == known.AnswerYes {
			g.proofs[bit].take(when.OnDay(a.on), term.Code{}, "told at an exam")
		}
	}
}
