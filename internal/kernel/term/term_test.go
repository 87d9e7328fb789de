package term

import "testing"

func TestCodesAreBroughtToOneForm(t *testing.T) {
	rows := []struct {
		uri, code, want string
		system          System
	}{
		// measures reference 3.4: E1142 normalises to E11.42.
		{"http://hl7.org/fhir/sid/icd-10-cm", "E1142", "E11.42", ICD10CM},
		{"http://hl7.org/fhir/sid/icd-10-cm", " e11.9 ", "E11.9", ICD10CM},
		{"urn:oid:2.16.840.1.113883.6.90", "Z89.511", "Z89.511", ICD10CM},
		{"http://hl7.org/fhir/sid/icd-10-cm", "E11", "E11", ICD10CM},
		{"http://snomed.info/sct", "44054006", "44054006", SNOMED},
		{"http://www.ama-assn.org/go/cpt", "99213", "99213", CPT},
		{"https://www.cms.gov/Medicare/Coding/HCPCSReleaseCodeSets", "g0439", "G0439", HCPCS},
	}
	for _, r := range rows {
		c := New(r.uri, r.code)
		if c.System != r.system || c.Value() != r.want {
			t.Errorf("New(%q, %q) = %v %q", r.uri, r.code, c.System, c.Value())
		}
	}
	other := New("http://example.org/x", "a1")
	if other.System != Other || other.URI() != "http://example.org/x" || other.Value() != "a1" {
		t.Errorf("a code of another system lost its address: %v", other)
	}
}

func TestCodesRoundTripAsText(t *testing.T) {
	for s := SNOMED; s <= Local; s++ {
		c := Code{s, "X1"}
		if s == ICD10CM {
			c.Code = "X10.1"
		}
		b, _ := c.MarshalText()
		var back Code
		if err := back.UnmarshalText(b); err != nil || back != c {
			t.Errorf("%v comes back as %v, %v", c, back, err)
		}
	}
}

func TestSetsMatchOnlyTheirOwnSystem(t *testing.T) {
	set := SetOf(ICD10CM, "E11.9 E11.42")
	if !set.Has(Code{ICD10CM, "E11.42"}) || set.Has(Code{SNOMED, "E11.42"}) || set.Has(Code{ICD10CM, "E11"}) {
		t.Error("the set matches the wrong codes")
	}
	if !set.HasAny([]Code{{SNOMED, "1"}, {ICD10CM, "E11.9"}}) || set.HasAny(nil) {
		t.Error("HasAny is wrong")
	}
}
