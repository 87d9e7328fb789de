package demo

import (
	"time"

	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/foot"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/when"
)

// part gives a part in the story to n people of the diabetes list who have none
// yet and suit it.
func (g *generator) part(role string, n int, suits func(*patient) bool, play func(p *patient, i int)) {
	for _, p := range g.withDiabetes {
		if n == 0 {
			return
		}
		if p.role != "" || !suits(p) {
			continue
		}
		n--
		p.role = role
		play(p, n)
	}
}

func aged(low, high int) func(*patient) bool {
	return func(p *patient) bool {
		age := p.age(p.g.today)
		return age >= low && age <= high
	}
}

// cast gives out the parts that must be there whatever the dice say. Their
// numbers are ours: amputations, dialysis and open ulcers are rarer than this
// in a practice of the size (NHANES 1999-2004 saw an amputation in 0.5 % of
// people with diabetes of 40 and more), and a demo needs some of each.
func (g *generator) cast() {
	g.castBirths()
	g.castFeet()
	g.castUlcers()
	g.castChart()
	g.castEndings()
}

// castBirths plays with birth dates: around the edges of the measure, and where
// the chart knows less than a day.
func (g *generator) castBirths() {
	year := g.today.Year()
	edges := []when.Day{
		when.Date(year-75, time.January, 1), // 75 at the start: out
		when.Date(year-75, time.January, 2), // turns 75 on the second day: in
		when.Date(year-75, time.December, 30),
		when.Date(year-18, time.January, 1), // 18 at the start: in
		when.Date(year-18, time.January, 2), // out
		when.Date(year-18, time.July, 15),
	}
	g.part("edge of age", len(edges), aged(30, 70), func(p *patient, i int) {
		p.born = edges[i]
		p.person.Birth = when.OnDay(p.born)
		p.feet = newFeet(p)
	})
	g.part("no birth date", 3, aged(40, 74), func(p *patient, _ int) { p.person.Birth = when.Moment{} })
	g.part("birth year", 5, aged(35, 80), func(p *patient, _ int) {
		p.person.Birth = when.MustMoment(p.born.String()[:4])
	})
	g.part("birth month", 2, aged(35, 70), func(p *patient, _ int) {
		p.person.Birth = when.MustMoment(p.born.String()[:7])
	})
}

// castFeet plays what feet can lose.
func (g *generator) castFeet() {
	lose := func(p *patient, s foot.Side, l foot.Loss, on when.Day) {
		p.feet.loss[s], p.feet.lossOn[s] = l, on
	}
	g.part("both legs", 2, aged(48, 72), func(p *patient, i int) {
		p.feet.withLOPS(p)
		lose(p, foot.Right, foot.Loss{Level: foot.BelowKnee}, p.past(6))
		lose(p, foot.Left, foot.Loss{Level: []foot.Level{foot.BelowKnee, foot.AboveKnee}[i]}, p.past(3))
	})
	g.part("one leg", 3, aged(50, 80), func(p *patient, i int) {
		p.feet.withLOPS(p)
		lose(p, foot.Side(i%2), foot.Loss{Level: foot.BelowKnee}, p.past(6))
	})
	g.part("toes", 7, aged(45, 82), func(p *patient, i int) {
		p.feet.withLOPS(p)
		l := []foot.Loss{
			{Level: foot.ToesOnly, Toes: foot.ToesOf(1)}, {Level: foot.ToesOnly, Toes: foot.ToesOf(2)},
			{Level: foot.ToesOnly, Toes: foot.ToesOf(4, 5)}, {Level: foot.ToesOnly, Rays: foot.ToesOf(5)},
			{Level: foot.ToesOnly, Toes: foot.ToesOf(1, 2)}, {Level: foot.Transmetatarsal}, {Level: foot.ToesOnly, Toes: foot.ToesOf(3)},
		}[i]
		lose(p, foot.Side(i%2), l, p.past(5))
	})
	g.part("dialysis", 6, aged(45, 80), func(p *patient, _ int) { p.feet.kidney, p.feet.kidneyOn = onDialysis, p.past(4) })
	g.part("transplant", 2, aged(35, 70), func(p *patient, _ int) { p.feet.kidney, p.feet.kidneyOn = transplanted, p.past(7) })
	g.part("old Charcot", 3, aged(45, 78), func(p *patient, i int) {
		p.feet.withLOPS(p)
		p.feet.charcotOn = p.past(5)
		s := foot.Side(i % 2)
		p.feet.deformities[s] = append(p.feet.deformities[s], exam.RockerBottom)
	})
	g.part("stent", 4, aged(55, 80), func(p *patient, _ int) {
		p.feet.withPAD(p)
		p.feet.padTold, p.feet.stentOn = true, p.past(4)
	})
	g.part("gangrene", 1, aged(55, 80), func(p *patient, _ int) {
		p.feet.withPAD(p)
		p.feet.smoking, p.feet.padTold = exam.CurrentSmoker, true
		p.feet.blackToeOn = onWorkday(g.today-150, g.today-153, g.today-147)
		lose(p, foot.Left, foot.Loss{Level: foot.ToesOnly, Toes: foot.ToesOf(3)}, p.feet.blackToeOn+4)
	})
	g.part("hot foot", 1, aged(45, 70), func(p *patient, _ int) {
		p.feet.withLOPS(p)
		p.feet.hotFootOn = onWorkday(g.yesterday(), g.today-4, g.yesterday())
	})
	g.part("override", 1, func(p *patient) bool { return aged(60, 80)(p) && p.feet.rank(g.today) == 1 },
		func(p *patient, _ int) { p.feet.lowVision, p.feet.helper, p.feet.reach = true, false, false })
}

