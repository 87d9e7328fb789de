package forecast_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"

	"tengram/internal/kernel/known"
	"tengram/internal/kernel/record"
	"tengram/internal/kernel/term"
	"tengram/internal/kernel/when"
)

// world is a practice that works as the forecast assumes: everybody comes by a
// rate of their own, and a visit brings the exam by a chance of its class. Its
// habit wanders from month to month.
type world struct {
	people          int
	visits, regular float64 // a year; 1 is pure chance, more is a steadier rhythm
	due, early      float64
	wander, drift   float64 // of the log odds, a month: anew, and adding up
	reluctant       float64
}

var usualWorld = world{people: 200, visits: 3.6, regular: 1, due: 0.45, early: 0.08, wander: 0.2}

// run lives three years, 2023 to 2025.
func (w world) run(seed uint64) []record.Record {
	r := rand.New(rand.NewPCG(seed, 1))
	habit := make([]float64, 37)
	drifted := 0.0
	for i := range habit {
		drifted += r.NormFloat64() * w.drift
		habit[i] = drifted + r.NormFloat64()*w.wander
	}
	first := when.MustDay("2023-01-01")
	records := make([]record.Record, w.people)
	for i := range records {
		facts := []record.Fact{diabetes()}
		perDay := w.visits / 365.25 * gamma(r, 3) / 3
		never := r.Float64() < w.reluctant
		lastExam := first - when.Day(r.IntN(500))
		at := float64(first) - r.Float64()/perDay
		for {
			gap := gamma(r, w.regular) / w.regular / perDay
			at += max(1, gap)
			day := when.Day(at)
			if day > when.MustDay("2025-12-31") {
				break
			}
			if day < first {
				continue
			}
			facts = append(facts, visitOn(day.String()))
			p := w.early
			if day-lastExam >= 300 {
				p = w.due
			}
			p = 1 / (1 + (1/p-1)*math.Exp(-habit[(day-first)/31]))
			if r.Float64() < p && !never {
				facts = append(facts, examOn(day.String())...)
				lastExam = day
			}
		}
		records[i] = record.Record{Person: record.Person{ID: fmt.Sprintf("p%03d", i), Birth: when.MustMoment("1960-06-01")}, Facts: facts}
	}
	return records
}

// gamma of shape at least 1 and scale 1, by adding up for whole shapes.
func gamma(r *rand.Rand, shape float64) float64 {
	sum := 0.0
	for range int(math.Round(shape)) {
		sum += r.ExpFloat64()
	}
	return sum
}

func diabetes() record.Fact {
	return record.Fact{Kind: record.Condition, Key: "Condition/1", Codes: []term.Code{{System: term.ICD10CM, Code: "E11.9"}}, Start: when.MustMoment("2015"), Ended: known.No}
}

func visitOn(day string) record.Fact {
	m := when.MustMoment(day)
	return record.Fact{Kind: record.Encounter, Key: "Encounter/" + day, Codes: []term.Code{{System: term.CPT, Code: "99213"}}, Start: m, End: m, Ended: known.Yes}
}

func bookedOn(day string) record.Fact {
	m := when.MustMoment(day)
	return record.Fact{Kind: record.Appointment, Key: "Appointment/" + day, Standing: record.Planned, Start: m, End: m}
}

// examOn are the three codes of a foot exam (reference, section 1.8).
func examOn(day string) []record.Fact {
	m := when.MustMoment(day)
	var facts []record.Fact
	for _, code := range []string{"401191002", "134388005", "91161007"} {
		facts = append(facts, record.Fact{Kind: record.Observation, Key: "Observation/" + code + "/" + day, Codes: []term.Code{{System: term.SNOMED, Code: code}}, Start: m, End: m, Value: record.Value{Given: true, Text: "done"}})
	}
	return facts
}

func someone(id string, facts ...[]record.Fact) record.Record {
	return record.Record{
		Person: record.Person{ID: id, Birth: when.MustMoment("1960-06-01")},
		Facts:  append([]record.Fact{diabetes()}, slices.Concat(facts...)...),
	}
}

func visits(days ...string) (facts []record.Fact) {
	for _, d := range days {
		facts = append(facts, visitOn(d))
	}
	return facts
}
