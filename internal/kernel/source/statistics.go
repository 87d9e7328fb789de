package source

// Documents on statistics: how rates are read over time and between groups.
var (
	// AnhoejOlesen2014: of the publication the abstract was read.
	AnhoejOlesen2014 = Source{
		ID: "anhoej-olesen-2014", Title: "Anhøj and Olesen, Run charts revisited, PLoS ONE 9(11):e113825", Edition: "2014",
		Link: "https://doi.org/10.1371/journal.pone.0113825",
	}
	// Perla2011: Perla RJ, Provost LP, Murray SK, BMJ Qual Saf 2011;20:46-51.
	Perla2011 = Source{
		ID: "perla-2011", Title: "Perla, Provost and Murray, The run chart: a simple analytical tool", Edition: "2011",
	}
	NISTHandbook = Source{
		ID: "nist-handbook", Title: "NIST/SEMATECH e-Handbook of Statistical Methods", Edition: "2012",
		Link: "https://www.itl.nist.gov/div898/handbook/",
	}
	WesternElectric1956 = Source{
		ID: "western-electric-1956", Title: "Western Electric, Statistical Quality Control Handbook", Edition: "1956",
	}
	// Spiegelhalter2005: Stat Med 2005;24:1185-1202.
	Spiegelhalter2005 = Source{
		ID: "spiegelhalter-2005", Title: "Spiegelhalter, Funnel plots for comparing institutional performance", Edition: "2005",
		Link: "https://doi.org/10.1002/sim.1970",
	}
	// Wilson1927: J Am Stat Assoc 1927;22:209-212.
	Wilson1927 = Source{
		ID: "wilson-1927", Title: "Wilson, Probable inference, the law of succession, and statistical inference", Edition: "1927",
	}
	// CMSCellSize is the policy for data of Medicare beneficiaries.
	CMSCellSize = Source{
		ID: "cms-cell-size", Title: "CMS cell size suppression policy", Edition: "undated",
	}
)
