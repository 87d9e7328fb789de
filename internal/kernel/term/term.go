// Package term holds codes: which system, which code, and sets of them.
//
// It looks nothing up and ships no hierarchy; the lists that a rule matches
// against stand beside that rule, with their version.
package term

import "strings"

// System is a code system. The zero value is a system that the kernel has no
// name for; such a Code keeps the system's address in its text.
type System uint8

// The code systems that rules match against.
const (
	Other System = iota
	SNOMED
	ICD10CM
	ICD9CM
	LOINC
	CPT
	HCPCS
	RxNorm
	CVX
	CDCRace
	SourceOfPayment
	DischargeDisposition
	Local
)

// LocalURI is the stable address of this project's own codes.
const LocalURI = "https://tengram.example/fhir/CodeSystem/foot-exam"

var uris = []string{
	SNOMED:               "http://snomed.info/sct",
	ICD10CM:              "http://hl7.org/fhir/sid/icd-10-cm",
	ICD9CM:               "http://hl7.org/fhir/sid/icd-9-cm",
	LOINC:                "http://loinc.org",
	CPT:                  "http://www.ama-assn.org/go/cpt",
	HCPCS:                "https://www.cms.gov/Medicare/Coding/HCPCSReleaseCodeSets",
	RxNorm:               "http://www.nlm.nih.gov/research/umls/rxnorm",
	CVX:                  "http://hl7.org/fhir/sid/cvx",
	CDCRace:              "urn:oid:2.16.840.1.113883.6.238",
	SourceOfPayment:      "https://nahdo.org/sopt",
	DischargeDisposition: "http://terminology.hl7.org/CodeSystem/discharge-disposition",
	Local:                LocalURI,
}

// URI returns the address that FHIR gives the system, "" for Other.
func (s System) URI() string {
	if int(s) < len(uris) {
		return uris[s]
	}
	return ""
}

// SystemOf returns the system of a FHIR address (also the OID forms and the
// known aliases), or Other.
func SystemOf(uri string) System {
	switch uri {
	case "urn:oid:2.16.840.1.113883.6.96":
		return SNOMED
	case "urn:oid:2.16.840.1.113883.6.90":
		return ICD10CM
	case "urn:oid:2.16.840.1.113883.6.103", "http://hl7.org/fhir/sid/icd-9-cm/diagnosis":
		return ICD9CM
	case "urn:oid:2.16.840.1.113883.6.1":
		return LOINC
	case "urn:oid:2.16.840.1.113883.6.12":
		return CPT
	case "urn:oid:2.16.840.1.113883.6.285", "urn:oid:2.16.840.1.113883.6.13", "http://www.cms.gov/Medicare/Coding/HCPCSReleaseCodeSets":
		return HCPCS
	case "urn:oid:2.16.840.1.113883.3.221.5":
		return SourceOfPayment
	}
	for s, u := range uris {
		if u == uri && u != "" {
			return System(s)
		}
	}
	return Other
}

// Code is one code of one system. It is comparable, so it can key a map.
type Code struct {
	System System
	Code   string
}

// New makes a Code from a FHIR system address and a code. ICD codes are
// brought to upper case with the dot; codes of systems without a name here keep
// their address in front: "address|code".
func New(uri, code string) Code {
	code = strings.TrimSpace(code)
	s := SystemOf(uri)
	switch s {
	case ICD10CM:
		code = dotted(strings.ToUpper(code), 3)
	case HCPCS:
		code = strings.ToUpper(code)
	case Other:
		code = uri + "|" + code
	}
	return Code{s, code}
}

// dotted puts the dot after n characters of an ICD code that came without it.
func dotted(code string, n int) string {
	if len(code) <= n || strings.Contains(code, ".") {
		return strings.TrimSuffix(code, ".")
	}
	return code[:n] + "." + code[n:]
}

// URI returns the address of the code's system.
func (c Code) URI() string {
	if c.System == Other {
		uri, _, _ := strings.Cut(c.Code, "|")
		return uri
	}
	return c.System.URI()
}

// Value returns the bare code.
func (c Code) Value() string {
	if c.System == Other {
		_, v, _ := strings.Cut(c.Code, "|")
		return v
	}
	return c.Code
}

// String returns "address|code".
func (c Code) String() string {
	if c.System == Other {
		return c.Code
	}
	return c.System.URI() + "|" + c.Code
}

// MarshalText writes "address|code".
func (c Code) MarshalText() ([]byte, error) { return []byte(c.String()), nil }

// UnmarshalText reads "address|code".
func (c *Code) UnmarshalText(b []byte) error {
	uri, code, _ := strings.Cut(string(b), "|")
	*c = New(uri, code)
	return nil
}

// Set is a list of codes to match against.
type Set map[Code]struct{}

// SetOf makes a Set of codes of one system, given as words in one text.
func SetOf(s System, words string) Set {
	set := Set{}
	set.Add(s, words)
	return set
}

// Add puts further codes, given as words in one text, into the set while it is
// being built.
func (s Set) Add(system System, words string) {
	for _, w := range strings.Fields(words) {
		s[Code{system, w}] = struct{}{}
	}
}

// Has reports whether the set holds the code.
func (s Set) Has(c Code) bool {
	_, ok := s[c]
	return ok
}

// HasAny reports whether the set holds one of the codes.
func (s Set) HasAny(cs []Code) bool {
	for _, c := range cs {
		if s.Has(c) {
			return true
		}
	}
	return false
}
