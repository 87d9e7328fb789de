package record

import (
	"cmp"
	"slices"
)

// Arrange places facts that were told by age and puts everything into its
// order: facts by kind, start and key, exams by time, referrals by the day they
// were opened.
func (r *Record) Arrange() {
	r.PlaceAges()
	slices.SortFunc(r.Facts, Fact.compare)
	slices.SortStableFunc(r.Exams, func(a, b SignedExam) int {
		return cmp.Or(a.Exam.At.Compare(b.Exam.At), cmp.Compare(a.Exam.ID, b.Exam.ID))
	})
	slices.SortStableFunc(r.Referrals, func(a, b Referral) int {
		return cmp.Or(cmp.Compare(a.Opened, b.Opened), cmp.Compare(a.ID, b.ID))
	})
}
