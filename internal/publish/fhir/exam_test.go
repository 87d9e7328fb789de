package fhir

import (
	"bytes"
	"encoding/json"
	"fmt"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"tengram/internal/demo"
	"tengram/internal/kernel/assess"
	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/perfusion"
	"tengram/internal/kernel/record"
	"tengram/internal/kernel/when"
	"tengram/internal/publish/guard"
)

// TestEveryExportedExamIsValid asks all validators about the documented
// examples, about exams of the made-up clinic, and about drafts filled at
// random, by both editions, with names and without.
func TestEveryExportedExamIsValid(t *testing.T) {
	docs, outside := map[string][]byte{}, map[string][]string{}
	put := func(name string, s record.SignedExam, o Options) {
		t.Helper()
		doc, err := ExamBundle(s, anyone(s.Exam.Patient), o)
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		docs[name], outside[name] = doc, []string{"Patient/" + o.personID(s.Exam.Patient)}
	}
	for i, e := range demo.Examples() {
		put(e.Name, sign(e.Draft, assess.Editions()[i%2]), Options{Names: i%3 == 0})
	}
	made := demo.Generate(7, when.MustDay("2026-03-02"), demo.Options{People: 2000})
	for i := 0; i < len(made.Visits); i += max(1, len(made.Visits)/20) {
		put(fmt.Sprintf("made-up-%d", i), sign(made.Visits[i].Draft, assess.Editions()[i%2]), Options{})
	}
	for seed := range 40 {
		put(fmt.Sprintf("random-%d", seed), sign(drafts.Example(seed), assess.Editions()[seed%2]), Options{Names: seed%4 == 0})
	}
	valid(t, docs, outside)
}

// TestTheOwnChecksHoldForAnyExam does the same by our own checks alone, over
// many more.
func TestTheOwnChecksHoldForAnyExam(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		s := sign(drafts.Draw(rt, "draft"), rapid.SampledFrom(assess.Editions()).Draw(rt, "edition"))
		doc, err := ExamBundle(s, anyone(s.Exam.Patient), Options{})
		if err != nil {
			rt.Fatal(err)
		}
		if found := faults(t, doc, "Patient/"+s.Exam.Patient); len(found) > 0 {
			rt.Fatal(strings.Join(found, "\n"))
		}
	})
}

func TestNothingLeavesWithANameUnlessAsked(t *testing.T) {
	key, err := guard.NewPseudonym([]byte("0123456789abcdef"))
	if err != nil {
		t.Fatal(err)
	}
	rapid.Check(t, func(t *rapid.T) {
		d := drafts.Draw(t, "draft")
		s := sign(d, assess.DefaultEdition())
		p := anyone(d.Patient)
		plain, err := ExamBundle(s, p, Options{})
		if err != nil {
			t.Fatal(err)
		}
		for _, word := range []string{secret, p.Family, p.Given, p.Phone, "1957-11-03", "MRN-77041", "Oakes", `"gender"`} {
			if bytes.Contains(plain, []byte(word)) {
				t.Errorf("%q has left", word)
			}
		}
		hidden, err := ExamBundle(s, p, Options{Pseudonym: key})
		if err != nil {
			t.Fatal(err)
		}
		for _, word := range []string{d.ID, `"Patient/` + d.Patient + `"`, "d-oakes"} {
			if bytes.Contains(hidden, []byte(word)) {
				t.Errorf("the id %q has left under a pseudonym", word)
			}
		}
	})
	s := example(t, "08")
	with, err := ExamBundle(s, anyone(s.Exam.Patient), Options{Names: true})
	if err != nil {
		t.Fatal(err)
	}
	for _, word := range []string{"Quillfeather", "Marguerite", "1957-11-03", "MRN-77041", "Dana Oakes", "healed after ten weeks"} {
		if !bytes.Contains(with, []byte(word)) {
			t.Errorf("%q was asked for and is not there", word)
		}
	}
	if _, err := ExamBundle(s, anyone(s.Exam.Patient), Options{Names: true, Pseudonym: key}); err == nil {
		t.Error("names and pseudonyms were given together")
	}
}

// parsed is a Bundle as read back.
type parsed struct {
	ID    string `json:"id"`
	Entry []struct {
		Resource map[string]any `json:"resource"`
	} `json:"entry"`
}

func parse(t testing.TB, doc []byte) parsed {
	t.Helper()
	var b parsed
	if err := json.Unmarshal(doc, &b); err != nil {
		t.Fatal(err)
	}
	return b
}

// coded finds the resource with a code.
func (b parsed) coded(code string) map[string]any {
	for _, e := range b.Entry {
		if c, ok := e.Resource["code"].(map[string]any); ok && strings.Contains(fmt.Sprint(c["coding"]), "code:"+code) {
			return e.Resource
		}
	}
	return nil
}

