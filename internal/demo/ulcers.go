package demo

import (
	"math"

	"tengram/internal/kernel/foot"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/record"
	"tengram/internal/kernel/term"
	"tengram/internal/kernel/when"
	"tengram/internal/kernel/wound"
)

// course is how an ulcer goes.
type course uint8

const (
	// healed closes within the story; ambulance does too, after an infection
	// with fever.
	healed course = iota
	ambulance
	// shrinking, stalled and infected are open today, newlySeen was found in
	// the last days.
	shrinking
	stalled
	infected
	newlySeen
)

// episode is one ulcer from the first look to the last.
type episode struct {
	course course
	side   foot.Side
	place  foot.Place
	start  when.Day
	// healed is zero while it is open.
	healed when.Day
	looks  []look
	depth  wound.Depth
}

// look is the ulcer on one day.
type look struct {
	day           when.Day
	length, width int // mm
	infection     wound.Infection
	vitals        wound.Systemic
	depth         wound.Depth
	closed        bool
}

// calm are signs that were looked for and not found.
var calm = wound.Infection{
	Swelling: known.AnswerNo, ErythemaMM: known.Value(0), Tenderness: known.AnswerNo, Warmth: known.AnswerNo,
	Pus: known.AnswerNo, Deep: known.AnswerNo, Bone: known.AnswerNo, Spreading: known.AnswerNo, Crepitus: known.AnswerNo,
}

func newEpisode(p *patient, c course) *episode {
	g, d := p.g, p.dice
	e := &episode{course: c, side: foot.Side(d.IntN(2)), depth: pick(d, []wound.Depth{wound.SkinOnly, wound.SkinOnly, wound.Subcutis})}
	e.place = pick(d, []foot.Place{foot.Hallux, foot.MTH1, foot.MTH1, foot.MTH3, foot.MTH5, foot.Heel, foot.Toe2, foot.Toe5Top})
	weeks := 0
	switch c {
	case shrinking:
		e.start = g.today - when.Day(d.between(20, 62))
	case stalled:
		e.start = g.today - when.Day(d.between(64, 100))
	case infected:
		e.start = g.today - when.Day(d.between(24, 34))
	case newlySeen:
		e.start = g.today - when.Day(d.between(1, 5))
	default:
		e.start = g.programme() + when.Day(d.between(30, 420))
		weeks = d.between(5, 14)
	}
	e.start = onWorkday(e.start, e.start-3, g.yesterday())
	e.follow(p, weeks)
	return e
}

// follow looks at the ulcer every week or two, until it is closed after so many
// weeks, or until yesterday.
func (e *episode) follow(p *patient, weeks int) {
	length := float64(p.between(9, 26))
	ratio := 0.55 + 0.4*p.Float64()
	for day := e.start; day != 0 && day <= p.g.yesterday(); day = e.next(p, day) {
		age := float64(day-e.start) / 7
		l := look{day: day, infection: calm, depth: e.depth, vitals: well(p)}
		size := length * math.Sqrt(e.share(age, weeks))
		l.length, l.width = max(1, int(math.Round(size))), max(1, int(math.Round(size*ratio)))
		e.worsen(&l, len(e.looks))
		if weeks > 0 && age >= float64(weeks) {
			l.closed, l.depth, l.infection = true, wound.Closed, calm
			e.healed = day
		}
		e.looks = append(e.looks, l)
		if l.closed {
			return
		}
	}
}

// next is the day of the next look.
func (e *episode) next(p *patient, day when.Day) when.Day {
	gap := when.Day(7)
	if len(e.looks) > 4 || p.chance(0.3) {
		gap = 14
	}
	return onWorkday(day+gap, day+gap-2, day+gap+2)
}

