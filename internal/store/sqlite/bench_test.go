package sqlite

import (
	"context"
	"fmt"
	"math/rand/v2"
	"path/filepath"
	"testing"
	"time"

	"tengram/internal/clinic"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/measure"
	"tengram/internal/kernel/record"
	"tengram/internal/kernel/term"
	"tengram/internal/kernel/when"
)

// manyFacts makes facts as a bulk export has them: people one after the other
// with random ids, some fifty facts each, of about 350 bytes.
func manyFacts(n int) []clinic.PersonFact {
	r := rand.New(rand.NewPCG(1, 2))
	uuid := func() string {
		return fmt.Sprintf("%08x-%04x-4%03x-8%03x-%012x", r.Uint32(), r.Uint32N(1<<16), r.Uint32N(1<<12), r.Uint32N(1<<12), r.Uint64N(1<<48))
	}
	facts := make([]clinic.PersonFact, n)
	person := ""
	for i := range facts {
		if i%50 == 0 {
			person = uuid()
		}
		facts[i] = clinic.PersonFact{Person: person, Fact: record.Fact{
			Kind: record.Condition, Key: "Condition/" + uuid(), Codes: []term.Code{term.New("http://snomed.info/sct", "44054006"), term.New("http://hl7.org/fhir/sid/icd-10-cm", "E11.9")},
			Text: "Diabetes mellitus type 2 (disorder)", Start: when.MustMoment("2019-03-04T09:10:11-05:00"), Ended: known.No, Category: "encounter-diagnosis",
			By: "Practitioner/17", Encounter: "Encounter/" + person, Origin: record.Origin{Source: "Condition.ndjson", Line: i + 1},
		}}
	}
	return facts
}

const benchBatch = 8000

