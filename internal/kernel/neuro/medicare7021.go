package neuro

import "tengram/internal/kernel/source"

const (
	idMedicare   = "lops-medicare-70.2.1"
	nameMedicare = "Medicare 70.2.1: two or more of five sites"
	cutMedicare  = 2
)

var (
	srcMedicare      = source.MedicareNCD7021.At("LOPS: no sensation at two or more of five sites on either foot", source.Confirmed)
	srcMedicareSites = source.OurProposal.At("great toe, metatarsal heads 1, 3 and 5, and heel as the five sites", source.Proposal)
)

// defMedicare: the 5.07 monofilament at five plantar sites on each foot; LOPS
// from two sites not felt on the same foot. The determination names no sites;
// the five here are our proposal. Sites beyond them are not counted, and fewer
// tested sites leave a result that is marked incomplete.
var defMedicare = Definition{ID: idMedicare, Name: nameMedicare, Source: srcMedicare, Judge: judgeMedicare}

func judgeMedicare(t Tests) Result {
	v := newVerdict(&t, idMedicare, nameMedicare)
	v.rule("Two or more insensate sites of five on the same foot mean loss of protective sensation.", srcMedicare)
	v.rule("The five sites are the great toe, the first, third and fifth metatarsal head, and the heel.", srcMedicareSites)
	return v.byCutOff(FiveSites.Sites(), cutMedicare)
}