// share is what is left of the first area after so many weeks: healing that is
// on track loses half in four weeks (Sheehan 2003, reference, wounds, section
// 7.2), which is 16 % a week.
func (e *episode) share(age float64, weeks int) float64 {
	switch e.course {
	case stalled:
		return math.Pow(0.975, age)
	case infected:
		return math.Pow(1.07, age)
	case ambulance:
		if age < 3 {
			return math.Pow(1.1, age)
		}
		return math.Pow(0.78, age-3)
	}
	if weeks > 0 && weeks > 9 {
		return math.Pow(0.84, age)
	}
	return math.Pow(0.76, age)
}

// worsen puts an infection into two of the courses.
func (e *episode) worsen(l *look, n int) {
	switch {
	case e.course == infected && n >= 1:
		l.depth = wound.Subcutis
		l.infection.Swelling, l.infection.Warmth, l.infection.Pus = known.AnswerYes, known.AnswerYes, known.AnswerYes
		l.infection.ErythemaMM = known.Value(14 + 5*n)
	case e.course == ambulance && n == 2:
		l.depth = wound.Subcutis
		l.infection.Swelling, l.infection.Warmth, l.infection.Tenderness = known.AnswerYes, known.AnswerYes, known.AnswerYes
		l.infection.ErythemaMM, l.infection.Spreading = known.Value(65), known.AnswerYes
		l.vitals = wound.Systemic{
			TemperatureC: known.TenthsOf(388), HeartRate: known.Value(114), RespiratoryRate: known.Value(22), Unwell: known.AnswerYes,
		}
	}
}

func well(p *patient) wound.Systemic {
	return wound.Systemic{
		TemperatureC: known.TenthsOf(p.between(362, 372)), HeartRate: known.Value(p.between(62, 86)),
		RespiratoryRate: known.Value(p.between(12, 17)), Unwell: known.AnswerNo,
	}
}

// ulcer is the ulcer as the exam of a look writes it.
func (e *episode) ulcer(n int) wound.Ulcer {
	l := e.looks[n]
	u := wound.Ulcer{
		ID: "u1", Side: e.side, Place: e.place, Since: when.OnDay(e.start - 4), Depth: l.depth,
		ProbeToBone: known.AnswerNo, Infection: l.infection, Healed: known.AnswerNo,
	}
	if l.closed {
		u.Healed = known.AnswerYes
		return u
	}
	u.Size = wound.Size{LengthMM: known.Value(l.length), WidthMM: known.Value(l.width), Method: wound.Ellipse}
	return u
}

// ulcers writes the ulcers into the charts, and their visits: the first look is
// a whole exam, the others are about the wound.
func (g *generator) ulcers() {
	for _, p := range g.withDiabetes {
		for _, e := range p.feet.episodes {
			for i, l := range e.looks {
				kind := woundOnly
				if i == 0 || l.closed {
					kind = whole
				}
				p.plan = append(p.plan, planned{day: l.day, kind: kind, episode: e, look: i})
				p.come(l.day)
			}
			p.ulcerCodes(e)
		}
	}
}

// ulcerCodes are diabetes with foot ulcer and the L97 code of site, side and
// depth; the fifth character is 1 right, 2 left, the sixth 1 skin, 2 fat.
func (p *patient) ulcerCodes(e *episode) {
	site, depth := "L97.5", "1"
	if e.place == foot.Heel {
		site = "L97.4"
	}
	if e.depth == wound.Subcutis {
		depth = "2"
	}
	side := []string{"1", "2"}[e.side]
	codes := [][]term.Code{icd(site + side + depth)}
	if p.coded() {
		codes = append(codes, icd(p.feet.family+".621"))
	}
	for _, c := range codes {
		f := p.condition(c, "Foot ulcer", e.start)
		f.Category = "encounter-diagnosis"
		if e.healed != 0 {
			f.End, f.Ended = when.OnDay(e.healed), known.Yes
		}
	}
	if e.course == ambulance && len(e.looks) > 2 {
		day := e.looks[2].day
		p.stay(day, day+5)
		p.add(record.Fact{
			Kind: record.Medication, Text: "Oral antibiotic", Start: when.OnDay(day + 5), Ended: known.Yes,
		})
	}
}
