// Package cohort says who belongs to the clinic's diabetes panel and who of
// them is watched, with the codes that say so.
//
// The panel is wider than any quality measure: whoever has diabetes of any kind
// has feet to look after. A measure takes its own, published list of codes.
package cohort

import (
	"strconv"
	"strings"

	"tengram/internal/kernel/known"
	"tengram/internal/kernel/record"
	"tengram/internal/kernel/source"
	"tengram/internal/kernel/term"
	"tengram/internal/kernel/when"
)

// Type is the kind of diabetes as far as the codes tell.
type Type string

// The types. NotTold is diabetes whose codes do not tell the type.
const (
	NotTold Type = ""
	Type1   Type = "type 1"
	Type2   Type = "type 2"
	Another Type = "another type"
	// Several: the codes contradict each other.
	Several Type = "codes of more than one type"
)

// Result says whether a person belongs to the diabetes panel on one day.
type Result struct {
	// Is is Yes with a standing, active diabetes code. It is No where the
	// record holds diagnoses, none of them diabetes, and nothing hints at it.
	// It is Unknown where the record holds no diagnosis at all, or only a hint:
	// somebody should look.
	Is known.Tri `json:"is"`
	// Type is the kind of diabetes, where Is is Yes.
	Type Type `json:"type,omitempty"`
	// Since is the first day on which the record has diabetes; zero where no
	// code is dated.
	Since when.Day `json:"since,omitzero"`
	// OutsideMeasure: diabetes by codes that the foot-exam measure of 2018 does
	// not count, such as drug-induced diabetes.
	OutsideMeasure bool           `json:"outside-measure,omitempty"`
	Because        source.Because `json:"because"`
}

// panel is the rule of this package.
var panel = source.OurProposal.At("diabetes panel: active codes of diabetes of any kind; gestational diabetes and prediabetes are not", source.Proposal)

// Diabetes says whether the record has diabetes on a day. A diagnosis that
// begins later does not count yet, and one that ended on an earlier day does
// not count any more; a date known only to the year or month counts from its
// first day to its last.
//
// Days are those written in the record: a panel does not turn on the hours
// around midnight.
func Diabetes(rec *record.Record, on when.Day) Result {
	var r Result
	var hint source.Because
	diagnoses := false
	inMeasure := false
	for i := range rec.Facts {
		f := &rec.Facts[i]
		if f.Standing != record.Stands {
			continue
		}
		switch f.Kind {
		case record.Condition:
			diagnoses = true
			kind, code, ok := diabetesCode(f.Codes)
			if !ok {
				if says := conditionHint(f); says != "" {
					hint = append(hint, source.Reason{Says: says, Fact: f.Key, Source: panel})
				}
				continue
			}
			if says := inactive(f, on); says != "" {
				hint = append(hint, source.Reason{Says: "Diabetes " + code.Value() + " " + says + ".", Fact: f.Key, Source: panel})
				continue
			}
			r.add(f, kind, code)
			inMeasure = inMeasure || diabetes2018.HasAny(f.Codes)
		case record.Observation:
			if says := a1cHint(f, on); says != "" {
				hint = append(hint, source.Reason{Says: says, Fact: f.Key, Source: a1cSource})
			}
		}
	}
	switch {
	case r.Is == known.Yes:
		r.OutsideMeasure = !inMeasure
		if r.OutsideMeasure {
			r.Because = append(r.Because, source.Reason{Says: "These codes are not in the diabetes value set of the 2018 foot-exam measure.", Source: set2018})
		}
	case len(hint) > 0:
		r.Because = hint
	case len(rec.Exams) > 0:
		r.Because = source.Because{{Says: "A diabetes foot exam was signed here, and no active diabetes code is in the record.", Source: panel}}
	case diagnoses:
		r.Is = known.No
		r.Because = source.Because{{Says: "None of the diagnoses in the record is diabetes.", Source: panel}}
	default:
		r.Because = source.Because{{Says: "The record holds no diagnosis at all.", Source: panel}}
	}
	return r
}

var diabetes2018 = Diabetes2018.Codes()

// add counts one active diabetes fact.
func (r *Result) add(f *record.Fact, kind Type, code term.Code) {
	r.Is = known.Yes
	switch {
	case r.Type == NotTold || r.Type == kind:
		r.Type = kind
	case kind != NotTold:
		r.Type = Several
	}
	says := "Diabetes " + code.Value()
	low, _ := f.Start.Days(nil)
	if low == 0 {
		says += ", active, without a date"
	} else {
		says += " since " + f.Start.String()
		if r.Since == 0 || low < r.Since {
			r.Since = low
		}
	}
	r.Because = append(r.Because, source.Reason{Says: says + ".", Fact: f.Key, Source: panel})
}

