package wound

import (
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/source"
)

var (
	margolisTable = source.Margolis2003.At("abstract: validation set", source.Confirmed)
	margolisEdges = own("2 months are 61 days; exactly 2 months, or exactly 2.0 cm2, give no point")
)

// The edges of the Margolis points. A point is for more than these.
const (
	MargolisDays  = 61  // 2 months, as days (our proposal)
	MargolisMM2   = 200 // 2 cm2 (Margolis 2003, abstract)
	MargolisGrade = 3   // the least grade with a point, on a scale of 0 to 5 (Margolis 2003, abstract)
)

// margolisNotHealed is the per cent not healed by week 20, by points 0 to 3, in
// the validation set (Margolis 2003, abstract). A nursing digest prints 33 and
// 79 for 0 and 3, probably of the development set (from memory): not mixed in.
var margolisNotHealed = [4]int{35, 47, 66, 81}

// MargolisResult is the group that a neuropathic ulcer falls into.
type MargolisResult struct {
	// LowPoints and HighPoints differ where an input is unknown.
	LowPoints, HighPoints int
	// LowPercent and HighPercent are the share of such ulcers that had not
	// healed by week 20: a group's figure, not one person's forecast.
	LowPercent, HighPercent int
	Because                 source.Because
}

// Margolis counts a point each for an ulcer older than 2 months, larger than
// 2 cm2, and of grade 3 or more. It is for neuropathic ulcers only.
func Margolis(older, larger, deep known.Tri) MargolisResult {
	var r MargolisResult
	for _, t := range []known.Tri{older, larger, deep} {
		if t == known.Yes {
			r.LowPoints++
		}
		if t != known.No {
			r.HighPoints++
		}
	}
	r.LowPercent, r.HighPercent = margolisNotHealed[r.LowPoints], margolisNotHealed[r.HighPoints]
	r.Because = source.Because{
		reason("One point each: older than 2 months, larger than 2 cm2, grade 3 or more. For neuropathic ulcers only.", "", margolisTable),
		reason("Exactly 2 months (61 days) or exactly 2.0 cm2 give no point.", "", margolisEdges),
	}
	return r
}
