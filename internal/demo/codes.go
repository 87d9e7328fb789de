package demo

import "tengram/internal/kernel/term"

// The codes are real ones, so that the charts are judged like any others. Those
// of the measure's value sets, the exam and the foot risks stand in the
// reference tables; I10, E78.5, J45.909, M54.50, K21.9, F41.9 and N39.0 are
// from memory.

func icd(code string) []term.Code    { return []term.Code{{System: term.ICD10CM, Code: code}} }
func snomed(code string) []term.Code { return []term.Code{{System: term.SNOMED, Code: code}} }
func loinc(code string) []term.Code  { return []term.Code{{System: term.LOINC, Code: code}} }

func cpt(code string) term.Code   { return term.Code{System: term.CPT, Code: code} }
func hcpcs(code string) term.Code { return term.Code{System: term.HCPCS, Code: code} }

// Kinds of visit. The first group qualifies for the foot-exam measure, the
// second does not.
var (
	officeShort     = cpt("99213")
	officeLong      = cpt("99214")
	officeBrief     = cpt("99212")
	officeNew       = cpt("99203")
	preventive      = cpt("99396")
	preventiveOlder = cpt("99397")
	wellness        = hcpcs("G0439")

	nurseOnly   = cpt("99211")
	telephone   = cpt("99441")
	emergency   = cpt("99283")
	generic     = term.Code{System: term.SNOMED, Code: "185349003"}
	inpatient   = term.Code{System: term.SNOMED, Code: "32485007"}
	hospiceHome = term.Code{System: term.SNOMED, Code: "428361000124107"}
)

// The three assessments of the measure and what they may find.
const (
	visualExam   = "401191002"
	filamentExam = "134388005"
	pulseExam    = "91161007"
	normalValue  = "17621005"
	abnormal     = "263654008"
)

const (
	type1   = "46635009"
	type2   = "44054006"
	preDM   = "15777000"
	hospice = "385763009"
)
