package forecast

import "math"

// rhythm is how often people come: a rate of each person's own, drawn towards
// the panel's where there is little to read, and how it changes with the time
// since the last visit.
//
// Rates of people are taken as a Gamma distribution whose mean and spread are
// found by moments; a person's rate after so many visits in so many days is then
// again a Gamma. The change with time is the visits that were seen against those
// that the own rate alone would give, for eight parts of the usual gap: people
// who come every three months are likelier to come when three months have
// passed, and people long unseen come more seldom than they did.
type rhythm struct {
	// shape and days are the parameters of the panel's distribution of rates per
	// day.
	shape, days float64
	pull        [len(gapEdges) + 1]float64
}

// gapEdges part the time since the last visit, in usual gaps.
var gapEdges = [...]float64{0.25, 0.5, 0.75, 1, 1.5, 2, 3}

// Limits of what is read from little: our proposal.
const (
	leastDays   = 90 // of history
	mostAlike   = 50 // shape of people who all come alike
	leastAlike  = 0.3
	pullWeight  = 20 // visits that the pull starts from
	strongest   = 4
	weakestPull = 0.1
)

func (m *member) history(p *Panel) float64 {
	return max(leastDays, float64(p.today-m.since))
}

// readRhythm reads the panel's rhythm from the members who can come.
func (p *Panel) readRhythm() rhythm {
	var visits, days, days2 float64
	for i := range p.members {
		if m := &p.members[i]; m.called {
			l := m.history(p)
			visits, days, days2 = visits+float64(len(m.visits)), days+l, days2+l*l
		}
	}
	r := rhythm{}
	for i := range r.pull {
		r.pull[i] = 1
	}
	if visits == 0 {
		r.shape, r.days = leastAlike, leastAlike*1000 // nobody ever came: hardly anybody will
		return r
	}
	mean := visits / days
	spread := 0.0
	for i := range p.members {
		if m := &p.members[i]; m.called {
			d := float64(len(m.visits)) - mean*m.history(p)
			spread += d*d - mean*m.history(p)
		}
	}
	variance := max(spread/days2, mean*mean/mostAlike)
	r.shape = min(max(mean*mean/variance, leastAlike), mostAlike)
	r.days = r.shape / mean
	r.readPull(p)
	return r
}

// rate is the mean of a member's own rate, in visits a day.
func (r *rhythm) rate(p *Panel, m *member) float64 {
	return (r.shape + float64(len(m.visits))) / (r.days + m.history(p))
}

func (r *rhythm) readPull(p *Panel) {
	var seen, usual [len(gapEdges) + 1]float64
	for i := range p.members {
		m := &p.members[i]
		if !m.called || len(m.visits) == 0 {
			continue
		}
		rate := r.rate(p, m)
		for j, day := range m.visits {
			next := p.today
			if j+1 < len(m.visits) {
				next = m.visits[j+1]
				seen[part(float64(next-day)*rate)]++
			}
			from := 0.0
			for k := range usual {
				to := math.Inf(1)
				if k < len(gapEdges) {
					to = gapEdges[k]
				}
				usual[k] += max(0, min(to, float64(next-day)*rate)-from)
				from = to
			}
		}
	}
	for k := range r.pull {
		r.pull[k] = min(strongest, max(weakestPull, (seen[k]+pullWeight)/(usual[k]+pullWeight)))
	}
}

// part is the part of the usual gap in which a time lies. A visit at an edge
// ends the part before it.
func part(gaps float64) int {
	for k, edge := range gapEdges {
		if gaps <= edge {
			return k
		}
	}
	return len(gapEdges)
}

// wait is after how many days somebody comes who was last seen some days ago:
// effort is how much must build up, drawn with mean 1; rate is the rate of this
// draw; usual is the mean rate by which gaps are measured.
func (r *rhythm) wait(effort, ago, rate, usual float64) float64 {
	days := 0.0
	for k := part(ago * usual); ; k++ {
		speed := rate * r.pull[k]
		if k == len(gapEdges) {
			return days + effort/speed
		}
		left := gapEdges[k]/usual - ago
		if effort <= left*speed {
			return days + effort/speed
		}
		effort -= left * speed
		days += left
		ago += left
	}
}
