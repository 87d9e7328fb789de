package trend

import (
	"fmt"
	"math"

	"tengram/internal/kernel/source"
)

// PChart is a control chart of shares of varying size.
type PChart struct {
	// Centre is the share of everybody in the baseline together; ok is whether
	// there was anybody.
	Centre float64 `json:"centre"`
	OK     bool    `json:"ok"`
	// Baseline is how many points, from the first, the centre was taken from.
	Baseline int `json:"baseline"`
	// Limits has one entry a point; a point of nobody has the whole range.
	Limits  []PLimit `json:"limits"`
	Signals []Signal `json:"signals,omitempty"`
	Because source.Because
}

// PLimit are the limits of one point.
type PLimit struct {
	Interval
	// Rough: fewer than five are expected to be met, or to be missed, so that
	// three standard deviations are a poor description of chance (common
	// practice, no source).
	Rough bool `json:"rough,omitempty"`
}

// Chart reads a series as a p-chart: the centre is the pooled share of the first
// baseline points (all of them for 0), the limits lie three standard deviations
// of a binomial of each point's size away from it, cut to 0 and 1. A single
// point beyond its limits is the signal.
//
// The limits assume that the people of one month answer independently with one
// chance. With very large counts real rates vary more than that, and the limits
// become too narrow; the correction of Laney (p') is not made.
//
// With zones, the zone rules of Western Electric are asked as well. They were
// made for charts of measurements, and give more false alarms on shares.
func Chart(points []Share, baseline int, zones bool) PChart {
	if baseline <= 0 || baseline > len(points) {
		baseline = len(points)
	}
	c := PChart{Baseline: baseline, Limits: make([]PLimit, len(points))}
	var all Share
	for _, p := range points[:baseline] {
		all = all.Plus(p)
	}
	c.Centre, c.OK = all.Rate()
	var z []float64
	var at []int
	for i, p := range points {
		rate, ok := p.Rate()
		if !ok || !c.OK {
			c.Limits[i] = PLimit{Interval: Interval{0, 1}}
			continue
		}
		n := float64(p.Of)
		sd := math.Sqrt(c.Centre * (1 - c.Centre) / n)
		l := PLimit{Interval: Interval{max(0, c.Centre-3*sd), min(1, c.Centre+3*sd)}}
		l.Rough = n*min(c.Centre, 1-c.Centre) < 5
		c.Limits[i] = l
		if rate < l.Low || rate > l.High {
			up := rate > c.Centre
			c.signal(Beyond, i, i, up, fmt.Sprintf("%s its limits of chance", side(up)), shewhart)
		}
		if sd > 0 {
			z, at = append(z, (rate-c.Centre)/sd), append(at, i)
		}
	}
	c.Because = source.Because{{Says: "The limits are three standard deviations from the share of everybody together, wider for a smaller month.", Source: shewhart}}
	if zones {
		c.zones(z, at)
	}
	return c
}

func (c *PChart) zones(z []float64, at []int) {
	c.zone(z, at, TwoOfThree, 2, 3, 2, westernTwo)
	c.zone(z, at, FourOfFive, 4, 5, 1, westernFour)
	c.zone(z, at, EightInARow, 8, 8, 0, westernEight)
}

// zone finds need of any last points beyond so many standard deviations on one
// side, ending with one that is, so that each event is told once a point.
func (c *PChart) zone(z []float64, at []int, rule Rule, need, last int, beyond float64, s *source.Source) {
	c.Because = append(c.Because, source.Reason{Says: "Also asked: " + s.Place + ".", Source: s})
	for i := range z {
		for _, sign := range []float64{1, -1} {
			count, first := 0, i
			for j := i; j >= 0 && j > i-last; j-- {
				if sign*z[j] > beyond {
					count++
					first = j
				}
			}
			if count >= need && sign*z[i] > beyond {
				c.signal(rule, at[first], at[i], sign > 0, fmt.Sprintf("%d of %d points far %s the centre", need, last, side(sign > 0)), s)
			}
		}
	}
}

func (c *PChart) signal(rule Rule, from, to int, up bool, says string, s *source.Source) {
	c.Signals = append(c.Signals, Signal{Rule: rule, From: from, To: to, Up: up, Says: says, Source: *s})
}
