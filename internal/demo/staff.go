package demo

import "tengram/internal/kernel/exam"

// The clinic is in a town that no map has.
const (
	Name  = "Quillmere Family Practice"
	Phone = "(555) 555-0100"

	mainSite   = "Quillmere"
	branchSite = "Otter Lane"
)

// Sites lists the two sites.
func Sites() []string { return []string{mainSite, branchSite} }

// The staff; the roles are those of internal/clinic.
var (
	calloway = exam.Person{ID: "i-calloway", Name: "Ines Calloway, MD", Role: "clinician"}
	wexcombe = exam.Person{ID: "t-wexcombe", Name: "Tomas Wexcombe, NP", Role: "clinician"}
	sundaram = exam.Person{ID: "l-sundaram", Name: "Leela Sundaram, DO", Role: "clinician"}
	oakes    = exam.Person{ID: "d-oakes", Name: "Dana Oakes, RN", Role: "nurse"}
	herran   = exam.Person{ID: "l-herran", Name: "Luz Herrán, MA", Role: "nurse"}
	pellew   = exam.Person{ID: "m-pellew", Name: "Marcus Pellew, RN", Role: "nurse"}
	brandt   = exam.Person{ID: "r-brandt", Name: "Ruth Brandt, quality lead", Role: "lead"}
)

// Staff lists everybody who works in the clinic: three clinicians, three who
// examine, and the quality lead.
func Staff() []exam.Person {
	return []exam.Person{calloway, wexcombe, sundaram, oakes, herran, pellew, brandt}
}

// clinicians and examiners are the two lists that people and exams are given
// to by chance.
var (
	clinicians = []exam.Person{calloway, wexcombe, sundaram}
	examiners  = []exam.Person{oakes, herran, pellew}
)
