package heat

import (
	"slices"

	"tengram/internal/kernel/foot"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/source"
	"tengram/internal/kernel/when"
)

// DayReading is one measurement at home. A day may have more than one.
type DayReading struct {
	On          when.Day
	Right, Left Temperatures
	Unit        Unit
}

// LogRule says how many days a difference must last.
type LogRule uint8

const (
	// TwoDays: over the limit at the same spot of the same foot on two calendar
	// days in a row (IWGDF 2023 prevention, from memory).
	TwoDays LogRule = iota
	// OneDay: over the limit once (the trials, Lavery 2004, confirmed).
	OneDay
)

// LogResult is what a home log asks for.
type LogResult struct {
	// Alerts are the days and spots for which the rule says: less walking, and
	// call. Oldest first.
	Alerts []LogAlert `json:"alerts,omitempty"`
	// MeasureAgain are spots over the limit on the last day that are no alert
	// yet: measure again tomorrow.
	MeasureAgain []HotSpot `json:"measure-again,omitempty"`
	// Missing are days without a comparison between the first day and the last;
	// remind the person.
	Missing []when.Day     `json:"missing,omitempty"`
	Because source.Because `json:"because"`
}

// LogAlert is one spot for which the rule was met on a day.
type LogAlert struct {
	On when.Day `json:"on"`
	HotSpot
}

// HomeLog reads a log of home temperatures up to and with the day through; the
// zero day means the last day of the log. A missing day breaks a run: the next
// day over the limit is a first day again. A spot that amputation has taken on
// either side is not compared.
func HomeLog(log []DayReading, loss [2]foot.Loss, rule LogRule, through when.Day) LogResult {
	var r LogResult
	days := byDay(log, loss)
	if len(days) == 0 {
		r.say("The log holds no pair of temperatures that can be compared.", nil)
		return r
	}
	if last := days[len(days)-1].on; through.IsZero() || through < last {
		through = last
	}
	if rule == OneDay {
		r.say("A spot warmer than its partner by more than 2.2 degrees C (4.0 degrees F) on one day asks for less walking and a call.", srcLimit)
	} else {
		r.say("A spot warmer than its partner by more than 2.2 degrees C (4.0 degrees F) on two days in a row asks for less walking and a call.", srcTwoDays)
	}
	for i, d := range days {
		var before *dayOver
		if i > 0 {
			before = &days[i-1]
			for day := before.on + 1; day < d.on; day++ {
				r.Missing = append(r.Missing, day)
			}
		}
		r.judgeDay(d, before, rule, d.on == through)
	}
	for day := days[len(days)-1].on + 1; day <= through; day++ {
		r.Missing = append(r.Missing, day)
	}
	if len(r.Missing) > 0 {
		r.say("Days are missing from the log; a missing day is not a normal one.", srcNoPartner)
	}
	return r
}

func (r *LogResult) say(says string, src *source.Source) {
	r.Because = append(r.Because, source.Reason{Says: says, Source: src})
}

func (r *LogResult) judgeDay(d dayOver, before *dayOver, rule LogRule, last bool) {
	for s := range SpotCount {
		for _, side := range foot.Sides {
			hot, over := d.hot(s, side)
			if !over {
				continue
			}
			again := false
			if before != nil && before.on+1 == d.on {
				_, again = before.hot(s, side)
			}
			switch {
			case again || rule == OneDay:
				r.Alerts = append(r.Alerts, LogAlert{On: d.on, HotSpot: hot})
			case last:
				r.MeasureAgain = append(r.MeasureAgain, hot)
			}
		}
	}
}

// dayOver holds, for one day, the greatest difference over the limit at each
// spot of each side; 0 where there was none.
type dayOver struct {
	on   when.Day
	over [SpotCount][2]known.Tenths
	unit [SpotCount][2]Unit
}

func (d *dayOver) hot(s Spot, side foot.Side) (HotSpot, bool) {
	difference := d.over[s][side]
	return HotSpot{Spot: s.String(), Warmer: side, Difference: difference, Unit: d.unit[s][side]}, difference.Known()
}

// byDay sorts the log and joins the readings of one day. Days on which no pair
// could be compared are left out.
func byDay(log []DayReading, loss [2]foot.Loss) []dayOver {
	log = slices.Clone(log)
	slices.SortStableFunc(log, func(a, b DayReading) int { return int(a.On) - int(b.On) })
	var days []dayOver
	for i := range log {
		in := Input{Right: log[i].Right, Left: log[i].Left, Unit: log[i].Unit, Loss: loss}
		var one Result
		compare(&in, &one)
		if !anyPair(&in) {
			continue
		}
		if len(days) == 0 || days[len(days)-1].on != log[i].On {
			days = append(days, dayOver{on: log[i].On})
		}
		d := &days[len(days)-1]
		for _, h := range one.Spots {
			s := spotOf(h.Spot)
			if was := d.over[s][h.Warmer]; !was.Known() || was.Value < h.Difference.Value {
				d.over[s][h.Warmer], d.unit[s][h.Warmer] = h.Difference, h.Unit
			}
		}
	}
	return days
}

// anyPair reports whether any spot has a temperature on both feet that are
// there, in a known unit.
func anyPair(in *Input) bool {
	if _, ok := in.Unit.Limit(); !ok {
		return false
	}
	for s := range SpotCount {
		if in.Right[s].Known() && in.Left[s].Known() && in.Loss[foot.Right].Has(s.Place()) && in.Loss[foot.Left].Has(s.Place()) {
			return true
		}
	}
	return false
}

func spotOf(name string) Spot {
	for s := range SpotCount {
		if s.String() == name {
			return s
		}
	}
	return SpotCount
}
