package web

import (
	"strings"

	"tengram/internal/kernel/record"
	"tengram/internal/kernel/term"
)

// codeWords names a code that came without a text: the results that matter for
// feet by name, any other by its system and number. The names are LOINC's
// components, shortened; CPT numbers stand without a descriptor, which is not
// ours to show.
func codeWords(c term.Code) string {
	if c.System == term.LOINC {
		switch c.Code {
		case "4548-4", "17856-6":
			return "HbA1c"
		case "98979-8", "62238-1", "33914-3", "48642-3", "48643-1":
			return "eGFR"
		case "2160-0":
			return "Creatinine"
		case "29463-7":
			return "Body weight"
		case "85354-9":
			return "Blood pressure"
		}
	}
	name := map[term.System]string{
		term.SNOMED: "SNOMED CT", term.ICD10CM: "ICD-10-CM", term.ICD9CM: "ICD-9-CM", term.LOINC: "LOINC", term.CPT: "CPT",
		term.HCPCS: "HCPCS", term.RxNorm: "RxNorm", term.CVX: "CVX", term.SourceOfPayment: "source of payment",
	}[c.System]
	return strings.TrimSpace(name + " " + c.Value())
}

// unitWords writes a UCUM unit as people do.
func unitWords(unit string) string {
	return strings.NewReplacer("{1.73_m2}", "1.73 m²", "[in_i]", "in", "mm[Hg]", "mmHg", "10*3/uL", "10³/µL").Replace(unit)
}

// kindWords names the kind of a fact as a clinic does.
func kindWords(k record.Kind) string {
	switch k {
	case record.Condition:
		return "Problem"
	case record.Encounter:
		return "Visit"
	case record.Observation:
		return "Result"
	case record.Appointment:
		return "Booked visit"
	}
	return sentence(k.String())
}
