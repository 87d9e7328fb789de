package assess

import (
	"encoding/json"
	"testing"

	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/risk"
)

func FuzzAssessAnyDocument(f *testing.F) {
	p := sound()
	for _, w := range worsenings {
		w.to(&p)
		b, _ := json.Marshal(p.Draft)
		f.Add(b)
	}
	withUlcers(&p)
	for _, w := range worsenings {
		w.to(&p)
	}
	b, _ := json.Marshal(p.Draft)
	f.Add(b)
	f.Add([]byte(`{}`))
	f.Fuzz(func(t *testing.T, b []byte) {
		var d exam.Draft
		if json.Unmarshal(b, &d) != nil {
			return
		}
		exam.Check(d)
		for _, e := range Editions() {
			a := Assess(Input{Exam: &d, Edition: e, On: examDay})
			if len(a.Risks) != len(risk.Systems()) || a.Caution == "" {
				t.Errorf("%d risks, caution %q", len(a.Risks), a.Caution)
			}
			if a.Risk().Low.Rank > a.Risk().High.Rank {
				t.Errorf("interval upside down: %+v", a.Risk())
			}
		}
	})
}
