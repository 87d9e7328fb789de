package demo

import (
	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/foot"
	"tengram/internal/kernel/neuro"
	"tengram/internal/kernel/perfusion"
	"tengram/internal/kernel/when"
)

// feet is the truth about one person's diabetes and feet, which exams and
// charts know in part. A zero day means never.
type feet struct {
	// family is the ICD-10-CM category, snomed that the chart codes in SNOMED
	// CT alone, both that it codes in both.
	family       string
	snomed, both bool
	since        when.Day
	insulin      bool

	lopsFrom when.Day
	numb     [2][neuro.SiteCount]bool
	symptoms bool

	padFrom      when.Day
	pulses       [2][2]perfusion.Pulse // by side: dorsalis pedis, posterior tibial
	padTold      bool
	claudication bool
	// pressuresFrom is when ankle and toe pressures are on record.
	pressuresFrom when.Day

	deformities [2][]exam.Deformity
	stiff       [2]bool

	// ulcerOn is a healed ulcer before the programme; the episodes are those
	// within it.
	ulcerOn  when.Day
	episodes []*episode

	loss   [2]foot.Loss
	lossOn [2]when.Day

	kidney   kidney
	kidneyOn when.Day

	charcotOn, stentOn when.Day
	// blackToeOn is the day of a gangrene, hotFootOn that of a suspected
	// Charcot foot.
	blackToeOn, hotFootOn when.Day

	retinopathy bool
	lowVision   bool
	smoking     exam.Smoking
	a1c         int // tenths of a per cent
	reach       bool
	helper      bool
	daily       bool

	// overdue and never say how the programme has failed them so far.
	overdue, never bool
}

type kidney uint8

const (
	kidneysWell kidney = iota
	kidneyDisease
	onDialysis
	transplanted
)

// rate is a prevalence at ages under 40, 40-59, 60-74 and 75 or more, per cent.
type rate [4]float64

// Told diabetes, NHANES 1999-2004, six years pooled and weighted
// (nhanes-lower-extremity); under 40 nobody was examined and the rates are
// ours. Overall 28 % have a monofilament site not felt and 11 % an index below
// 0.9; 1999-2000 alone gave 28.5 % and 9.5 % (Gregg 2004).
var (
	lopsRate   = rate{6, 19.0, 31.7, 45.6}
	padRate    = rate{1, 2.9, 16.2, 21.9}
	bunionRate = rate{5, 11.1, 21.7, 34.4}
)

// Ulcer or sore of leg or foot that took over four weeks, ever told: 14.6 % of
// those with a site not felt, 5.8 % of the others (same data). Two thirds are
// taken to have been on the foot (our guess).
const (
	ulcerWithLOPS    = 0.146 * 2 / 3
	ulcerWithoutLOPS = 0.058 * 2 / 3
)

// bothFeet of those without feeling lack it on both sides (same data: 48.1 %).
const bothFeet = 0.481

// Insulin 28.5 %, retinopathy told 19.3 %, own feet checked daily 52.4 %: NHANES
// 2005-2018, adults (nhanes-foot-checks, weighted).
const (
	insulinShare     = 0.285
	retinopathyShare = 0.193
	dailyShare       = 0.524
)

func (r rate) at(age int) float64 {
	switch {
	case age < 40:
		return r[0] / 100
	case age < 60:
		return r[1] / 100
	case age < 75:
		return r[2] / 100
	}
	return r[3] / 100
}

func newFeet(p *patient) *feet {
	age := p.age(p.g.today)
	f := &feet{family: "E11", insulin: p.chance(insulinShare)}
	if age < 25 || p.chance(0.07) {
		f.family, f.insulin = "E10", true
	}
	f.since = p.g.today.AddMonths(-p.between(8, min(12*25, 12*max(age-4, 1))))
	f.both = p.chance(0.15)
	f.retinopathy = p.chance(retinopathyShare)
	f.lowVision = f.retinopathy && p.chance(0.15)
	f.smoking = []exam.Smoking{exam.NeverSmoked, exam.PastSmoker, exam.CurrentSmoker}[p.weighted(50, 34, 16)]
	f.a1c = p.between(58, 96)
	f.reach, f.helper, f.daily = p.chance(0.85), p.chance(0.62), p.chance(dailyShare)
	if age > 55 && p.chance(0.16) {
		f.kidney, f.kidneyOn = kidneyDisease, p.past(6)
	}
	if p.chance(lopsRate.at(age)) {
		f.loseFeeling(p)
	}
	if p.chance(padRate.at(age)) {
		f.narrow(p)
	}
	f.deform(p, age)
	told := ulcerWithoutLOPS
	if f.lopsFrom != 0 {
		told = ulcerWithLOPS
	}
	if p.chance(told) {
		f.ulcerOn = p.past(8)
	}
	return f
}

