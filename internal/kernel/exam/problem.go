package exam

// Problem is one thing in a draft that must be answered before it can be
// signed, or that the examiner should look at again.
type Problem struct {
	// Field is the path in the document, such as "right.feel.arteries.toe-pressure".
	Field string `json:"field"`
	// Says what is wrong and what to do.
	Says string `json:"says"`
	// Blocks is true where the exam cannot be signed with it.
	Blocks bool `json:"blocks"`
}
