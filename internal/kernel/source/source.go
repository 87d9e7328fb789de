// Package source names the documents that the rules come from and carries the
// reasons of a conclusion.
//
// Every conclusion of the kernel is a value plus the Reasons for it; a Reason
// points at one Source, and a Source says how surely its text was read. A
// screen, a report or a test can so always answer: because of which facts, by
// which rule, from which document.
package source

// Standing says how surely a rule or a number was read in its source.
type Standing string

// The standings, from the surest to the least sure.
const (
	// Confirmed: read in the publication itself.
	Confirmed Standing = "confirmed"
	// Secondary: read in a second document that restates the original.
	Secondary Standing = "second hand"
	// Derived: arithmetic or logic worked out here from read values.
	Derived Standing = "derived"
	// Proposal: our own proposal where sources are silent or disagree; a
	// clinician must approve it.
	Proposal Standing = "our proposal"
	// Memory: written from memory, not checked against the publication.
	Memory Standing = "from memory"
)

// Source is one place in one edition of one document.
type Source struct {
	// ID is stable and lower case, such as "iwgdf-2023-prevention".
	ID string `json:"id"`
	// Title is the short form a clinician would recognise.
	Title string `json:"title"`
	// Edition is the year, or year and amendment.
	Edition string `json:"edition"`
	// Place is the table, section or page inside the document.
	Place string `json:"place,omitempty"`
	// Standing says how surely the text was read.
	Standing Standing `json:"standing"`
	// Link is a DOI or a public page, empty when none was confirmed.
	Link string `json:"link,omitempty"`
}

// At returns the same document pointing at another place.
func (s Source) At(place string, standing Standing) *Source {
	s.Place, s.Standing = place, standing
	return &s
}

// Reason is one step of an explanation: what is so, by which rule.
type Reason struct {
	// Says is one plain sentence for a clinician.
	Says string `json:"says"`
	// Fact names the answer in the exam or the record that the sentence rests
	// on, as a path such as "right.test.filament.hallux"; empty for a rule.
	Fact string `json:"fact,omitempty"`
	// Source is the document of the rule; nil for a bare observation.
	Source *Source `json:"source,omitempty"`
}

// Because is the ordered list of reasons of one conclusion.
type Because []Reason
