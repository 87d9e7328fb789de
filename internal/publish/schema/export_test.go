package schema

// Range is the range of a number in the schema, for the tests that hold it
// against the exam's own check and make documents inside it.
func Range(key string) (low, high int) { return words[key].low, words[key].high }