// componentOf finds a component by our own code.
func componentOf(o map[string]any, code string) map[string]any {
	parts, _ := o["component"].([]any)
	for _, p := range parts {
		p := p.(map[string]any)
		if strings.Contains(fmt.Sprint(p["code"]), "code:"+code+" ") || strings.Contains(fmt.Sprint(p["code"]), "code:"+code+"]") {
			return p
		}
	}
	return nil
}

// The three codes and the rule for a result are those of the measure
// (measures reference, sections 1.3 and 4.1).
func TestAPartHasAResultExactlyIfItWasTrulyDone(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		s := sign(drafts.Draw(rt, "draft"), assess.DefaultEdition())
		doc, err := ExamBundle(s, anyone(s.Exam.Patient), Options{})
		if err != nil {
			rt.Fatal(err)
		}
		b, done := parse(t, doc), s.Exam.Done()
		for _, p := range []struct {
			code string
			done bool
		}{{"401191002", done.Visual}, {"134388005", done.Filament}, {"91161007", done.Pulses}} {
			o := b.coded(p.code)
			if o == nil {
				rt.Fatalf("%s is missing", p.code)
			}
			status := "final"
			if s.Exam.Revision > 1 {
				status = "amended"
			}
			if (o["valueCodeableConcept"] != nil) != p.done || (o["dataAbsentReason"] == nil) != p.done || o["status"] != status {
				rt.Errorf("%s: done %v, value %v, absent %v, status %v", p.code, p.done, o["valueCodeableConcept"], o["dataAbsentReason"], o["status"])
			}
		}
	})
}

// What is not assessable is a value of its own (measures reference, section 4.3).
func TestAPartThatIsNotThereIsNeverAFinding(t *testing.T) {
	s := example(t, "09") // the right great toe is gone
	doc, err := ExamBundle(s, anyone(s.Exam.Patient), Options{})
	if err != nil {
		t.Fatal(err)
	}
	b := parse(t, doc)
	o := b.coded("134388005")
	lost := componentOf(o, "monofilament-hallux-right")
	if lost["valueCodeableConcept"] != nil || !strings.Contains(fmt.Sprint(lost["dataAbsentReason"]), "not-applicable") || lost["interpretation"] != nil {
		t.Errorf("the site of the lost toe: %v", lost)
	}
	if felt := componentOf(o, "monofilament-hallux-left"); !strings.Contains(fmt.Sprint(felt["valueCodeableConcept"]), "code:felt") {
		t.Errorf("the site of the toe that is there: %v", felt)
	}
	both := example(t, "11") // both feet are gone
	doc, err = ExamBundle(both, anyone(both.Exam.Patient), Options{})
	if err != nil {
		t.Fatal(err)
	}
	if o := parse(t, doc).coded("91161007"); !strings.Contains(fmt.Sprint(o["dataAbsentReason"]), "not-applicable") {
		t.Errorf("pulses of feet that are gone: %v", o)
	}
}

func TestAPulseThatWasOnlyHeardIsNotAbsent(t *testing.T) {
	s := example(t, "01")
	s.Exam.Right.Feel.Arteries.DP = perfusion.PulseDopplerOnly
	doc, err := ExamBundle(s, anyone(s.Exam.Patient), Options{})
	if err != nil {
		t.Fatal(err)
	}
	c := fmt.Sprint(componentOf(parse(t, doc).coded("91161007"), "pulse-dorsalis-pedis-right")["valueCodeableConcept"])
	if !strings.Contains(c, "doppler-only") || strings.Contains(c, "414617007") {
		t.Errorf("value %s", c)
	}
}

// 8579-5 and 8580-3 are ratios of the posterior tibial artery (exam code
// table); an index that rests on the other artery must not carry them.
func TestAnIndexHasTheStandardCodeOnlyOfItsOwnArtery(t *testing.T) {
	for _, c := range []struct {
		dp, pt known.Reading
		want   bool
	}{
		{known.Value(90), known.Value(98), true}, {known.Value(98), known.Value(90), false},
		{known.Reading{}, known.Value(98), true}, {known.Value(98), known.Reading{}, false},
	} {
		s := example(t, "04")
		d := s.Exam.Draft
		d.Right.Feel.Arteries.AnkleDP, d.Right.Feel.Arteries.AnklePT = c.dp, c.pt
		s = sign(d, assess.DefaultEdition())
		doc, err := ExamBundle(s, anyone(d.Patient), Options{})
		if err != nil {
			t.Fatal(err)
		}
		// 98 over the higher arm 140 is 0.70.
		o := parse(t, doc).coded("ankle-brachial-index-right")
		if value := fmt.Sprint(o["valueQuantity"].(map[string]any)["value"]); value != "0.7" {
			t.Errorf("index %s, want 0.70", value)
		}
		if got := strings.Contains(fmt.Sprint(o["code"]), "8580-3"); got != c.want {
			t.Errorf("dorsalis pedis %v, posterior tibial %v: standard code %v, want %v", c.dp, c.pt, got, c.want)
		}
		if bytes.Contains(doc, []byte("4548-4")) {
			t.Error("an HbA1c that was told has the code of a laboratory test")
		}
	}
}

