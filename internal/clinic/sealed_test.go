package clinic_test

import (
	"context"
	"encoding/json"
	"strings"
	"testing"

	"tengram/internal/clinic"
	"tengram/internal/kernel/assess"
	"tengram/internal/kernel/exam"
)

// sealedText is an example as a device seals it: with the edition that judged
// it, and with spaces that no writer here would make.
func sealedText(t *testing.T, change func(*exam.Draft)) []byte {
	t.Helper()
	d := example(bunion, "p1", "e1", "2026-05-04T09:00:00-05:00")
	d.Edition = assess.DefaultEdition().ID
	if change != nil {
		change(&d)
	}
	text, err := json.MarshalIndent(d, "", " \t")
	if err != nil {
		t.Fatal(err)
	}
	return text
}

func TestADocumentSignedOnADeviceIsKeptByteForByte(t *testing.T) {
	ctx := context.Background()
	p := newPractice(t)
	p.withDiabetes("p1")
	text := sealedText(t, nil)
	kept, err := p.SignSealed(ctx, nurse, text, "k1")
	if err != nil {
		t.Fatal(err)
	}
	same(t, "text", string(must[[]byte](t)(p.Sealed(ctx, viewer, "e1", 1))), string(text))
	var want exam.Draft
	if err := json.Unmarshal(text, &want); err != nil {
		t.Fatal(err)
	}
	same(t, "document", kept.Exam.Draft, want)
	for range 2 { // the answer was lost on the way, and it is sent again
		again, err := p.SignSealed(ctx, nurse, text, "k1")
		if err != nil {
			t.Fatal(err)
		}
		same(t, "answer", again, kept)
	}
	same(t, "revisions", len(must[[]exam.Draft](t)(p.revisions("e1"))), 1)
	_, err = p.SignSealed(ctx, nurse, sealedText(t, func(d *exam.Draft) { d.Note = "another" }), "k1")
	code(t, err, clinic.Conflict)
	_, err = p.Sealed(ctx, viewer, "e1", 2)
	code(t, err, clinic.NotFound)
	_, err = p.Sealed(ctx, exam.Person{}, "e1", 1)
	code(t, err, clinic.Forbidden)
}

func (p *practice) revisions(id string) ([]exam.Draft, error) {
	list, err := p.Exam(context.Background(), viewer, id)
	var drafts []exam.Draft
	for _, r := range list {
		drafts = append(drafts, r.Exam.Draft)
	}
	return drafts, err
}

func TestADocumentSignedHereIsGivenOutAsItIsKept(t *testing.T) {
	p := newPractice(t)
	p.withDiabetes("p1")
	kept := p.sign(nurse, example(normal, "p1", "e1", "2026-05-04T09:00:00-05:00"))
	want := must[[]byte](t)(json.Marshal(kept.Exam))
	same(t, "text", string(must[[]byte](t)(p.Sealed(context.Background(), viewer, "e1", 1))), string(want))
}

// The examiner saw the result of an edition before signing; the practice may
// have chosen another one by the time the document comes in.
func TestASealedDocumentIsJudgedByTheEditionThatItNames(t *testing.T) {
	ctx := context.Background()
	p := newPractice(t)
	p.withDiabetes("p1")
	other := assess.Editions()[1].ID
	if err := p.SetEdition(ctx, lead, other); err != nil {
		t.Fatal(err)
	}
	kept, err := p.SignSealed(ctx, nurse, sealedText(t, nil), "k1")
	if err != nil {
		t.Fatal(err)
	}
	same(t, "edition", kept.Assessment.Edition, assess.DefaultEdition().ID)
	same(t, "edition of an exam signed here", p.sign(nurse, example(normal, "p1", "e2", "2026-05-04T09:00:00-05:00")).Assessment.Edition, other)
}

