package guard

// SmallBelow is the count below which a group may point at a person. Eleven is
// our proposal for every count that is split by group (reference: section 6.3
// of the measures reference); public programmes use the same limit (from
// memory).
const SmallBelow = 11

// Small reports whether a count may point at a person. None at all points at
// nobody.
func Small(n int) bool { return n > 0 && n < SmallBelow }

// Masked says which counts of one total to leave out. Every small count is left
// out. Where that is a single one, it could be found by taking the others from
// the total, so the smallest of the others that is not nought goes with it; if
// there is none, nothing more can be hidden.
func Masked(counts []int) []bool {
	masked := make([]bool, len(counts))
	n := 0
	for i, c := range counts {
		if Small(c) {
			masked[i] = true
			n++
		}
	}
	if n != 1 {
		return masked
	}
	next := -1
	for i, c := range counts {
		if masked[i] || c == 0 {
			continue
		}
		if next < 0 || c < counts[next] {
			next = i
		}
	}
	if next >= 0 {
		masked[next] = true
	}
	return masked
}
