package demo_test

import (
	"context"
	"encoding/hex"
	"path/filepath"
	"testing"
	"time"

	"tengram/internal/clinic"
	"tengram/internal/demo"
	"tengram/internal/kernel/record"
	"tengram/internal/store/sqlite"
)

// TestTheClinicIsLoadedByTheRoadOfRealData loads a small clinic into a real
// store. The whole one is loaded by the tests of the command line.
func TestTheClinicIsLoadedByTheRoadOfRealData(t *testing.T) {
	ctx := context.Background()
	store, err := sqlite.Open(ctx, filepath.Join(t.TempDir(), "demo.db"))
	if err != nil {
		t.Fatal(err)
	}
	defer store.Close()
	zone := time.FixedZone("", -5*3600)
	own := time.Date(2031, 5, 6, 7, 8, 9, 0, zone)
	ids := 0
	practice := &clinic.Clinic{Store: store, Zone: zone, Now: func() time.Time { return own }, NewID: func() string {
		ids++
		return hex.EncodeToString([]byte{byte(ids >> 8), byte(ids)})
	}}
	made := demo.Generate(1, november, demo.Options{People: 400, Zone: zone})
	if err := made.Load(ctx, practice); err != nil {
		t.Fatal(err)
	}
	if !practice.Now().Equal(own) || practice.Store != clinic.Store(store) {
		t.Error("the practice did not get its clock and its store back")
	}

	lead := demo.Staff()[len(demo.Staff())-1]
	settings, err := practice.Settings(ctx)
	if err != nil || settings.Practice != demo.Name || settings.Phone != demo.Phone {
		t.Errorf("the practice is called %q, %q (%v)", settings.Practice, settings.Phone, err)
	}
	v := look(made)
	signed, steps, rows := 0, 0, 0
	for rec, err := range store.Records(ctx) {
		if err != nil {
			t.Fatal(err)
		}
		signed += len(rec.Exams)
		for _, x := range rec.Exams {
			if ms, _ := x.SignedAt.UnixMilli(); ms != v.signedAt(x.Exam.ID) {
				t.Errorf("%s was signed at %s, not when the demo says", x.Exam.ID, x.SignedAt)
			}
		}
		for _, r := range rec.Referrals {
			for _, s := range r.Steps {
				if s.What != "note" {
					steps++
				}
			}
		}
	}
	_, rows, err = store.Standings(ctx, clinic.PanelQuery{})
	if err != nil {
		t.Fatal(err)
	}
	exams := map[string]bool{}
	for _, x := range made.Visits {
		exams[x.Draft.ID] = true
	}
	if signed != len(exams) || steps != len(made.Steps) {
		t.Errorf("%d exams and %d steps in the store, want %d and %d", signed, steps, len(exams), len(made.Steps))
	}
	merged := v.countPeople(func(p record.Person) bool { return p.ReplacedBy != "" })
	if want := len(made.People) - merged; rows != want {
		t.Errorf("%d rows on the panel, want %d", rows, want)
	}

	again, err := practice.Import(ctx, lead, made.Source())
	if err != nil || !again.Unchanged {
		t.Errorf("the same import again: %+v (%v), want nothing changed", again, err)
	}
	if births := v.countPeople(func(p record.Person) bool { return p.Birth.IsZero() }); again.AsideCount != births || births == 0 {
		t.Errorf("%d set aside, want %d people without a birth date", again.AsideCount, births)
	}
}

func TestASourceStopsWhenItsContextEnds(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	var into sink
	if _, err := demo.Generate(1, november, demo.Options{People: 50}).Source().Read(ctx, &into); err == nil {
		t.Error("read on without a context")
	}
	if into.facts > 0 {
		t.Errorf("%d facts handed over after the end", into.facts)
	}
}

type sink struct{ facts int }

func (s *sink) Person(record.Person) error { return nil }

func (s *sink) Fact(string, record.Fact) error { s.facts++; return nil }

func (s *sink) Aside(clinic.Aside) error { return nil }
