package forecast

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"tengram/internal/kernel/source"
	"tengram/internal/kernel/trend"
	"tengram/internal/kernel/when"
)

// likeClass is how many observations of all visits stand behind each class of
// visit before its own are counted; likeBooking how many bookings, 85 of 100 of
// them kept. Our proposal.
const (
	likeClass   = 8
	likeBooking = 10
	keptUsually = 0.85
)

// draws is the rest of the year, played many times.
type draws struct {
	panel  *Panel
	rhythm rhythm
	seed   uint64
	n      int
	ends   []when.Day // of the months
	// brings is the chance that a visit of a class brings the measure, busy how
	// many visits there are against the past: one for each draw.
	brings [][classes]float64
	busy   []float64
	shows  float64
	// met and counted are what each draw adds, by month and draw.
	met, counted [][]int32
}

// YearEnd plays the rest of the period from a seed.
func (p *Panel) YearEnd(seed uint64) Forecast {
	slices.SortFunc(p.members, func(a, b member) int { return cmp.Compare(a.id, b.id) })
	d := &draws{panel: p, rhythm: p.readRhythm(), seed: seed, n: p.options.Draws}
	d.months()
	d.habits()
	f := Forecast{
		Measure: p.measure.ID, Period: p.context.Period, Today: p.today, Seed: seed, Draws: d.n,
		Now: p.now, Target: p.options.Target,
	}
	for i := range p.members {
		m := &p.members[i]
		if m.met {
			continue
		}
		chance := 0.0
		if m.called {
			chance = d.play(m)
		}
		o := Open{Person: m.id, Counted: m.counted, Chance: chance, Missing: m.missing}
		if len(m.booked) > 0 && m.called {
			o.Booked = m.booked[0]
		}
		if n := len(m.visits); n > 0 {
			o.LastVisit = m.visits[n-1]
		}
		f.Open = append(f.Open, o)
	}
	slices.SortFunc(f.Open, cheaper)
	d.read(&f)
	d.say(&f)
	return f
}

// cheaper orders open gaps: who is booked by the day, then who will likeliest
// come and be done, then by id.
func cheaper(a, b Open) int {
	soon := func(o Open) when.Day {
		if o.Booked == 0 {
			return math.MaxInt32
		}
		return o.Booked
	}
	return cmp.Or(cmp.Compare(soon(a), soon(b)), cmp.Compare(b.Chance, a.Chance), cmp.Compare(a.Person, b.Person))
}

// months sets the ends of the months to come, the end of the period last.
func (d *draws) months() {
	last := d.panel.context.Period.Last
	for i := 1; ; i++ {
		y, m, _ := d.panel.today.YMD()
		end := when.Date(y, m, 1).AddMonths(i) - 1
		if end >= last {
			break
		}
		d.ends = append(d.ends, end)
	}
	d.ends = append(d.ends, last)
	d.met, d.counted = make([][]int32, len(d.ends)), make([][]int32, len(d.ends))
	for i := range d.ends {
		d.met[i], d.counted[i] = make([]int32, d.n), make([]int32, d.n)
	}
}

// trials counts visits that brought the measure and visits that did not, each
// weighted by its age.
type trials struct{ met, missed float64 }

func (t trials) plus(o trials) trials { return trials{t.met + o.met, t.missed + o.missed} }

// share is the share that brought it, with one of each added.
func (t trials) share() float64 { return (1 + t.met) / (2 + t.met + t.missed) }

// tried adds up what the practice made of visits, by class.
func (d *draws) tried() (byClass [classes]trials) {
	for i := range d.panel.members {
		for _, a := range d.panel.members[i].tried {
			weight := math.Exp2(-float64(d.panel.today-a.day) / d.panel.options.HalfLifeDays)
			if a.met {
				byClass[a.class].met += weight
			} else {
				byClass[a.class].missed += weight
			}
		}
	}
	return byClass
}

// habits draws, for each draw, what the practice does at visits and how busy it
// is. A class of which little was seen is drawn towards the others that are due.
// All classes of a draw lie equally far up or down their own distribution: a
// practice that does better does so for everybody. More that met never lowers a
// chance, and more that did not never raises one.
func (d *draws) habits() {
	p := d.panel
	tried := d.tried()
	var due trials
	for _, t := range tried[early+1:] {
		due = due.plus(t)
	}
	own := diceFor(d.seed, "habits")
	level, busy := own.strata(d.n), own.strata(d.n)
	d.brings, d.busy = make([][classes]float64, d.n), make([]float64, d.n)
	for c, t := range tried {
		usual := due.share()
		if c == early {
			usual = due.plus(t).share()
		}
		a, b := (likeClass*usual+t.met)/p.options.Spread, (likeClass*(1-usual)+t.missed)/p.options.Spread
		for i := range d.n {
			d.brings[i][c] = trend.BetaQuantile(level[i], a, b)
		}
	}
	for i := range d.n {
		s := p.options.VisitSpread
		d.busy[i] = math.Exp(s*math.Sqrt2*math.Erfinv(2*busy[i]-1) - s*s/2)
	}
	d.shows = (keptUsually*likeBooking + float64(p.kept)) / (likeBooking + float64(p.kept+p.missed))
}

