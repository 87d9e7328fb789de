package guard

// SmallBelow is the count below which a group may point at a person. Eleven is
// our proposal for every count that is split by group (reference: section 6.3
// of the measures reference); public programmes use the same limit (from
// memory).
const SmallBelow = 11

// Small reports whether a count may point at a person. None at all points at
// nobody.
func Small(n int) bool { return n > 0 && n < SmallBelow }
