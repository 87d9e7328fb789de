package trend

import (
	"fmt"
	"math"
	"slices"

	"tengram/internal/kernel/source"
)

// Rule is one rule that a chart is read by.
type Rule string

// The rules of the run chart and of the p-chart.
const (
	// Shift: an unusually long run of points on one side of the centre.
	Shift Rule = "shift"
	// Crossings: the line crosses the centre unusually seldom.
	Crossings Rule = "crossings"
	// SixInARow and FiveOneWay are the older rules of fixed length.
	SixInARow  Rule = "six in a row"
	FiveOneWay Rule = "five one way"
	// Beyond: a point outside the control limits.
	Beyond Rule = "beyond the limits"
	// TwoOfThree, FourOfFive and EightInARow are zone rules.
	TwoOfThree  Rule = "two of three"
	FourOfFive  Rule = "four of five"
	EightInARow Rule = "eight in a row"
)

// Signal is one rule that found something.
type Signal struct {
	Rule Rule `json:"rule"`
	// From and To are the first and last point it is about, both included.
	From int `json:"from"`
	To   int `json:"to"`
	// Up is true for the side above the centre, or for a rise; it says nothing
	// for Crossings.
	Up     bool          `json:"up"`
	Says   string        `json:"says"`
	Source source.Source `json:"source"`
}

// RunChart is a run chart read by its rules.
type RunChart struct {
	// Median of the points that have a rate.
	Median float64 `json:"median"`
	// Useful counts the points that do not lie on the median.
	Useful int `json:"useful"`
	// LongestRun and Crossings are what was found, with the limits beyond which
	// each is a signal.
	LongestRun   int      `json:"longest-run"`
	LongestLimit int      `json:"longest-limit"`
	Crossings    int      `json:"crossings"`
	CrossLimit   int      `json:"cross-limit"`
	Signals      []Signal `json:"signals,omitempty"`
	// TooShort: fewer than ten useful points, so that no rule was asked.
	TooShort bool `json:"too-short,omitempty"`
	// Because names the rules that were asked, with their sources.
	Because source.Because `json:"because"`
}

// usefulPoints is the fewest useful points to which the rules are put; with
// fewer they find hardly anything, and a quiet chart would look like proof.
const usefulPoints = 10

// Run reads a series as a run chart, by the longest run and the crossings of
// Anhøj and Olesen. Points without anybody are passed over. The points must not
// depend on each other: a rate of the year to date may not be read so.
//
// With older, the fixed rules of Perla and others are asked as well. They give
// more false alarms the longer the chart, and the rule of five one way was
// found to be of no use by the first source.
func Run(points []Share, older bool) RunChart {
	var c RunChart
	var at []int
	var rates []float64
	for i, p := range points {
		if r, ok := p.Rate(); ok {
			at, rates = append(at, i), append(rates, r)
		}
	}
	c.Median = median(rates)
	runs := runsAbout(rates, c.Median)
	for i, r := range runs {
		c.Useful += r.useful
		c.LongestRun = max(c.LongestRun, r.useful)
		c.Crossings = i
	}
	if c.Useful < usefulPoints {
		c.TooShort = true
		c.Because = source.Because{{Says: fmt.Sprintf("%d points off the median are too few to say anything; %d are needed.", c.Useful, usefulPoints), Source: fewPoints}}
		return c
	}
	c.LongestLimit, c.CrossLimit = longestLimit(c.Useful), crossLimit(c.Useful)
	c.Because = source.Because{
		{Says: fmt.Sprintf("The longest run on one side is %d points; more than %d would be a shift.", c.LongestRun, c.LongestLimit), Source: shiftRule},
		{Says: fmt.Sprintf("The line crosses the median %s; fewer than %s would be a signal.", times(c.Crossings), times(c.CrossLimit)), Source: crossingRule},
	}
	for _, r := range runs {
		if r.useful > c.LongestLimit {
			c.signal(Shift, at[r.from], at[r.to], r.up, fmt.Sprintf("%d points in a row %s the median", r.useful, side(r.up)), shiftRule)
		}
	}
	if c.Crossings < c.CrossLimit {
		c.signal(Crossings, at[0], at[len(at)-1], false, seldom(c.Crossings), crossingRule)
	}
	if older {
		c.older(runs, at, rates)
	}
	return c
}

