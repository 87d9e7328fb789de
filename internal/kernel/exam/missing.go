package exam

// Purpose is what a missing answer is missing for.
type Purpose string

// The purposes.
const (
	// ForRisk: without it the risk category is an interval.
	ForRisk Purpose = "risk"
	// ForMeasure: without it the exam does not count for the quality measure.
	ForMeasure Purpose = "measure"
	// ForComprehensive: part of a comprehensive exam.
	ForComprehensive Purpose = "comprehensive"
)

// Missing is one thing that was not recorded.
type Missing struct {
	Purpose Purpose `json:"purpose"`
	// Field is the path in the document, such as "left.feel.arteries".
	Field string `json:"field"`
	// Says names it in words, such as "pulses of the left foot".
	Says string `json:"says"`
}
