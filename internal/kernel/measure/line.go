package measure

import (
	"encoding/json"
	"strconv"
)

// AppendLine appends the result as one line of JSON, with its end of line:
//
//	{"patient":"p1","initial-population":true,"denominator":true,"denominator-exclusion":false,"numerator":false,"because":["..."]}
//
// because holds one sentence a reason, with its source, and is never null.
func (r Result) AppendLine(b []byte) []byte {
	b = append(b, `{"patient":`...)
	b = appendString(b, r.Patient)
	b = append(b, `,"initial-population":`...)
	b = strconv.AppendBool(b, r.InitialPopulation)
	b = append(b, `,"denominator":`...)
	b = strconv.AppendBool(b, r.Denominator)
	b = append(b, `,"denominator-exclusion":`...)
	b = strconv.AppendBool(b, r.DenominatorExclusion)
	b = append(b, `,"numerator":`...)
	b = strconv.AppendBool(b, r.Numerator)
	b = append(b, `,"because":[`...)
	for i, s := range r.Sentences() {
		if i > 0 {
			b = append(b, ',')
		}
		b = appendString(b, s)
	}
	return append(b, "]}\n"...)
}

// Sentences are the reasons in words: each with its source, then what is
// missing, then what in the record is doubtful.
func (r Result) Sentences() []string {
	out := make([]string, 0, len(r.Because)+len(r.Gaps)+len(r.Quality))
	for _, reason := range r.Because {
		s := reason.Says
		if src := reason.Source; src != nil {
			s += " [" + src.Title + " " + src.Edition
			if src.Place != "" {
				s += ", " + src.Place
			}
			s += "]"
		}
		out = append(out, s)
	}
	for _, g := range r.Gaps {
		out = append(out, g.Says)
	}
	for _, q := range r.Quality {
		out = append(out, "Look at the record: "+q)
	}
	return out
}

// appendString appends a JSON string. Plain ASCII is copied; anything else goes
// through encoding/json.
func appendString(b []byte, s string) []byte {
	for i := range len(s) {
		if c := s[i]; c < 0x20 || c >= 0x7f || c == '"' || c == '\\' || c == '<' || c == '>' || c == '&' {
			quoted, err := json.Marshal(s)
			if err != nil { // a string always marshals
				quoted = []byte(`""`)
			}
			return append(b, quoted...)
		}
	}
	b = append(b, '"')
	b = append(b, s...)
	return append(b, '"')
}
