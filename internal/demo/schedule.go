package demo

import (
	"cmp"
	"math"
	"slices"

	"tengram/internal/kernel/measure"
	"tengram/internal/kernel/record"
	"tengram/internal/kernel/when"
)

// kind is how much of an exam is done.
type kind uint8

const (
	whole kind = iota
	// woundOnly is a look at an ulcer.
	woundOnly
	// The incomplete ones: the monofilament was refused, or time ran out.
	refused
	pulsesOnly
	lookOnly
	filamentOnly
	// elsewhere is an exam in an older system, of which the chart has some of
	// the three codes.
	elsewhere
)

// planned is one day on which feet are examined.
type planned struct {
	day     when.Day
	kind    kind
	episode *episode
	look    int
	// codes are those that came from elsewhere.
	codes []string
}

// weight says which of two plans for one day stands: an ulcer's before a whole
// exam before a short one.
func (x planned) weight() int {
	if x.episode != nil {
		return -1
	}
	return int(x.kind)
}

// Where the programme stands, half way: of those whom the measure counts, 62 %
// have had a whole exam this year. NHANES 2005-2018 has 70.9 % of people of 18
// to 74 with diabetes say that a professional checked their feet in a year
// (nhanes-foot-checks, weighted), and a check is less than the measure asks.
const covered = 0.62

// Of the people at moderate or high risk, this many are past the end of their
// interval, and this many were never examined.
const (
	overdueAtRisk = 38
	neverAtRisk   = 4
)

// schedule plans the exams, so that the programme stands where it should on any
// day: people at higher risk first, since their intervals are given, then as
// many of the others as the rate asks.
func (g *generator) schedule() {
	atRisk, others := g.split()
	g.castProgramme(atRisk)
	for _, p := range atRisk {
		p.planAtRisk()
	}
	g.planOthers(others)
	for _, p := range g.withDiabetes {
		p.planSpecial()
		slices.SortStableFunc(p.plan, func(a, b planned) int {
			return cmp.Or(cmp.Compare(a.day, b.day), cmp.Compare(a.weight(), b.weight()))
		})
		p.plan = slices.CompactFunc(p.plan, func(a, b planned) bool { return a.day == b.day })
		for _, x := range p.plan {
			p.come(x.day)
		}
	}
}

// split parts those at moderate or high risk, who are called, from the others.
func (g *generator) split() (atRisk, others []*patient) {
	for _, p := range g.withDiabetes {
		switch {
		case p.role == "both legs":
			p.plan = append(p.plan, planned{day: p.comeIn(g.programme(), p.until)})
		case p.feet.rank(g.today) >= 2 && p.called():
			atRisk = append(atRisk, p)
		default:
			others = append(others, p)
		}
	}
	return atRisk, others
}

func (p *patient) called() bool {
	return p.role != "dead" && p.role != "left" && p.role != "hospice"
}

// castProgramme chooses whom the programme has missed among those at risk.
func (g *generator) castProgramme(atRisk []*patient) {
	late, never := overdueAtRisk, neverAtRisk
	for _, p := range atRisk {
		f := p.feet
		switch {
		case len(f.episodes) > 0 || p.role == "hot foot" || p.role == "gangrene" || p.role == "one leg":
		case never > 0:
			never--
			f.never = true
		case late > 0:
			late--
			f.overdue = true
		}
	}
}

// planAtRisk sets the last whole exam inside the interval, or past its end, and
// earlier ones in about that interval before.
func (p *patient) planAtRisk() {
	f, g := p.feet, p.g
	if f.never {
		return
	}
	longest := 30 * months(f.rank(g.today))
	last := g.today - when.Day(p.between(3, longest-6))
	if f.overdue {
		last = g.today - when.Day(longest+p.between(12, 150))
	}
	for day := last; day > g.programme(); day -= when.Day(longest + p.between(-12, 70)) {
		on := onWorkday(day, day-3, min(day+2, p.until))
		if on == 0 || f.ulcerAround(on) {
			continue
		}
		p.plan = append(p.plan, planned{day: on})
		if p.chance(0.12) {
			return
		}
	}
}

// ulcerAround reports a day within an ulcer's course, on which the looks at it
// are the exams.
func (f *feet) ulcerAround(on when.Day) bool {
	for _, e := range f.episodes {
		if on >= e.start && (e.healed == 0 || on <= e.healed) {
			return true
		}
	}
	return false
}

