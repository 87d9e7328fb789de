package measure

import "tengram/internal/kernel/record"

// QualifyingVisit reports whether a fact is a visit of a kind that CMS123
// counts, and that took place. When it did is for the caller to read.
func QualifyingVisit(f *record.Fact, sets *Sets) bool {
	if sets == nil {
		sets = sets2018
	}
	return f.Kind == record.Encounter && f.Standing == record.Stands && sets.of(f)&isVisit != 0
}