func save(b *testing.B, s *Store, facts []clinic.PersonFact) {
	b.Helper()
	for start := 0; start < len(facts); start += benchBatch {
		if _, err := s.SaveImport(context.Background(), clinic.ImportBatch{Facts: facts[start:min(start+benchBatch, len(facts))]}); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkImport compares an import with the least that could be done: one
// prepared statement, finished bytes, the same table and the same transactions.
func BenchmarkImport(b *testing.B) {
	facts := manyFacts(200_000)
	rows, _, err := factRows(facts)
	if err != nil {
		b.Fatal(err)
	}
	perSecond := func(b *testing.B, do func(*Store)) {
		for b.Loop() {
			b.StopTimer()
			s := reopenBench(b)
			b.StartTimer()
			do(s)
			b.StopTimer()
			if err := s.Close(); err != nil {
				b.Fatal(err)
			}
			b.StartTimer()
		}
		b.ReportMetric(float64(len(facts))*float64(b.N)/b.Elapsed().Seconds(), "facts/s")
	}
	b.Run("floor", func(b *testing.B) {
		perSecond(b, func(s *Store) {
			for start := 0; start < len(rows); start += benchBatch {
				err := s.write(context.Background(), func(c *conn) error {
					if _, err := c.exec(`INSERT INTO origin (id, source) VALUES (1, 'x') ON CONFLICT DO NOTHING`); err != nil {
						return err
					}
					for _, r := range rows[start:min(start+benchBatch, len(rows))] {
						if _, err := c.exec(`INSERT INTO fact (person, key, kind, start, doc, source, line) VALUES (?1, ?2, ?3, ?4, ?5, 1, ?6)`, r.person, r.key, r.kind, r.start, r.doc, r.line); err != nil {
							return err
						}
					}
					return nil
				})
				if err != nil {
					b.Fatal(err)
				}
			}
		})
	})
	b.Run("new", func(b *testing.B) { perSecond(b, func(s *Store) { save(b, s, facts) }) })
	b.Run("again", func(b *testing.B) {
		s := reopenBench(b)
		save(b, s, facts)
		for b.Loop() {
			save(b, s, facts)
		}
		b.ReportMetric(float64(len(facts))*float64(b.N)/b.Elapsed().Seconds(), "facts/s")
	})
	b.Run("read back", func(b *testing.B) {
		s := reopenBench(b)
		save(b, s, facts)
		people := map[string]bool{}
		var batch clinic.ImportBatch
		for _, f := range facts {
			if !people[f.Person] {
				people[f.Person] = true
				batch.People = append(batch.People, record.Person{ID: f.Person})
			}
		}
		if _, err := s.SaveImport(context.Background(), batch); err != nil {
			b.Fatal(err)
		}
		for b.Loop() {
			for _, err := range s.Records(context.Background()) {
				if err != nil {
					b.Fatal(err)
				}
			}
		}
		b.ReportMetric(float64(len(facts))*float64(b.N)/b.Elapsed().Seconds(), "facts/s")
	})
}

func reopenBench(b *testing.B) *Store {
	b.Helper()
	s, err := Open(context.Background(), filepath.Join(b.TempDir(), fmt.Sprint(time.Now().UnixNano())+".db"))
	if err != nil {
		b.Fatal(err)
	}
	return s
}

// BenchmarkPanel asks what the desk pages ask, of 250,000 people on the panel.
func BenchmarkPanel(b *testing.B) {
	const people = 250_000
	ctx := context.Background()
	s := reopenBench(b)
	defer s.Close()
	today := when.MustDay("2026-05-04")
	r := rand.New(rand.NewPCG(3, 4))
	family := []string{"García", "Smith", "Johnson", "Núñez", "O’Brien", "Li", "Begay", "Washington", "Kowalski", "Nguyen"}
	started := time.Now()
	for start := 0; start < people; start += 5000 {
		var batch clinic.ImportBatch
		var rows []clinic.Derived
		for i := start; i < start+5000; i++ {
			id := fmt.Sprintf("%08x-%04x", r.Uint32(), i)
			batch.People = append(batch.People, record.Person{ID: id})
			due := today + when.Day(r.IntN(700)-250)
			risk := r.IntN(4)
			st := clinic.Standing{
				Person: id, Family: family[r.IntN(10)] + fmt.Sprint(r.IntN(2000)), Given: family[r.IntN(10)], Birth: when.MustMoment("1951-02-03"), Diabetes: known.Yes, Watched: r.IntN(20) > 0,
				RiskLow: risk, RiskHigh: risk, RiskWord: "2 moderate", LastExam: due - 300, Due: due, OverdueAfter: due + 60, Why: "Risk category 2 (moderate): every 3 to 6 months, last exam 2025-11-02.",
				Clinician: fmt.Sprint("dr-", r.IntN(90)), Site: fmt.Sprint("site-", r.IntN(20)), NextVisit: today + when.Day(r.IntN(400)),
			}
			if r.IntN(50) == 0 {
				st.OpenUlcers = 1
			}
			rows = append(rows, clinic.Derived{Standing: st, Place: int64(3-risk)<<32 | int64(due), Version: 1, Measures: []measure.Result{{
				Measure: "foot-exam", Period: measure.Year(2026), Patient: id, InitialPopulation: true, Denominator: true, Numerator: r.IntN(2) == 0,
				Gaps: []measure.Gap{{Part: "pulses", Says: "Pulses of both feet were not felt in the period; the last time was 2025-02-03."}},
			}}})
		}
		if _, err := s.SaveImport(ctx, batch); err != nil {
			b.Fatal(err)
		}
		if err := s.SaveDerived(ctx, rows); err != nil {
			b.Fatal(err)
		}
	}
	fmt.Println(people, "people and rows saved in", time.Since(started).Round(time.Second))
	for _, tc := range []struct {
		name  string
		query clinic.PanelQuery
	}{
		{"first page of who is due", clinic.PanelQuery{Diabetes: true, DueBy: today, Today: today, Limit: 50}},
		{"a late page of who is due", clinic.PanelQuery{Diabetes: true, DueBy: today, Today: today, Limit: 50, Offset: 50_000}},
		{"due of one site", clinic.PanelQuery{Diabetes: true, DueBy: today, Today: today, Site: "site-3", Limit: 50}},
		{"everybody in the order of calling", clinic.PanelQuery{Today: today, Limit: 50}},
		{"everybody by name", clinic.PanelQuery{Order: "name", Limit: 50}},
		{"search for a name", clinic.PanelQuery{Order: "name", Text: "nunez12", Limit: 50}},
		{"search in the order of calling", clinic.PanelQuery{Text: "nunez12 smi", Today: today, Limit: 50}},
		{"visits of today", clinic.PanelQuery{VisitFrom: today, VisitTo: today, Today: today, Limit: 200}},
		{"ulcers", clinic.PanelQuery{Order: "ulcers", Limit: 50}},
	} {
		b.Run(tc.name, func(b *testing.B) {
			for b.Loop() {
				if _, _, err := s.Standings(ctx, tc.query); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
	b.Run("summary", func(b *testing.B) {
		for b.Loop() {
			if _, err := s.Counts(ctx, today); err != nil {
				b.Fatal(err)
			}
		}
	})
	b.Run("tally", func(b *testing.B) {
		for b.Loop() {
			if _, err := s.Tally(ctx, "foot-exam", 2026); err != nil {
				b.Fatal(err)
			}
		}
	})
	b.Run("measure of everybody", func(b *testing.B) {
		for b.Loop() {
			for _, err := range s.Measured(ctx, "foot-exam", 2026) {
				if err != nil {
					b.Fatal(err)
				}
			}
		}
	})
}