func TestASealedDocumentThatWouldNotBeKeptWholeIsRefused(t *testing.T) {
	ctx := context.Background()
	p := newPractice(t)
	p.withDiabetes("p1")
	good := string(sealedText(t, nil))
	for name, text := range map[string]string{
		"no JSON":                           good[1:],
		"a field that nobody knows":         strings.Replace(good, `"schema"`, `"mood": "good", "schema"`, 1),
		"something behind its end":          good + " {}",
		"another schema":                    strings.Replace(good, exam.SchemaID, "tengram/exam/0", 1),
		"no id":                             string(sealedText(t, func(d *exam.Draft) { d.ID = "" })),
		"no person":                         string(sealedText(t, func(d *exam.Draft) { d.Patient = "" })),
		"no examiner":                       string(sealedText(t, func(d *exam.Draft) { d.Examiner = exam.Person{} })),
		"no edition":                        string(sealedText(t, func(d *exam.Draft) { d.Edition = "" })),
		"an edition that nobody knows":      string(sealedText(t, func(d *exam.Draft) { d.Edition = "moon-1" })),
		"a second revision of nothing":      string(sealedText(t, func(d *exam.Draft) { d.Revision = 2 })),
		"a first revision that amends":      string(sealedText(t, func(d *exam.Draft) { d.Amends = &exam.Amendment{Reason: "r", By: nurse, At: d.At} })),
		"an amendment without a reason":     string(sealedText(t, func(d *exam.Draft) { d.Revision, d.Amends = 2, &exam.Amendment{Revision: 1, By: nurse, At: d.At} })),
		"an answer that cannot be measured": strings.Replace(good, `"revision": 1`, `"revision": "one"`, 1),
	} {
		if _, err := p.SignSealed(ctx, nurse, []byte(text), "k-"+name); clinic.CodeOf(err) != clinic.Invalid {
			t.Errorf("a document with %s: %v", name, err)
		}
	}
	_, err := p.SignSealed(ctx, viewer, []byte(good), "k1")
	code(t, err, clinic.Forbidden)
	_, err = p.SignSealed(ctx, nurse, []byte(good), "")
	code(t, err, clinic.Invalid)
	_, err = p.Exam(ctx, viewer, "e1")
	code(t, err, clinic.NotFound)
}

func TestTwoDevicesSignOneExamAndBothAreKept(t *testing.T) {
	ctx := context.Background()
	p := newPractice(t)
	p.withDiabetes("p1")
	var first exam.Draft
	if _, err := p.SignSealed(ctx, nurse, sealedText(t, func(d *exam.Draft) { d.Note = "tablet one"; first = *d }), "k1"); err != nil {
		t.Fatal(err)
	}
	_, err := p.SignSealed(ctx, clinician, sealedText(t, func(d *exam.Draft) { d.Note = "tablet two" }), "k2")
	code(t, err, clinic.Conflict)
	signed := must[[]exam.Draft](t)(p.revisions("e1"))
	same(t, "signed", signed, []exam.Draft{first})
	same(t, "note of the draft beside it", must[exam.Draft](t)(p.Draft(ctx, viewer, "e1")).Note, "tablet two")
}

func TestACaseIsJudgedAsThePracticeWould(t *testing.T) {
	ctx := context.Background()
	p := newPractice(t)
	p.withDiabetes("p1")
	p.sign(nurse, example(infected, "p1", "e0", "2026-04-01T09:00:00-05:00"))
	prefs := must[clinic.Preferences](t)(p.Settings(ctx))
	prefs.RecallChoice = "max"
	if err := p.SetSettings(ctx, lead, prefs); err != nil {
		t.Fatal(err)
	}
	d := example(bunion, "p1", "e1", "2026-05-05T04:30:00Z") // still 4 May here
	if err := p.SaveDraft(ctx, nurse, d); err != nil {
		t.Fatal(err)
	}
	of := must[clinic.Case](t)(p.Case(ctx, nurse, "e1"))
	same(t, "draft", of.Exam, d)
	trail := p.trail()
	same(t, "trail", trail[len(trail)-1], "n: take along p1 e1")
	if of.Person.ID != "p1" || of.Person.Phone != "" || of.Person.Language != "" {
		t.Errorf("the case takes more of the person along than it needs: %+v", of.Person)
	}
	// It goes to the device and back as JSON.
	var there clinic.Case
	if err := json.Unmarshal(must[[]byte](t)(json.Marshal(of)), &there); err != nil {
		t.Fatal(err)
	}
	want, problems, err := p.Preview(ctx, nurse, d)
	if err != nil {
		t.Fatal(err)
	}
	got, found, err := there.Judge(d)
	if err != nil {
		t.Fatal(err)
	}
	same(t, "assessment", got, want)
	same(t, "problems", found, problems)
	_, err = p.Case(ctx, viewer, "e1")
	code(t, err, clinic.Forbidden)
	_, err = p.Case(ctx, nurse, "none")
	code(t, err, clinic.NotFound)
}
