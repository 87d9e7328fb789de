package fhir

import (
	"bytes"
	"compress/gzip"
	"context"
	"io"
	"os"
	"path/filepath"
	"testing"

	"github.com/go-json-experiment/json"

	"tengram/internal/clinic"
	"tengram/internal/intake/fhir/scan"
	"tengram/internal/kernel/record"
	"tengram/internal/testdata"
)

// population is the synthetic population as one text of one resource a line.
func population(tb testing.TB) []byte {
	tb.Helper()
	var all bytes.Buffer
	for _, typ := range []string{"Patient", "Condition", "Encounter", "Observation", "Procedure", "MedicationRequest"} {
		packed, err := os.ReadFile(testdata.Shared(tb, "fhir-synthea", typ+".ndjson.gz"))
		if err != nil {
			tb.Fatal(err)
		}
		unpacked, err := gzip.NewReader(bytes.NewReader(packed))
		if err != nil {
			tb.Fatal(err)
		}
		if _, err := io.Copy(&all, unpacked); err != nil {
			tb.Fatal(err)
		}
	}
	return all.Bytes()
}

// minimal has the members that the readers take in, for the comparison with a
// general decoder.
type minimal struct {
	ResourceType string `json:"resourceType"`
	ID           string `json:"id"`
	Status       string `json:"status"`
	Intent       string `json:"intent"`
	BirthDate    string `json:"birthDate"`
	Gender       string `json:"gender"`
	Name         []struct {
		Use, Family string
		Given       []string
	} `json:"name"`
	Identifier []struct {
		System, Value string
		Type          miniConcept
	} `json:"identifier"`
	Class struct {
		System, Code string
	} `json:"class"`
	Type                      []miniConcept `json:"type"`
	Code                      miniConcept   `json:"code"`
	ClinicalStatus            miniConcept   `json:"clinicalStatus"`
	VerificationStatus        miniConcept   `json:"verificationStatus"`
	MedicationCodeableConcept miniConcept   `json:"medicationCodeableConcept"`
	Category                  []miniConcept `json:"category"`
	Subject                   miniReference `json:"subject"`
	Encounter                 miniReference `json:"encounter"`
	OnsetDateTime             string        `json:"onsetDateTime"`
	AbatementDateTime         string        `json:"abatementDateTime"`
	EffectiveDateTime         string        `json:"effectiveDateTime"`
	Issued                    string        `json:"issued"`
	AuthoredOn                string        `json:"authoredOn"`
	Period                    miniPeriod    `json:"period"`
	PerformedPeriod           miniPeriod    `json:"performedPeriod"`
	ValueQuantity             *miniQuantity `json:"valueQuantity"`
	ValueCodeableConcept      miniConcept   `json:"valueCodeableConcept"`
	ValueString               string        `json:"valueString"`
	Component                 []struct {
		Code          miniConcept   `json:"code"`
		ValueQuantity *miniQuantity `json:"valueQuantity"`
	} `json:"component"`
}

type miniConcept struct {
	Coding []struct {
		System  string `json:"system"`
		Code    string `json:"code"`
		Display string `json:"display"`
	} `json:"coding"`
	Text string `json:"text"`
}

type miniReference struct {
	Reference string `json:"reference"`
	Display   string `json:"display"`
}

type miniPeriod struct {
	Start string `json:"start"`
	End   string `json:"end"`
}

type miniQuantity struct {
	Value float64 `json:"value"`
	Unit  string  `json:"unit"`
	Code  string  `json:"code"`
}

// BenchmarkDecode compares, on one core and on the same text: the scanner alone,
// our decoder down to facts, and a general decoder into minimal structs.
func BenchmarkDecode(b *testing.B) {
	text := population(b)
	eachLine := func(f func([]byte)) {
		for line := range bytes.Lines(text) {
			f(line)
		}
	}
	b.Run("scan only", func(b *testing.B) {
		b.SetBytes(int64(len(text)))
		var s scan.Scanner
		for b.Loop() {
			eachLine(func(line []byte) {
				s.Reset(line)
				if err := s.End(); err != nil {
					b.Fatal(err)
				}
			})
		}
	})
	b.Run("to facts", func(b *testing.B) {
		b.SetBytes(int64(len(text)))
		b.ReportAllocs()
		out := newBatch()
		for b.Loop() {
			d := newDecoder(nil) // nothing is remembered from the last round
			d.piece(&piece{file: file{"x", "x", true}, data: text, line: 1}, out)
			if len(out.asides) > 0 {
				b.Fatal(out.asides[0])
			}
			out.reset()
		}
	})
	b.Run("json v2 to minimal structs", func(b *testing.B) {
		b.SetBytes(int64(len(text)))
		b.ReportAllocs()
		for b.Loop() {
			eachLine(func(line []byte) {
				var m minimal
				if err := json.Unmarshal(line, &m); err != nil {
					b.Fatal(err)
				}
			})
		}
	})
}

// nothing is a sink that keeps nothing.
type nothing struct{ n int }

func (s *nothing) Person(record.Person) error     { s.n++; return nil }
func (s *nothing) Fact(string, record.Fact) error { s.n++; return nil }
func (s *nothing) Aside(clinic.Aside) error       { s.n++; return nil }

// BenchmarkRead is the whole way from a file, with all cores.
func BenchmarkRead(b *testing.B) {
	text := bytes.Repeat(population(b), 8)
	path := filepath.Join(b.TempDir(), "all.ndjson")
	if err := os.WriteFile(path, text, 0o600); err != nil {
		b.Fatal(err)
	}
	b.SetBytes(int64(len(text)))
	b.ReportAllocs()
	for b.Loop() {
		var sink nothing
		report, err := Open([]string{path}, Options{}).Read(context.Background(), &sink)
		if err != nil || report.Asides != 0 {
			b.Fatal(err, report)
		}
	}
}
