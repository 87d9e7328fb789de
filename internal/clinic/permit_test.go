package clinic_test

import (
	"context"
	"slices"
	"strings"
	"testing"

	"tengram/internal/clinic"
	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/record"
)

// Every use case is tried by every role, and by nobody. The roles that may are
// written out here, and not read from the rules.
func TestOnlyTheRolesThatMayGetIn(t *testing.T) {
	ctx := context.Background()
	everybody := []string{clinic.Viewer, clinic.Nurse, clinic.Clinician, clinic.Lead, clinic.Admin}
	examiners := everybody[1:]
	leads := everybody[3:]
	p := newPractice(t)
	p.withDiabetes("p1")
	p.sign(nurse, example(infected, "p1", "e1", "2026-05-01T09:00:00-05:00"))
	overruled := example(normal, "p1", "e2", "2026-05-02T09:00:00-05:00")
	overruled.Override = &exam.Override{Category: "3", Reason: "history", By: clinician}
	for name, try := range map[string]struct {
		may []string
		do  func(who exam.Person) error
	}{
		"panel":     {everybody, func(w exam.Person) error { _, _, err := p.Panel(ctx, w, clinic.PanelQuery{}); return err }},
		"open":      {everybody, func(w exam.Person) error { _, err := p.Open(ctx, w, "p1"); return err }},
		"draft":     {everybody, func(w exam.Person) error { _, err := p.Draft(ctx, w, "none"); return err }},
		"drafts":    {everybody, func(w exam.Person) error { _, err := p.Drafts(ctx, w); return err }},
		"exam":      {everybody, func(w exam.Person) error { _, err := p.Exam(ctx, w, "e1"); return err }},
		"preview":   {everybody, func(w exam.Person) error { _, _, err := p.Preview(ctx, w, overruled); return err }},
		"ulcers":    {everybody, func(w exam.Person) error { _, err := p.Ulcers(ctx, w); return err }},
		"referrals": {everybody, func(w exam.Person) error { _, err := p.Referrals(ctx, w); return err }},
		"measure":   {everybody, func(w exam.Person) error { _, err := p.Measure(ctx, w, "foot-exam", 2026); return err }},
		"asides":    {everybody, func(w exam.Person) error { _, err := p.Asides(ctx, w, 1); return err }},
		"start":     {examiners, func(w exam.Person) error { _, err := p.StartExam(ctx, w, "p1"); return err }},
		"start amendment": {examiners, func(w exam.Person) error {
			_, err := p.StartAmendment(ctx, w, "e1")
			return err
		}},
		"save":  {examiners, func(w exam.Person) error { return p.SaveDraft(ctx, w, overruled) }},
		"drop":  {examiners, func(w exam.Person) error { return p.DropDraft(ctx, w, "none") }},
		"sign":  {examiners, func(w exam.Person) error { _, err := p.Sign(ctx, w, exam.Draft{}, "k"); return err }},
		"amend": {examiners, func(w exam.Person) error { _, err := p.Amend(ctx, w, exam.Draft{}, "r", "k"); return err }},
		"step": {examiners, func(w exam.Person) error {
			return p.StepReferral(ctx, w, "p1", "none", record.ReferralStep{What: "sent"})
		}},
		"overrule":   {everybody[2:], func(w exam.Person) error { _, err := p.Sign(ctx, w, overruled, "key"); return err }},
		"import":     {leads, func(w exam.Person) error { _, err := p.Import(ctx, w, things{}); return err }},
		"export":     {leads, func(w exam.Person) error { _, err := p.Records(ctx, w, "export"); return err }},
		"settings":   {leads, func(w exam.Person) error { return p.SetSettings(ctx, w, must[clinic.Preferences](t)(p.Settings(ctx))) }},
		"edition":    {leads, func(w exam.Person) error { return p.SetEdition(ctx, w, "us-2024") }},
		"read audit": {everybody[4:], func(w exam.Person) error { _, err := p.AuditTrail(ctx, w, 1); return err }},
	} {
		for _, role := range append(slices.Clone(everybody), "janitor", "") {
			who := exam.Person{ID: "x", Role: role}
			refused := clinic.CodeOf(try.do(who)) == clinic.Forbidden
			if want := !slices.Contains(try.may, role); refused != want {
				t.Errorf("%s by role %q: refused %v, want %v", name, role, refused, want)
			}
		}
		if clinic.CodeOf(try.do(exam.Person{Role: clinic.Admin})) != clinic.Forbidden {
			t.Errorf("%s by nobody was let in", name)
		}
	}
}

func TestTheTrailSaysWhoDidWhatByIdsOnly(t *testing.T) {
	ctx := context.Background()
	p := newPractice(t)
	p.withDiabetes("p1")
	p.sign(nurse, example(infected, "p1", "e1", "2026-05-04T09:00:00-05:00"))
	p.open("p1")
	d := must[exam.Draft](t)(p.StartExam(ctx, nurse, "p1"))
	if err := p.SaveDraft(ctx, nurse, d); err != nil {
		t.Fatal(err)
	}
	if err := p.DropDraft(ctx, clinician, d.ID); err != nil {
		t.Fatal(err)
	}
	refs := must[[]clinic.PersonReferral](t)(p.Referrals(ctx, nurse))
	if len(refs) == 0 {
		t.Fatal("an infected ulcer opened no referral")
	}
	id := refs[0].Referral.ID
	if err := p.StepReferral(ctx, nurse, "p1", id, record.ReferralStep{What: "sent", Note: "told Given Family-p1"}); err != nil {
		t.Fatal(err)
	}
	if err := p.SetEdition(ctx, lead, "uk-ng19"); err != nil {
		t.Fatal(err)
	}
	if _, err := p.Records(ctx, lead, "export fhir"); err != nil {
		t.Fatal(err)
	}
	if err := p.Noted(ctx, nurse, "sign in", "", ""); err != nil {
		t.Fatal(err)
	}
	same(t, "trail", p.trail(), []string{
		"l: import  3 new, 0 changed, 0 same, 0 removed, 0 aside",
		"n: sign p1 e1/1",
		"n: open p1 ",
		"c: drop draft p1 " + d.ID,
		"n: referral sent p1 " + id,
		"l: set edition  uk-ng19",
		"l: export fhir  all",
		"n: sign in  ",
	})
	if text := strings.Join(p.trail(), "\n"); strings.Contains(text, "Family") || strings.Contains(text, "Given") {
		t.Errorf("the trail names a person:\n%s", text)
	}
}
