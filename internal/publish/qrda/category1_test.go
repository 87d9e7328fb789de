package qrda

import (
	"bytes"
	"strings"
	"testing"

	"tengram/internal/demo"
	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/measure"
	"tengram/internal/kernel/record"
	"tengram/internal/kernel/term"
	"tengram/internal/kernel/when"
	"tengram/internal/publish/guard"
)

func fact(kind record.Kind, key string, system term.System, code, start, end string) record.Fact {
	f := coverage(key, "", start, end)
	f.Kind, f.Codes = kind, []term.Code{{System: system, Code: code}}
	return f
}

// someone has a visit, diabetes and the three assessments in 2026: the visual
// exam was imported, the other two parts were done in an exam signed here.
func someone(t testing.TB) *record.Record {
	t.Helper()
	visual := fact(record.Observation, "Observation/o1", term.SNOMED, "401191002", "2026-03-02T09:00:00-05:00", "2026-03-02T09:00:00-05:00")
	visual.Value = record.Value{Given: true, Codes: []term.Code{{System: term.SNOMED, Code: "17621005"}}}
	diabetes := fact(record.Condition, "Condition/c1", term.ICD10CM, "E11.9", "2019-05", "")
	diabetes.Ended = known.No
	diabetes.Codes = append(diabetes.Codes, term.Code{System: term.SNOMED, Code: "44054006"})
	signed := record.SignedExam{Exam: exam.Exam{Draft: demo.Examples()[0].Draft}}
	signed.Exam.Right.Look.Skin = known.NotDone
	return &record.Record{
		Person: record.Person{ID: "p1", Family: "Quillfeather", Given: "Marguerite", Birth: when.MustMoment("1957-11-03"), Sex: "female"},
		Facts: []record.Fact{
			diabetes, fact(record.Encounter, "Encounter/e1", term.CPT, "99213", "2026-03-02T09:00:00-05:00", "2026-03-02T09:30:00-05:00"),
			visual, coverage("Coverage/v1", "1", "2026-01-01", ""),
			fact(record.Condition, "Condition/other", term.ICD10CM, "F20.9", "2010", ""), // nobody's business
		},
		Exams: []record.SignedExam{signed},
	}
}

func personal(rec *record.Record) Patient {
	m := measure.FootExam()
	return Patient{
		Measure: m, Record: rec, Result: m.Evaluate(rec, measure.Context{Period: measure.Year(2026), Explain: true}),
		At: when.MustMoment("2027-01-15T12:00:00-05:00"), Organisation: Organisation{Name: "Harbour Street Practice"}, Software: "Tengram 0.1.0",
	}
}

// amputated is excluded by two procedures with their sides, and has an order.
func amputated(t testing.TB) *record.Record {
	rec := someone(t)
	left := fact(record.Procedure, "Procedure/l", term.SNOMED, "88312006", "2020-02-02", "2020-02-02")
	left.Sites = []term.Code{{System: term.SNOMED, Code: "7771000"}}
	right := fact(record.Procedure, "Procedure/r", term.SNOMED, "88312006", "2021", "2021")
	right.Sites = []term.Code{{System: term.SNOMED, Code: "24028007"}}
	hospice := fact(record.Order, "ServiceRequest/h", term.SNOMED, "385763009", "2026-06-01", "2026-06-01")
	rec.Facts = append(rec.Facts, left, right, hospice)
	return rec
}

func TestAPatientsDocumentIsValidByTheSchema(t *testing.T) {
	for name, rec := range map[string]*record.Record{
		"counted": someone(t), "excluded": amputated(t),
		"nobody": {Person: record.Person{ID: "p1"}},
	} {
		for _, names := range []bool{false, true} {
			p := personal(rec)
			p.Names = names
			doc, err := CategoryI(p)
			if err != nil {
				t.Fatal(err)
			}
			if says := bySchema(t, doc); says != "" {
				t.Errorf("%s, names %v: %s", name, names, says)
			}
		}
	}
}

func TestAPatientsDocumentIsAsItWas(t *testing.T) {
	doc, err := CategoryI(personal(someone(t)))
	if err != nil {
		t.Fatal(err)
	}
	golden(t, "testdata/qrda1.xml", doc)
}