// withLOPS and withPAD see to it that somebody has the one or the other.
func (f *feet) withLOPS(p *patient) {
	if f.lopsFrom == 0 {
		f.loseFeeling(p)
	}
	f.lopsFrom = min(f.lopsFrom, p.g.from())
}

func (f *feet) withPAD(p *patient) {
	if f.padFrom == 0 {
		f.narrow(p)
	}
}

// castUlcers chooses who has an ulcer within the story: 22 in two years among
// 400 people. Published yearly rates are about 2 % (reference, risk, section 8).
func (g *generator) castUlcers() {
	atRisk := func(p *patient) bool { return aged(42, 85)(p) && p.feet.rank(g.today) >= 1 }
	for _, c := range []struct {
		course course
		n      int
	}{
		{shrinking, 4}, {stalled, 2}, {infected, 1}, {newlySeen, 2}, {ambulance, 1}, {healed, 12},
	} {
		g.part("ulcer", c.n, atRisk, func(p *patient, _ int) {
			if c.course != healed {
				p.feet.withLOPS(p)
			}
			p.feet.episodes = append(p.feet.episodes, newEpisode(p, c.course))
		})
	}
	g.part("ulcer told by letter", 1, atRisk, func(*patient, int) {})
}

// castChart plays with what the chart says of the diabetes.
func (g *generator) castChart() {
	anybody := func(p *patient) bool { return p.age(g.today) >= 20 }
	g.part("E08", 4, anybody, func(p *patient, _ int) { p.feet.family, p.feet.both = "E08", false })
	g.part("E09", 5, anybody, func(p *patient, _ int) { p.feet.family, p.feet.both = "E09", false })
	g.part("E13", 6, anybody, func(p *patient, _ int) { p.feet.family, p.feet.both = "E13", false })
	g.part("SNOMED only", 28, anybody, func(p *patient, _ int) { p.feet.snomed = true })
	g.part("no dates", 12, anybody, func(*patient, int) {})
	g.part("category only", 2, anybody, func(p *patient, _ int) { p.feet.family, p.feet.both = "E11", false })
	g.part("over, nobody says when", 4, anybody, func(*patient, int) {})
	g.part("ended last year", 3, anybody, func(*patient, int) {})
	g.part("ended this year", 2, anybody, func(*patient, int) {})
	g.part("month of onset", 6, anybody, func(*patient, int) {})
	g.part("visits that do not count", 8, aged(25, 73), func(*patient, int) {})
	g.part("two records", 6, anybody, func(*patient, int) {})
}

// castEndings plays those who are not called any more.
func (g *generator) castEndings() {
	g.part("hospice", 5, aged(58, 74), func(*patient, int) {})
	g.part("dead", 9, aged(50, 95), func(p *patient, i int) {
		p.until = g.yesterday() - when.Day(p.between(20, 500))
		if i < 3 { // this year, after a visit where the year is old enough
			p.until = max(g.yesterday()-when.Day(p.between(5, 60)), g.yearStart())
		}
		p.person.Deceased, p.person.DiedAt = known.Yes, when.OnDay(p.until)
		if i == 8 {
			p.person.DiedAt = when.Moment{}
		}
		p.until--
	})
	g.part("left", 6, aged(20, 85), func(p *patient, _ int) {
		p.until -= when.Day(p.between(40, 400))
		p.person.Inactive = true
	})
	dead, gone := 30, 25 // among the others
	for _, p := range g.without {
		switch {
		case dead > 0 && aged(60, 95)(p):
			dead--
			p.role = "dead"
			p.until -= when.Day(p.between(2, 600))
			p.person.Deceased = known.Yes
			if dead > 1 {
				p.person.DiedAt = when.OnDay(p.until + 1)
			}
		case gone > 0 && aged(20, 70)(p):
			gone--
			p.role = "left"
			p.until -= when.Day(p.between(40, 600))
			p.person.Inactive = true
		}
	}
}
