package fhir

import (
	"fmt"
	"reflect"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"tengram/internal/demo"
	"tengram/internal/kernel/assess"
	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/foot"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/record"
	"tengram/internal/kernel/when"
)

// sign judges a draft and signs it a day later.
func sign(d exam.Draft, edition assess.Edition) record.SignedExam {
	_, on := d.At.Days(nil)
	a := assess.Assess(assess.Input{Exam: &d, Edition: edition, On: on})
	return record.SignedExam{
		Exam: exam.Exam{Draft: d}, Assessment: a, SignedBy: exam.Person{ID: "d-oakes", Name: "Dana Oakes", Role: "nurse"},
		SignedAt: when.MustMoment(on.AddDays(1).String() + "T08:00:00-05:00"),
	}
}

// example is one of the documented examples, signed.
func example(t testing.TB, name string) record.SignedExam {
	t.Helper()
	for _, e := range demo.Examples() {
		if strings.HasPrefix(e.Name, name) {
			return sign(e.Draft, assess.DefaultEdition())
		}
	}
	t.Fatalf("no example %s", name)
	return record.SignedExam{}
}

// anyone is a person with everything that must not leave unasked.
func anyone(id string) record.Person {
	return record.Person{
		ID: id, Family: "Quillfeather", Given: "Marguerite", Birth: when.MustMoment("1957-11-03"), Sex: "female",
		Phone: "555-0142", Identifiers: []string{"https://tengram.example/mrn|MRN-77041"},
	}
}

// drafts fills every field of a draft by its type, whether it makes sense or
// not: an exam as it may come from anywhere. Free texts hold the secret word,
// so that a leak shows.
var drafts = rapid.Custom(func(t *rapid.T) exam.Draft {
	var d exam.Draft
	fill(t, reflect.ValueOf(&d).Elem(), "Draft")
	d.Schema, d.ID, d.Patient = exam.SchemaID, rapid.StringMatching(`[a-z0-9-]{8,20}`).Draw(t, "id"), rapid.StringMatching(`[a-z0-9-]{3,10}`).Draw(t, "patient")
	d.At = when.MustMoment(rapid.SampledFrom([]string{"2026-04-06T09:30:00-05:00", "2026-04-06T09:30Z", "2026-04-06T23:59:60.25+14:30"}).Draw(t, "at"))
	if d.Revision = 1 + rapid.IntRange(0, 1).Draw(t, "revision"); d.Revision == 1 {
		d.Amends = nil
	}
	return d
})

const secret = "Zebedee"

func fill(t *rapid.T, v reflect.Value, name string) {
	if rapid.IntRange(0, 3).Draw(t, name+" is left out") == 0 {
		return
	}
	switch x := v.Addr().Interface().(type) {
	case *when.Moment:
		*x = when.MustMoment(rapid.SampledFrom([]string{"2026", "2025-04", "2026-02-03", "2026-02-03T10:00Z", "2025-12/2026-01", "2026-02-03T10:00"}).Draw(t, name))
		return
	case *known.Reading:
		*x = known.Reading{State: known.ReadingState(rapid.IntRange(0, int(known.MeasureDeclined)).Draw(t, name)), Value: rapid.IntRange(0, 300).Draw(t, name)}
		return
	case *known.Tenths:
		*x = known.Tenths{State: known.ReadingState(rapid.IntRange(0, int(known.MeasureDeclined)).Draw(t, name)), Value: rapid.IntRange(-5, 450).Draw(t, name)}
		return
	case *foot.Toes:
		*x = foot.Toes(rapid.IntRange(0, 31).Draw(t, name))
		return
	case *foot.Side:
		*x = foot.Side(rapid.IntRange(0, 1).Draw(t, name))
		return
	}
	switch v.Kind() {
	case reflect.Struct:
		for i := range v.NumField() {
			fill(t, v.Field(i), name+"."+v.Type().Field(i).Name)
		}
	case reflect.Pointer:
		v.Set(reflect.New(v.Type().Elem()))
		fill(t, v.Elem(), name)
	case reflect.Slice:
		n := rapid.IntRange(0, 2).Draw(t, name)
		v.Set(reflect.MakeSlice(v.Type(), n, n))
		for i := range n {
			fill(t, v.Index(i), name)
		}
	case reflect.Array:
		for i := range v.Len() {
			fill(t, v.Index(i), name)
		}
	case reflect.Uint8:
		n := uint64(0)
		for ; n < 64; n++ {
			v.SetUint(n)
			if strings.HasPrefix(v.Interface().(fmt.Stringer).String(), "invalid") {
				break
			}
		}
		v.SetUint(rapid.Uint64Range(0, n-1).Draw(t, name))
	case reflect.String:
		v.SetString(secret)
		if strings.HasSuffix(name, "ID") || strings.HasSuffix(name, "Category") {
			v.SetString(rapid.SampledFrom([]string{"u1", "u2", "2"}).Draw(t, name))
		}
	case reflect.Int:
		v.SetInt(int64(rapid.IntRange(0, 5).Draw(t, name)))
	case reflect.Float64:
		v.SetFloat(rapid.Float64Range(0.1, 50).Draw(t, name))
	}
}
