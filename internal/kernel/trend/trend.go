// Package trend is the statistics of a measure over time and between groups:
// its rate month by month, the run chart and the p-chart with their rules, the
// funnel that says which group differs by more than chance, and the guard that
// hides small numbers before a table leaves the practice; and how long exams
// take, by their medians.
//
// A rate is always kept as the two counts it is made of. No answer here is a
// judgement of a person: a signal says that something other than chance is
// likely, and not what.
package trend

import "tengram/internal/kernel/source"

// Share is so many met of so many.
type Share struct {
	Met int `json:"met"`
	Of  int `json:"of"`
}

// Rate is the share between 0 and 1; ok is false where there is nobody to
// divide by: the rate is then undefined, and not 0.
func (s Share) Rate() (rate float64, ok bool) {
	if s.Of <= 0 {
		return 0, false
	}
	return float64(s.Met) / float64(s.Of), true
}

// Plus adds two shares of different people.
func (s Share) Plus(o Share) Share { return Share{s.Met + o.Met, s.Of + o.Of} }

// The rules of this package and where they stand. Of the first document the
// abstract was read in the publication, its two formulas in the program of its
// first author and, for the longest run, in a published table.
var (
	shiftRule    = source.AnhoejOlesen2014.At("longest run: more than log2(n) + 3 points, rounded, on one side of the median", source.Secondary)
	crossingRule = source.AnhoejOlesen2014.At("crossings: fewer than the 5th percentile of a binomial of n - 1 and one half", source.Secondary)
	trendWorth   = source.AnhoejOlesen2014.At("abstract: the trend rule is of no use for finding drift", source.Confirmed)
	fewPoints    = source.AnhoejOlesen2014.At("ten useful points at least", source.Memory)

	sixRule  = source.Perla2011.At("shift: six or more points in a row on one side of the median", source.Secondary)
	fiveRule = source.Perla2011.At("trend: five or more points in a row going one way", source.Secondary)

	shewhart     = source.NISTHandbook.At("6.3.3.2, proportions control charts: three standard deviations of a binomial", source.Secondary)
	westernTwo   = source.WesternElectric1956.At("two of three points beyond two standard deviations on one side", source.Secondary)
	westernFour  = source.WesternElectric1956.At("four of five points beyond one standard deviation on one side", source.Secondary)
	westernEight = source.WesternElectric1956.At("eight points in a row on one side of the centre", source.Secondary)

	funnelLimits = source.Spiegelhalter2005.At("exact binomial limits at 95 % and 99.8 %, interpolated between whole numbers", source.Memory)
	// Read in section 7.2.4.1 of the NIST handbook.
	scoreInterval = source.Wilson1927.At("score interval", source.Secondary)
	smallCells    = source.CMSCellSize.At("no count of 1 to 10 is shown, nor can be worked out from what is shown; 0 may be", source.Memory)
)
