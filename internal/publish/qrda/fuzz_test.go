package qrda

import (
	"testing"

	"tengram/internal/kernel/measure"
)

// FuzzVerify reads any text as a report: it may refuse all of it, and must not
// break.
func FuzzVerify(f *testing.F) {
	f.Add(written(f, report(STU21)))
	f.Add([]byte(`<ClinicalDocument><organizer><templateId root="2.16.840.1.113883.10.20.27.3.1"/><component/></organizer></ClinicalDocument>`))
	f.Add([]byte(`<a`))
	f.Add([]byte(``))
	f.Fuzz(func(t *testing.T, doc []byte) {
		ps := Verify(doc, Expect{Release: STU21, Measure: measure.FootExam().Published, Supplemental: true})
		if root, err := read(doc); err != nil && len(ps) == 0 {
			t.Errorf("what cannot be read passes: %v", err)
		} else if err == nil && root.at("code").attrs["code"] == "" && len(ps) == 0 {
			t.Error("a document without a code passes")
		}
	})
}