// past is a day before the story, up to so many years.
func (p *patient) past(years int) when.Day {
	return max(p.g.from()-when.Day(p.between(30, 365*years)), p.born+1)
}

// loseFeeling takes the feeling of some sites, of one foot or both.
func (f *feet) loseFeeling(p *patient) {
	f.lopsFrom = p.past(7)
	if p.chance(0.12) { // during the programme
		f.lopsFrom = p.g.programme() + when.Day(p.between(60, 500))
	}
	f.symptoms = p.chance(0.55)
	first := foot.Side(p.IntN(2))
	sides := []foot.Side{first}
	if p.chance(bothFeet) {
		sides = append(sides, first.Other())
	}
	for _, s := range sides {
		f.numb[s][pick(p.dice, neuro.ThreeSites.Sites())] = true
		for _, site := range neuro.FiveSites.Sites() {
			if p.chance(0.35) {
				f.numb[s][site] = true
			}
		}
	}
}

// narrow weakens the pulses of one leg or both.
func (f *feet) narrow(p *patient) {
	f.padFrom = p.past(5)
	f.padTold, f.claudication = p.chance(0.4), p.chance(0.35)
	if p.chance(0.55) {
		f.pressuresFrom = p.g.programme() + when.Day(p.between(40, 420))
	}
	sides := []foot.Side{foot.Side(p.IntN(2))}
	if p.chance(0.4) {
		sides = append(sides, sides[0].Other())
	}
	for _, s := range sides {
		f.pulses[s] = pick(p.dice, [][2]perfusion.Pulse{
			{perfusion.PulseAbsent, perfusion.PulseWeak}, {perfusion.PulseWeak, perfusion.PulsePresent},
			{perfusion.PulseWeak, perfusion.PulseWeak}, {perfusion.PulseDopplerOnly, perfusion.PulseWeak},
		})
	}
}

// deform changes the shape of the feet: bunions by NHANES, the rest ours.
func (f *feet) deform(p *patient, age int) {
	bunion, lops := bunionRate.at(age), f.lopsFrom != 0
	claw := 0.02
	if lops {
		claw = 0.12
	}
	for _, d := range []struct {
		kind  exam.Deformity
		share float64
	}{
		{exam.HalluxValgus, bunion}, {exam.HammerToe, 0.05}, {exam.ClawToe, claw}, {exam.ProminentMTH, 0.03}, {exam.FlatFoot, 0.02},
	} {
		if !p.chance(d.share) {
			continue
		}
		s := foot.Side(p.IntN(2))
		f.deformities[s] = append(f.deformities[s], d.kind)
		if p.chance(0.5) {
			f.deformities[s.Other()] = append(f.deformities[s.Other()], d.kind)
		}
	}
	if p.chance(0.03) {
		f.stiff[p.IntN(2)] = true
	}
}

// Reading the truth on a day.

func (f *feet) lops(on when.Day) bool { return f.lopsFrom != 0 && f.lopsFrom <= on }
func (f *feet) pad(on when.Day) bool  { return f.padFrom != 0 && f.padFrom <= on }

func (f *feet) deformed() bool {
	return len(f.deformities[0])+len(f.deformities[1]) > 0 || f.stiff[0] || f.stiff[1]
}

// lost is what amputation has taken by a day.
func (f *feet) lost(s foot.Side, on when.Day) foot.Loss {
	if f.lossOn[s] != 0 && f.lossOn[s] <= on {
		return f.loss[s]
	}
	return foot.Loss{Level: foot.Whole}
}

func (f *feet) amputated(on when.Day) bool {
	return f.lost(foot.Right, on).Level > foot.Whole || f.lost(foot.Left, on).Level > foot.Whole
}

// ulcerated reports an ulcer at some time before or on a day.
func (f *feet) ulcerated(on when.Day) bool {
	if f.ulcerOn != 0 {
		return true
	}
	for _, e := range f.episodes {
		if e.start <= on {
			return true
		}
	}
	return false
}

// rank is the category that the truth comes to on a day: IWGDF 2023 in the
// careful reading, in which history alone is high (see internal/kernel/risk).
func (f *feet) rank(on when.Day) int {
	l, p, d := f.lops(on), f.pad(on), f.deformed()
	switch {
	case f.ulcerated(on) || f.amputated(on) || f.kidney == onDialysis:
		return 3
	case l && p, (l || p) && d:
		return 2
	case l || p:
		return 1
	}
	return 0
}

// months is the longest interval of a category (IWGDF: 12, 12, 6, 3).
func months(rank int) int { return [...]int{12, 12, 6, 3}[rank] }