// inactive says why a diabetes fact does not count on a day, or nothing.
func inactive(f *record.Fact, on when.Day) string {
	low, _ := f.Start.Days(nil)
	_, high := f.End.Days(nil)
	switch {
	case low > on:
		return "begins on " + f.Start.String()
	case high != 0 && high < on:
		return "ended on " + f.End.String()
	case high == 0 && f.Ended == known.Yes:
		return "is marked as over, without a date"
	}
	return ""
}

// diabetesCode returns a coding that is diabetes, before all one that tells the
// type.
func diabetesCode(codes []term.Code) (kind Type, code term.Code, ok bool) {
	for _, c := range codes {
		t, is := typeOf(c)
		if !is {
			continue
		}
		if t != NotTold {
			return t, c, true
		}
		if !ok {
			code, ok = c, true
		}
	}
	return NotTold, code, ok
}

func typeOf(c term.Code) (Type, bool) {
	switch c.System {
	case term.ICD10CM:
		return icd10Type(c.Code)
	case term.SNOMED:
		if t, ok := snomedTypes[c.Code]; ok {
			return t, true
		}
		return NotTold, panelSet.Has(c)
	case term.ICD9CM:
		return NotTold, panelSet.Has(c)
	}
	return NotTold, false
}

// icd10Type reads the category: E08 to E11 and E13 (there is no E12), and
// diabetes that was there before a pregnancy. A bare category such as E11 is
// not a valid code, and plain enough for a panel. Presymptomatic type 1 is not
// diabetes yet, except E10.A2, which the value set of 2025 counts
// (icd10cm-foot-risk and diabetes-valueset-drift tables, 2021 and 2025).
func icd10Type(code string) (Type, bool) {
	if len(code) < 3 || (len(code) > 3 && code[3] != '.') {
		return NotTold, false
	}
	switch code[:3] {
	case "E10":
		if strings.HasPrefix(code, "E10.A") && code != "E10.A2" {
			return NotTold, false
		}
		return Type1, true
	case "E11":
		return Type2, true
	case "E08", "E09", "E13":
		return Another, true
	case "O24":
		switch {
		case strings.HasPrefix(code, "O24.0"):
			return Type1, true
		case strings.HasPrefix(code, "O24.1"):
			return Type2, true
		case strings.HasPrefix(code, "O24.3"), strings.HasPrefix(code, "O24.8"):
			return NotTold, true
		}
	}
	return NotTold, false
}

// snomedTypes gives the type of the codes whose meaning stands in the reference
// tables or in the name of the ICD-10-CM block they go with. The first five are
// from memory; the neuropathy code and the secondary and drug-induced kinds are
// named in the measure's drift table.
var snomedTypes = map[string]Type{
	"46635009":        Type1,
	"313435000":       Type1,
	"44054006":        Type2,
	"313436004":       Type2,
	"237599002":       Type2,
	"368581000119106": Type2,
	"8801005":         Another,
	"5368009":         Another,
}

// panelSet holds the SNOMED CT and ICD-9-CM codes of both editions.
var panelSet = panelCodes()

func panelCodes() term.Set {
	set := term.SetOf(term.SNOMED, snomedKept)
	set.Add(term.SNOMED, snomedUntil2018)
	set.Add(term.SNOMED, snomedSince2025)
	set.Add(term.ICD9CM, icd9)
	return set
}

// conditionHint names a code that goes with diabetes and does not say it.
func conditionHint(f *record.Fact) string {
	for _, c := range f.Codes {
		if c.System != term.ICD10CM {
			continue
		}
		switch c.Code {
		case "Z79.4":
			return "Long-term insulin (Z79.4) without a diabetes code."
		case "Z79.84":
			return "Long-term oral glucose-lowering drug (Z79.84) without a diabetes code."
		}
	}
	return ""
}

var a1cSource = source.ADA2024Diagnosis.At("HbA1c 6.5 % or more", source.Memory)

// a1cHint names an HbA1c in the range of diabetes. Only results in per cent are
// read; a result in mmol/mol is not compared with a limit in per cent.
func a1cHint(f *record.Fact, on when.Day) string {
	low, _ := f.Start.Days(nil)
	if !f.Value.Given || f.Value.Unit != "%" || low > on {
		return ""
	}
	for _, c := range f.Codes {
		if c.System != term.LOINC || (c.Code != "4548-4" && c.Code != "17856-6") {
			continue
		}
		v, err := strconv.ParseFloat(f.Value.Number, 64)
		if err == nil && v >= 6.5 && f.Value.Comparator != "<" && f.Value.Comparator != "<=" {
			return "HbA1c " + f.Value.Number + " % without a diabetes code."
		}
	}
	return ""
}