func (c *RunChart) older(runs []run, at []int, rates []float64) {
	c.Because = append(c.Because,
		source.Reason{Says: "Also asked: six in a row on one side.", Source: sixRule},
		source.Reason{Says: "Also asked: five in a row one way.", Source: fiveRule},
		source.Reason{Says: "Five one way finds no drift better than chance does.", Source: trendWorth})
	for _, r := range runs {
		if r.useful >= 6 {
			c.signal(SixInARow, at[r.from], at[r.to], r.up, fmt.Sprintf("%d points in a row %s the median", r.useful, side(r.up)), sixRule)
		}
	}
	for _, t := range oneWay(rates) {
		if t.useful >= 5 {
			way := "falling"
			if t.up {
				way = "rising"
			}
			c.signal(FiveOneWay, at[t.from], at[t.to], t.up, fmt.Sprintf("%d points in a row %s", t.useful, way), fiveRule)
		}
	}
}

func (c *RunChart) signal(rule Rule, from, to int, up bool, says string, s *source.Source) {
	c.Signals = append(c.Signals, Signal{Rule: rule, From: from, To: to, Up: up, Says: says, Source: *s})
}

// longestLimit is the longest run that chance gives in 95 of 100 charts of n
// useful points.
func longestLimit(n int) int { return int(math.Round(math.Log2(float64(n)) + 3)) }

// crossLimit is the fewest crossings that chance gives in 95 of 100 charts.
func crossLimit(n int) int { return binomialQuantile(0.05, n-1, 0.5) }

// run is a stretch of rates, from and to being places among the rates.
type run struct {
	from, to int
	// useful counts its points; those on the median, or equal to the one
	// before, belong to a stretch without being counted.
	useful int
	up     bool
}

// runsAbout cuts rates into stretches on one side of the median. A point on the
// median neither makes nor breaks one.
func runsAbout(rates []float64, median float64) []run {
	var runs []run
	for i, r := range rates {
		if r == median {
			continue
		}
		up := r > median
		if n := len(runs); n > 0 && runs[n-1].up == up {
			runs[n-1].to = i
			runs[n-1].useful++
			continue
		}
		runs = append(runs, run{i, i, 1, up})
	}
	return runs
}

// oneWay cuts rates into stretches that only rise or only fall; a point equal to
// the one before is not counted (Perla, Provost and Murray; from memory).
func oneWay(rates []float64) []run {
	var runs []run
	for i := 1; i < len(rates); i++ {
		if rates[i] == rates[i-1] {
			continue
		}
		up := rates[i] > rates[i-1]
		if n := len(runs); n > 0 && runs[n-1].up == up {
			runs[n-1].to = i
			runs[n-1].useful++
			continue
		}
		runs = append(runs, run{i - 1, i, 2, up})
	}
	return runs
}

func median(rates []float64) float64 {
	sorted := slices.Sorted(slices.Values(rates))
	n := len(sorted)
	switch {
	case n == 0:
		return 0
	case n%2 == 1:
		return sorted[n/2]
	}
	return (sorted[n/2-1] + sorted[n/2]) / 2
}

func seldom(crossings int) string {
	if crossings == 0 {
		return "the median is never crossed"
	}
	return "the median is crossed only " + times(crossings)
}

func times(n int) string {
	switch n {
	case 0:
		return "never"
	case 1:
		return "once"
	case 2:
		return "twice"
	}
	return fmt.Sprintf("%d times", n)
}

func side(up bool) string {
	if up {
		return "above"
	}
	return "below"
}
