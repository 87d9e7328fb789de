package clinic_test

import (
	"context"
	"fmt"
	"path/filepath"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"tengram/internal/clinic"
	"tengram/internal/demo"
	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/record"
	"tengram/internal/kernel/term"
	"tengram/internal/kernel/when"
	"tengram/internal/store/sqlite"
)

// Somebody of every role.
var (
	viewer    = exam.Person{ID: "v", Name: "Vera", Role: clinic.Viewer}
	nurse     = exam.Person{ID: "n", Name: "Nuria", Role: clinic.Nurse}
	clinician = exam.Person{ID: "c", Name: "Clara", Role: clinic.Clinician}
	lead      = exam.Person{ID: "l", Name: "Lena", Role: clinic.Lead}
	admin     = exam.Person{ID: "a", Name: "Ada", Role: clinic.Admin}
)

// practice is a clinic over a real store whose clock the test sets.
type practice struct {
	*clinic.Clinic
	t     *testing.T
	store *sqlite.Store
	clock time.Time
}

// newPractice opens at ten in the morning of 4 May 2026 in Chicago.
func newPractice(t *testing.T) *practice {
	t.Helper()
	store, err := sqlite.Open(context.Background(), filepath.Join(t.TempDir(), "clinic.db"))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := store.Close(); err != nil {
			t.Error(err)
		}
	})
	zone, err := time.LoadLocation("America/Chicago")
	if err != nil {
		t.Fatal(err)
	}
	p := &practice{t: t, store: store, clock: time.Date(2026, 5, 4, 10, 0, 0, 0, zone)}
	ids := 0
	p.Clinic = &clinic.Clinic{
		Store: store, Zone: zone, Now: func() time.Time { return p.clock },
		NewID: func() string { ids++; return fmt.Sprintf("id-%d", ids) },
	}
	return p
}

// things is a Source of prepared calls to its Sink.
type things []func(clinic.Sink) error

func (s things) Read(_ context.Context, sink clinic.Sink) (clinic.ReadReport, error) {
	for _, call := range s {
		if err := call(sink); err != nil {
			return clinic.ReadReport{}, err
		}
	}
	return clinic.ReadReport{Files: 1, Resources: len(s)}, nil
}

func personOf(p record.Person) func(clinic.Sink) error {
	return func(s clinic.Sink) error { return s.Person(p) }
}

func factOf(person string, f record.Fact) func(clinic.Sink) error {
	return func(s clinic.Sink) error { return s.Fact(person, f) }
}

func asideOf(a clinic.Aside) func(clinic.Sink) error {
	return func(s clinic.Sink) error { return s.Aside(a) }
}

// bring imports things as the lead.
func (p *practice) bring(list ...func(clinic.Sink) error) clinic.ImportReport {
	p.t.Helper()
	r, err := p.Import(context.Background(), lead, things(list))
	if err != nil {
		p.t.Fatal(err)
	}
	return r
}

// withDiabetes brings a person whom every rule watches: diabetes, a visit this
// year, and an age inside the measure's.
func (p *practice) withDiabetes(id string) {
	p.t.Helper()
	p.bring(
		personOf(record.Person{ID: id, Family: "Family-" + id, Given: "Given", Birth: when.MustMoment("1960-06-01")}),
		factOf(id, record.Fact{Kind: record.Condition, Key: "Condition/" + id, Ended: known.No, Start: when.MustMoment("2015-01-01"),
			Codes: []term.Code{term.New("http://hl7.org/fhir/sid/icd-10-cm", "E11.9"), term.New("http://snomed.info/sct", "44054006")}}),
		factOf(id, record.Fact{Kind: record.Encounter, Key: "Encounter/" + id, Ended: known.Yes, Start: when.MustMoment("2026-02-03"), End: when.MustMoment("2026-02-03"),
			Codes: []term.Code{term.New("http://www.ama-assn.org/go/cpt", "99213")}}),
	)
}

// example is an example document as an exam of a person on a day.
func example(name, person, id, at string) exam.Draft {
	for _, e := range demo.Examples() {
		if e.Name == name {
			d := e.Draft
			d.Patient, d.ID, d.At = person, id, when.MustMoment(at)
			return d
		}
	}
	panic("there is no example " + name)
}

// The examples that the tests sign.
const (
	normal   = "01-wholly-normal"
	infected = "17-ulcer-infected"
	clean    = "16-ulcer-clean"
	bunion   = "06-hallux-valgus"
)

func (p *practice) sign(who exam.Person, d exam.Draft) record.SignedExam {
	p.t.Helper()
	kept, err := p.Sign(context.Background(), who, d, fmt.Sprintf("key of %s/%d", d.ID, d.Revision))
	if err != nil {
		p.t.Fatal(err)
	}
	return kept
}

func (p *practice) open(person string) clinic.Chart {
	p.t.Helper()
	chart, err := p.Open(context.Background(), nurse, person)
	if err != nil {
		p.t.Fatal(err)
	}
	return chart
}

// row is a person's row as the panel shows it.
func (p *practice) row(person string) clinic.Standing {
	p.t.Helper()
	rows, _, err := p.Panel(context.Background(), viewer, clinic.PanelQuery{People: []string{person}})
	if err != nil || len(rows) != 1 {
		p.t.Fatalf("%d rows of %s, error %v", len(rows), person, err)
	}
	return rows[0]
}

func (p *practice) trail() (did []string) {
	p.t.Helper()
	lines, err := p.AuditTrail(context.Background(), admin, 1000)
	if err != nil {
		p.t.Fatal(err)
	}
	for i := len(lines) - 1; i >= 0; i-- {
		a := lines[i]
		did = append(did, fmt.Sprintf("%s: %s %s %s", a.Who, a.Did, a.Person, a.Object))
	}
	return did
}

func code(t *testing.T, err error, want clinic.Code) {
	t.Helper()
	if err == nil || clinic.CodeOf(err) != want {
		t.Fatalf("error %v has code %q, want %q", err, clinic.CodeOf(err), want)
	}
}

func same(t *testing.T, what string, got, want any) {
	t.Helper()
	d := cmp.Diff(want, got, cmpopts.EquateEmpty(), cmpopts.IgnoreFields(record.Record{}, "Version"),
		cmp.Comparer(func(a, b when.Moment) bool { return a.String() == b.String() }))
	if d != "" {
		t.Fatalf("%s differs (-want +got):\n%s", what, d)
	}
}

func must[T any](t *testing.T) func(T, error) T {
	return func(v T, err error) T {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
}