// planOthers examines as many as the rate asks among those whom the measure
// counts, and most of the people whom it does not count.
func (g *generator) planOthers(others []*patient) {
	first, counted, met := g.yearStart(), 0, 0
	for _, p := range g.withDiabetes {
		if p.counts() {
			counted++
			if p.examinedSince(first) {
				met++
			}
		}
	}
	missing := int(math.Round(covered*float64(counted))) - met
	short := []kind{refused, pulsesOnly, pulsesOnly, lookOnly, refused, filamentOnly, elsewhere, elsewhere}
	shorts := 0
	for _, p := range others {
		switch {
		case !p.counts():
			if day := p.visitIn(g.today-350, p.until); day != 0 && p.chance(0.7) {
				p.plan = append(p.plan, planned{day: day})
				p.planBefore(day-200, 0)
			} else if p.chance(0.7) {
				p.planBefore(g.today, 0.3)
			}
		case missing > 0:
			missing--
			day := p.visitIn(first, p.until)
			p.plan = append(p.plan, planned{day: day})
			if p.chance(0.34) {
				p.planBefore(day-270, 0.3)
			}
		case p.chance(0.32): // this year's visit was not enough
			p.plan = append(p.plan, planned{day: p.visitIn(first, p.until), kind: short[shorts%len(short)], codes: g.someCodes(shorts)})
			shorts++
			if p.chance(0.5) {
				p.planBefore(first, 0.4)
			}
		case p.chance(0.88):
			p.planBefore(first, 0.4)
		}
	}
}

// planBefore plans one exam before a day, at a visit if there is one, and by
// chance another before that. Most exams of the programme's first months came
// from the older system.
func (p *patient) planBefore(day when.Day, again float64) {
	g := p.g
	on := p.visitIn(g.from()+20, min(day-1, p.until))
	if on == 0 || on < p.feet.since {
		return
	}
	x := planned{day: on}
	if on < g.programme() || (on < g.programme()+200 && p.chance(0.6)) {
		x.kind, x.codes = elsewhere, []string{visualExam, filamentExam, pulseExam}
		if p.chance(0.25) {
			x.codes = x.codes[:p.between(1, 2)]
		}
	} else if p.chance(0.12) {
		x.kind = pick(p.dice, []kind{refused, pulsesOnly, lookOnly})
	}
	p.plan = append(p.plan, x)
	if p.chance(again) {
		p.planBefore(on-240, 0)
	}
}

// someCodes are one or two of the three.
func (g *generator) someCodes(n int) []string {
	return [][]string{{visualExam}, {visualExam, pulseExam}, {filamentExam}, {visualExam, filamentExam}}[n/7%4]
}

// visitIn is the day of a visit between two days that counts for the measure,
// by chance, or zero.
func (p *patient) visitIn(low, high when.Day) when.Day {
	var days []when.Day
	for _, v := range p.comes {
		if v.day >= low && v.day <= high && v.code != emergency && v.class == "AMB" {
			days = append(days, v.day)
		}
	}
	if len(days) == 0 {
		return 0
	}
	return pick(p.dice, days)
}

func (p *patient) examinedSince(day when.Day) bool {
	return slices.ContainsFunc(p.plan, func(x planned) bool { return x.kind == whole && x.day >= day })
}

// counts reports whether the measure counts the person this year, by the
// measure's own rule on the chart as it will be.
func (p *patient) counts() bool {
	rec := record.Record{Person: p.person, Facts: slices.Concat(p.facts, p.encounters())}
	for _, x := range p.plan {
		if !slices.ContainsFunc(p.comes, func(v visit) bool { return v.day == x.day }) {
			rec.Facts = append(rec.Facts, p.encounter(visit{day: x.day, minutes: 20, code: officeShort}))
		}
	}
	r := measure.FootExam().Evaluate(&rec, measure.Context{Period: measure.Year(p.g.today.Year()), Zone: p.g.zone})
	return r.Denominator && !r.DenominatorExclusion
}

// letterDays is how long ago a letter told of an ulcer that nobody here has seen.
const letterDays = 6

// planSpecial are the days that a part asks for.
func (p *patient) planSpecial() {
	f := p.feet
	if f.blackToeOn != 0 {
		p.plan = append(p.plan, planned{day: f.blackToeOn})
		p.stay(f.blackToeOn, f.blackToeOn+9)
	}
	if f.hotFootOn != 0 {
		p.plan = append(p.plan, planned{day: f.hotFootOn})
	}
	if p.role == "override" && !p.examinedSince(p.g.today-120) {
		p.plan = append(p.plan, planned{day: p.workday(p.g.today-60, p.g.yesterday())})
	}
	p.plan = slices.DeleteFunc(p.plan, func(x planned) bool {
		unseen := p.role == "ulcer told by letter" && x.day >= p.g.today-letterDays
		return x.day == 0 || x.day > p.until || unseen
	})
}
