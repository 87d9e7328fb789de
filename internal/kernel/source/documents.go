package source

// The register of documents. Every guideline, paper, law and table of ours that
// a rule rests on stands in this package exactly once, in guidelines.go,
// studies.go or here; a room makes its places from it with At, which also says
// how surely that place was read. A test refuses a document made anywhere else,
// and one that is used without a place and a standing.
//
// A link is a DOI or a public page, and stands only where somebody opened it or
// a second document confirms it. Copies on sharing sites and machine-written
// summaries were good enough to find a number, and are not linked.

// Own rules. They fill what the documents leave open, are always marked as
// proposals or arithmetic, and wait for a clinician's approval.
var (
	// OurProposal is every single rule of ours where the sources are silent or
	// disagree; the place names the rule.
	OurProposal = Source{
		ID: "tengram-proposal", Title: "Our own proposal where the sources are silent", Edition: "1",
	}
	// OurLadder merges the times of several documents: the shortest one stands.
	OurLadder = Source{
		ID: "tengram-ladder", Title: "Merged ladder of urgency", Edition: "1",
	}
	// OurArithmetic is what follows from read values by a formula.
	OurArithmetic = Source{
		ID: "tengram-arithmetic", Title: "Planning arithmetic", Edition: "1",
	}
)