// The template roots and extensions are those of the guide's own sample, HL7
// QRDA I STU 5.3; the document code stands in the measures reference, 6.4.
func TestAPatientsDocumentHoldsWhatTheAnswerRestsOn(t *testing.T) {
	doc, err := CategoryI(personal(someone(t)))
	if err != nil {
		t.Fatal(err)
	}
	root, err := read(doc)
	if err != nil {
		t.Fatal(err)
	}
	count := map[string]int{}
	root.each(func(e *element) {
		if e.name == "templateId" {
			count[strings.TrimPrefix(e.attrs["root"], prefix)+" "+e.attrs["extension"]]++
		}
	})
	for template, want := range map[string]int{
		"24.1.2 2021-08-01": 1, "24.2.1 2021-08-01": 1, "24.3.97 ": 1, "24.3.23 2021-08-01": 1, "24.3.135 2021-08-01": 1,
		"24.3.144 2021-08-01": 3, "24.3.87 2019-12-01": 3, "24.3.55 ": 1,
	} {
		if count[template] != want {
			t.Errorf("%s stands in it %d times, want %d", template, count[template], want)
		}
	}
	if root.at("code").attrs["code"] != "55182-0" {
		t.Errorf("document code %v", root.at("code").attrs)
	}
	if bytes.Contains(doc, []byte("F20.9")) {
		t.Error("a diagnosis that the measure has no use for has left")
	}
	for _, want := range []string{`value="201905"`, `value="20260302090000-0500"`, `code="99213" codeSystem="2.16.840.1.113883.6.12"`,
		`<translation code="44054006"`, `code="134388005"`, `code="91161007"`, `<value xsi:type="CD" code="17621005"`, `code="1" codeSystem="2.16.840.1.113883.3.221.5"`} {
		if !bytes.Contains(doc, []byte(want)) {
			t.Errorf("%s is missing", want)
		}
	}
}

func TestThePersonIsMaskedUnlessNamesAreAskedFor(t *testing.T) {
	p := personal(someone(t))
	doc, err := CategoryI(p)
	if err != nil {
		t.Fatal(err)
	}
	for _, word := range []string{"Quillfeather", "Marguerite", "1957"} {
		if bytes.Contains(doc, []byte(word)) {
			t.Errorf("%s has left", word)
		}
	}
	p.Names = true
	if doc, err = CategoryI(p); err != nil || !bytes.Contains(doc, []byte(`<birthTime value="19571103"/>`)) || !bytes.Contains(doc, []byte("Quillfeather")) {
		t.Errorf("names were asked for and are not there: %v", err)
	}
	if p.Pseudonym, err = guard.NewPseudonym([]byte("0123456789abcdef")); err != nil {
		t.Fatal(err)
	}
	if _, err := CategoryI(p); err == nil {
		t.Error("names and pseudonyms were given together")
	}
	p.Names = false
	if doc, err = CategoryI(p); err != nil || bytes.Contains(doc, []byte(`extension="p1"`)) {
		t.Errorf("the id has left under a pseudonym: %v", err)
	}
}

func TestAPatientsDocumentThatCannotBeIsRefused(t *testing.T) {
	for name, change := range map[string]func(*Patient){
		"a measure of our own": func(p *Patient) { p.Measure = measure.RecallKept() },
		"another person":       func(p *Patient) { p.Result.Patient = "p2" },
		"no time":              func(p *Patient) { p.At = when.Moment{} },
		"no organisation":      func(p *Patient) { p.Organisation.Name = "" },
	} {
		p := personal(someone(t))
		change(&p)
		if _, err := CategoryI(p); err == nil {
			t.Errorf("%s: it was written", name)
		}
	}
}

func TestTimesAreWrittenAsCDAHasThem(t *testing.T) {
	for text, want := range map[string]string{
		"2018": "2018", "2018-05": "201805", "2018-05-10": "20180510", "2018-05-10T15:00": "20180510", "2018-05/2018-06": "",
		"2018-05-10T15:00:30.5-05:00": "20180510150030-0500", "2018-05-10T15:00Z": "20180510150000+0000", "": "",
	} {
		var m when.Moment
		if err := m.UnmarshalText([]byte(text)); err != nil {
			t.Fatal(err)
		}
		if got := timestamp(m); got != want {
			t.Errorf("%q is written %q, want %q", text, got, want)
		}
	}
}