func TestTheSameExamGivesTheSameBytesAndARevisionTheSameIds(t *testing.T) {
	s := example(t, "17")
	one, _ := ExamBundle(s, anyone(s.Exam.Patient), Options{})
	two, _ := ExamBundle(s, anyone(s.Exam.Patient), Options{})
	if !bytes.Equal(one, two) {
		t.Error("two exports of one exam differ")
	}
	s.Exam.Revision = 2
	s.Exam.Amends = &exam.Amendment{Revision: 1, Reason: "wrong side"}
	amended, err := ExamBundle(s, anyone(s.Exam.Patient), Options{})
	if err != nil {
		t.Fatal(err)
	}
	a, b := parse(t, one), parse(t, amended)
	if a.ID == b.ID {
		t.Error("two revisions are one Bundle")
	}
	for i := range a.Entry {
		was, is := a.Entry[i].Resource, b.Entry[i].Resource
		if was["resourceType"] != "Provenance" && was["id"] != is["id"] {
			t.Errorf("%v %v became %v", was["resourceType"], was["id"], is["id"])
		}
		if status, ok := is["status"].(string); ok && status == "final" {
			t.Errorf("%v %v is still final", is["resourceType"], is["id"])
		}
	}
}

func TestAReferralIsAnOrderOnceThePracticeHasOpenedIt(t *testing.T) {
	s := example(t, "17")
	closed := record.ReferralStep{What: "closed", On: when.MustDay("2026-05-02")}
	for _, c := range []struct {
		says           string
		referrals      []record.Referral
		status, intent string
	}{
		{"not opened", nil, "active", "proposal"},
		{"opened", []record.Referral{{Action: "refer-foot-team", Exam: s.Exam.ID}}, "active", "order"},
		{"closed", []record.Referral{{Action: "refer-foot-team", Exam: s.Exam.ID, Steps: []record.ReferralStep{closed}}}, "completed", "order"},
		{"declined", []record.Referral{{Action: "refer-foot-team", Exam: s.Exam.ID, Steps: []record.ReferralStep{{What: "declined"}}}}, "revoked", "order"},
		{"of another exam", []record.Referral{{Action: "refer-foot-team", Exam: "another"}}, "active", "proposal"},
	} {
		doc, err := ExamBundle(s, anyone(s.Exam.Patient), Options{Referrals: c.referrals})
		if err != nil {
			t.Fatal(err)
		}
		r := parse(t, doc).coded("refer-foot-team")
		if r["status"] != c.status || r["intent"] != c.intent {
			t.Errorf("%s: %v %v, want %s %s", c.says, r["intent"], r["status"], c.intent, c.status)
		}
		if o := r["occurrencePeriod"].(map[string]any); o["end"] == nil {
			t.Errorf("%s: no deadline", c.says)
		}
	}
}

func TestAnUnsettledRiskHasNoValueAndLeadsWithTheHigher(t *testing.T) {
	s := example(t, "13")
	low, high := s.Assessment.Risks[0].ForPlan()
	if low.Rank == high.Rank {
		t.Fatal("the example is settled")
	}
	doc, err := ExamBundle(s, anyone(s.Exam.Patient), Options{})
	if err != nil {
		t.Fatal(err)
	}
	b := parse(t, doc)
	if o := b.coded("iwgdf-risk-category"); o["valueCodeableConcept"] != nil || componentOf(o, "risk-high") == nil || componentOf(o, "risk-low") == nil {
		t.Errorf("observation %v", o)
	}
	first := b.coded("394683006")["prediction"].([]any)[0].(map[string]any)
	if want := "iwgdf-2023-" + high.Code; !strings.Contains(fmt.Sprint(first["qualitativeRisk"]), want) {
		t.Errorf("the first prediction is %v, want %s", first["qualitativeRisk"], want)
	}
}

func TestAnExamThatWasNotSignedIsRefused(t *testing.T) {
	s := example(t, "01")
	for _, change := range []func(*record.SignedExam){
		func(s *record.SignedExam) { s.SignedAt = when.Moment{} },
		func(s *record.SignedExam) { s.Exam.At = when.MustMoment("2026-04-06") },
		func(s *record.SignedExam) { s.Exam.ID = "" },
		func(s *record.SignedExam) { s.Exam.Patient = "" },
	} {
		x := s
		change(&x)
		if _, err := ExamBundle(x, anyone("x"), Options{}); err == nil {
			t.Error("it was exported")
		}
	}
}