// play plays one person through all draws and returns the share in which they
// meet the measure.
func (d *draws) play(m *member) float64 {
	p, r := d.panel, &d.rhythm
	person := diceFor(d.seed, "person "+m.id)
	history := m.history(p)
	shape, days := r.shape+float64(len(m.visits)), r.days+history
	usual := shape / days
	met := 0
	for i := range d.n {
		own := person.branch(i)
		rate := own.gamma(shape) / days * d.busy[i]
		s := stay{d: d, m: m, draw: i, counted: m.counted, fails: m.fails}
		today, ago := p.today, history
		if n := len(m.visits); n > 0 {
			ago = float64(today - m.visits[n-1])
		}
		for _, day := range m.booked {
			if own.uniform() < d.shows {
				s.come(day, &own)
				today, ago = day, 0
			}
		}
		if n := len(m.booked); n > 0 && m.booked[n-1] > today {
			ago += float64(m.booked[n-1] - today)
			today = m.booked[n-1]
		}
		at := float64(today)
		for !s.met {
			at += max(1, r.wait(own.exponential(), ago, rate, usual))
			if at >= float64(p.context.Period.Last+1) {
				break
			}
			s.come(when.Day(at), &own)
			ago = 0
		}
		if s.met {
			met++
		}
	}
	return float64(met) / float64(d.n)
}

// stay is one person in one draw.
type stay struct {
	d            *draws
	m            *member
	draw, fails  int
	counted, met bool
}

// come is a visit on a day: it counts the person if they were not, and brings
// the measure or does not.
func (s *stay) come(day when.Day, own *dice) {
	if s.met {
		return
	}
	month, _ := slices.BinarySearch(s.d.ends, day)
	if !s.counted {
		s.counted = true
		s.d.counted[month][s.draw]++
	}
	c := class(day, s.m.lastMet, s.fails)
	if s.m.metWhenSeen || own.uniform() < s.d.brings[s.draw][c] {
		s.met = true
		s.d.met[month][s.draw]++
		return
	}
	if c != early {
		s.fails++
	}
}

// read turns the counts of the draws into points.
func (d *draws) read(f *Forecast) {
	met, counted := make([]int, d.n), make([]int, d.n)
	for i := range d.n {
		met[i], counted[i] = f.Now.Met, f.Now.Of
	}
	for month, end := range d.ends {
		var rates []float64
		for i := range d.n {
			met[i] += int(d.met[month][i])
			counted[i] += int(d.counted[month][i])
			if rate, ok := (trend.Share{Met: met[i], Of: counted[i]}).Rate(); ok {
				rates = append(rates, rate)
			}
		}
		slices.Sort(rates)
		if len(rates) == 0 {
			continue
		}
		f.ends, f.OK = rates, true
		f.End = Point{
			On: end, Median: quantile(rates, 0.5),
			In80: trend.Interval{Low: quantile(rates, 0.1), High: quantile(rates, 0.9)},
			In95: trend.Interval{Low: quantile(rates, 0.025), High: quantile(rates, 0.975)},
		}
		f.Points = append(f.Points, f.End)
	}
	for i := range d.n {
		f.MoreMet += float64(met[i]-f.Now.Met) / float64(d.n)
		f.MoreCounted += float64(counted[i]-f.Now.Of) / float64(d.n)
	}
	if f.Target > 0 && len(f.ends) > 0 {
		below, _ := slices.BinarySearch(f.ends, f.Target)
		f.Reached = 1 - float64(below)/float64(len(f.ends))
	}
}

// quantile is the smallest of sorted numbers that at least a share q of them do
// not exceed.
func quantile(sorted []float64, q float64) float64 {
	i := int(math.Ceil(q*float64(len(sorted)))) - 1
	return sorted[min(max(i, 0), len(sorted)-1)]
}

// say puts the model into sentences, with its numbers.
func (d *draws) say(f *Forecast) {
	p := d.panel
	say := func(format string, args ...any) {
		f.Because = append(f.Because, source.Reason{Says: fmt.Sprintf(format, args...), Source: model})
	}
	open, entering, booked := 0, 0, 0
	for _, o := range f.Open {
		switch {
		case o.Counted:
			open++
		default:
			entering++
		}
		if o.Booked != 0 {
			booked++
		}
	}
	say("%d are counted and not met; %d more will be counted if they come. %d of all these are booked.", open, entering, booked)
	say("People come %.1f times a year on average, each by their own rhythm of the last %d days; a booked visit is kept %.0f times in 100.",
		365.25*d.rhythm.shape/d.rhythm.days, p.options.LookbackDays, 100*d.shows)
	say("Where it was not met the year before, a first visit brings the measure %.0f times in 100, a second %.0f, a later one %.0f.",
		100*d.middle(fresh), 100*d.middle(freshMissed), 100*d.middle(freshMissedOften))
	say("Where it was met the year before, a first visit once it is due again brings it %.0f times in 100, a later one %.0f, and a visit less than %d days after the last time %.0f.",
		100*d.middle(again), 100*d.middle(againMissed), dueAfter, 100*d.middle(early))
	say("Not foreseen: people whose diabetes is not on record yet, deaths and moves, holidays, and changes in how the practice works beyond what it did lately.")
	say("%d draws from seed %d.", d.n, d.seed)
}

// middle is the mean over the draws of what a visit of a class brings.
func (d *draws) middle(class int) float64 {
	sum := 0.0
	for i := range d.brings {
		sum += d.brings[i][class]
	}
	return sum / float64(len(d.brings))
}
