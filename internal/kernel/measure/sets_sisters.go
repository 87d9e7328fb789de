package measure

import (
	"strings"

	"tengram/internal/kernel/record"
	"tengram/internal/kernel/term"
)

// addSisters adds the codes of the measures beside the foot exam.
//
// The nerve tests are LOINC items of a research protocol, which is what exists
// (exam codes table; component checked, method not). No reflex code was found
// that names the ankle. The HCPCS codes are those of the registry measures
// (reference, sections 2.1 and 2.2, second hand): they arrive as procedures or
// observations, by sender.
func (s *Sets) addSisters() {
	s.add(record.Observation, term.LOINC, isSecondTest, `65711-4 65710-6`)
	for _, kind := range []record.Kind{record.Procedure, record.Observation} {
		s.add(kind, term.HCPCS, isNeuroMet, `G8404`)
		s.add(kind, term.HCPCS, isNeuroExcluded, `G2178`)
		s.add(kind, term.HCPCS, isNeuroException, `G2179`)
		s.add(kind, term.HCPCS, isFootwearMet, `G8410`)
		s.add(kind, term.HCPCS, isFootwearExcluded, `G2180`)
	}
	// HbA1c in per cent; 97506-0 is the glucose management indicator (from
	// memory); 59261-8 is HbA1c in mmol/mol.
	s.add(record.Observation, term.LOINC, isA1cPercent, `4548-4 17856-6 97506-0`)
	s.add(record.Observation, term.LOINC, isA1cMmol, `59261-8`)
	// Telephone, virtual and nutrition visits, which CMS122 takes and CMS123
	// does not (numbers from memory).
	s.add(record.Encounter, term.CPT, isDistantVisit, `99441 99442 99443 98970 98971 98972 99421 99422 99423 97802 97803 97804`)
	s.add(record.Condition, term.ICD10CM, isPalliative, `Z51.5`)
}

// dementiaCode reports a diagnosis of dementia: F01, F02, F03 or G30 (ICD-10-CM
// blocks, from memory).
func dementiaCode(codes []term.Code) bool {
	for _, c := range codes {
		if c.System != term.ICD10CM {
			continue
		}
		for _, block := range [...]string{"F01", "F02", "F03", "G30"} {
			if strings.HasPrefix(c.Code, block) {
				return true
			}
		}
	}
	return false
}
