// Package trend is the statistics of a measure over time and between groups:
// its rate month by month, the run chart and the p-chart with their rules, the
// funnel that says which group differs by more than chance, and the guard that
// hides small numbers before a table leaves the practice.
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

// The documents that the rules of this package come from.
var (
	anhoej = source.Source{
		ID: "anhoej-olesen-2014", Title: "Anhøj and Olesen, Run charts revisited", Edition: "PLoS ONE 2014;9(11):e113825",
		Standing: source.Secondary, Link: "https://doi.org/10.1371/journal.pone.0113825",
	}
	// The abstract was read in the publication; the two formulas in the program
	// of its first author and, for the longest run, in a published table.
	shiftRule    = anhoej.At("longest run: more than log2(n) + 3 points, rounded, on one side of the median", source.Secondary)
	crossingRule = anhoej.At("crossings: fewer than the 5th percentile of a binomial of n - 1 and one half", source.Secondary)
	trendWorth   = anhoej.At("abstract: the trend rule is of no use for finding drift", source.Confirmed)
	fewPoints    = &source.Source{ID: "run-chart-length", Title: "Run charts", Edition: "1", Place: "no rule below 10 useful points", Standing: source.Memory}

	perla = source.Source{
		ID: "perla-2011", Title: "Perla, Provost and Murray, The run chart", Edition: "BMJ Quality and Safety 2011;20:46",
		Standing: source.Secondary,
	}
	sixRule  = perla.At("shift: six or more points in a row on one side of the median", source.Secondary)
	fiveRule = perla.At("trend: five or more points in a row going one way", source.Secondary)

	shewhart = &source.Source{
		ID: "nist-handbook-p-chart", Title: "NIST/SEMATECH e-Handbook of Statistical Methods", Edition: "2012",
		Place: "6.3.3.2, proportions control charts: three standard deviations of a binomial", Standing: source.Secondary,
		Link: "https://www.itl.nist.gov/div898/handbook/pmc/section3/pmc332.htm",
	}
	western = source.Source{
		ID: "western-electric-1956", Title: "Western Electric, Statistical Quality Control Handbook", Edition: "1956",
		Standing: source.Secondary,
	}
	westernTwo   = western.At("two of three points beyond two standard deviations on one side", source.Secondary)
	westernFour  = western.At("four of five points beyond one standard deviation on one side", source.Secondary)
	westernEight = western.At("eight points in a row on one side of the centre", source.Secondary)

	spiegelhalter = &source.Source{
		ID: "spiegelhalter-2005", Title: "Spiegelhalter, Funnel plots for comparing institutional performance", Edition: "Statistics in Medicine 2005;24:1185",
		Place: "exact binomial limits at 95 % and 99.8 %, interpolated between whole numbers", Standing: source.Memory,
		Link: "https://doi.org/10.1002/sim.1970",
	}
	wilson1927 = &source.Source{
		ID: "wilson-1927", Title: "Wilson, Probable inference", Edition: "J Am Stat Assoc 1927;22:209",
		Place: "score interval, as restated in the NIST/SEMATECH e-Handbook, 7.2.4.1", Standing: source.Secondary,
	}
	clopper = &source.Source{
		ID: "clopper-pearson-1934", Title: "Clopper and Pearson, Confidence or fiducial limits", Edition: "Biometrika 1934;26:404",
		Place: "exact interval, as restated in the NIST/SEMATECH e-Handbook, 7.2.4.2", Standing: source.Secondary,
	}
	smallCells = &source.Source{
		ID: "cms-cell-size", Title: "CMS cell size suppression policy", Edition: "undated",
		Place: "no count of 1 to 10 is shown, nor can be worked out from what is shown; 0 may be", Standing: source.Memory,
	}
	ourSeries = &source.Source{ID: "monthly-series", Title: "A measure by month", Edition: "1", Place: "year to date, and the opportunities of each month", Standing: source.Proposal}
)
