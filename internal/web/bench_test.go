package web

import (
	"encoding/json"
	"testing"

	"tengram/internal/kernel/known"
)

// The two requests of an exam: drawing the page once, and judging the draft
// after each answer.

func BenchmarkExamPage(b *testing.B) {
	d := newDesk(nil, fullFake(), nurse)
	for b.Loop() {
		if w := d.get("/exam/e3/edit"); w.Code != 200 {
			b.Fatal(w.Code)
		}
	}
}

func BenchmarkPreview(b *testing.B) {
	f := fullFake()
	d := newDesk(nil, f, nurse)
	draft := wholeDraft("e3", "2026-11-24T09:00:00-05:00")
	draft.Ask.Numbness = known.AnswerYes
	document, err := json.Marshal(draft)
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if w := d.do("POST", "/exam/e3/preview", "application/json", string(document)); w.Code != 200 {
			b.Fatal(w.Code)
		}
	}
}

func BenchmarkDueList(b *testing.B) {
	f := fullFake()
	for range pageSize - 1 {
		f.people = append(f.people, f.people[0])
	}
	d := newDesk(nil, f, nurse)
	for b.Loop() {
		if w := d.get("/due"); w.Code != 200 {
			b.Fatal(w.Code)
		}
	}
}
