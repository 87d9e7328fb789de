package web

import (
	"encoding/json"
	"net/http"

	"tengram/internal/clinic"
	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/record"
)

// examView is a signed exam.
type examView struct {
	Person record.Person
	Signed record.SignedExam
	Result resultView
	Groups []answerGroup
	// History is every revision, newest first, with what it changed.
	History []revisionView
	// Amending: a draft of the next revision is open.
	Amending bool
	CanAmend bool
	// HasBundle: the exam can be had as FHIR.
	HasBundle bool
}

type revisionView struct {
	record.SignedExam
	Changes []change
}

func (s *site) examPage(w http.ResponseWriter, r *http.Request, who exam.Person) error {
	v, err := s.readExam(r, who)
	if err != nil {
		return err
	}
	if v == nil {
		return seeOther(w, r, string(examURL(r.PathValue("exam"), "/edit")))
	}
	_, err = s.Clinic.Draft(r.Context(), who, r.PathValue("exam"))
	v.Amending = err == nil
	v.CanAmend = clinic.May(who, clinic.Examine)
	v.HasBundle = s.Bundle != nil
	s.show(w, r, http.StatusOK, examTemplate(s.frame(r, who, "Foot exam", ""), *v))
	return nil
}

// readExam reads the newest revision with its history, or nil where the exam is
// still a draft.
func (s *site) readExam(r *http.Request, who exam.Person) (*examView, error) {
	id := r.PathValue("exam")
	revisions, err := s.Clinic.Exam(r.Context(), who, id)
	if clinic.CodeOf(err) == clinic.NotFound || (err == nil && len(revisions) == 0) {
		if _, err := s.Clinic.Draft(r.Context(), who, id); err != nil {
			return nil, clinic.Errorf(clinic.NotFound, "there is no exam %s", id)
		}
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	newest := revisions[len(revisions)-1]
	chart, err := s.Clinic.Open(r.Context(), who, newest.Exam.Patient)
	if err != nil {
		return nil, err
	}
	v := &examView{
		Person: chart.Record.Person, Signed: newest,
		Result: resultView{Assessment: newest.Assessment}, Groups: answersOf(newest.Exam.Draft),
	}
	for i := len(revisions) - 1; i >= 0; i-- {
		rv := revisionView{SignedExam: revisions[i]}
		if i > 0 {
			rv.Changes = changesBetween(revisions[i-1].Exam.Draft, revisions[i].Exam.Draft)
		}
		v.History = append(v.History, rv)
	}
	return v, nil
}

func (s *site) startAmendment(w http.ResponseWriter, r *http.Request, who exam.Person) error {
	id := r.PathValue("exam")
	if _, err := s.Clinic.Draft(r.Context(), who, id); err == nil { // one is open already
		return seeOther(w, r, string(examURL(id, "/edit")))
	}
	d, err := s.Clinic.StartAmendment(r.Context(), who, id)
	if err != nil {
		return err
	}
	if err := s.Clinic.SaveDraft(r.Context(), who, d); err != nil {
		return err
	}
	return seeOther(w, r, string(examURL(id, "/edit")))
}

func (s *site) printPage(w http.ResponseWriter, r *http.Request, who exam.Person) error {
	v, err := s.readExam(r, who)
	if err != nil {
		return err
	}
	if v == nil {
		return clinic.Errorf(clinic.NotFound, "exam %s is not signed yet, so there is nothing to print", r.PathValue("exam"))
	}
	s.show(w, r, http.StatusOK, printTemplate(s.frame(r, who, "Foot exam, printed", ""), *v))
	return nil
}

// examDocument is the signed exam as the published JSON document, with what was
// concluded from it.
func (s *site) examDocument(w http.ResponseWriter, r *http.Request, who exam.Person) error {
	revisions, err := s.Clinic.Exam(r.Context(), who, r.PathValue("exam"))
	if err != nil {
		return err
	}
	text, err := json.MarshalIndent(revisions, "", "  ")
	if err != nil {
		return err
	}
	w.Header().Set("Content-Type", "application/json")
	w.Header().Set("Content-Disposition", `attachment; filename="foot-exam.json"`)
	w.Write(append(text, '\n')) // an error here is a reader who left
	return nil
}

// examBundle is the newest revision of a signed exam as a FHIR R4 Bundle.
func (s *site) examBundle(w http.ResponseWriter, r *http.Request, who exam.Person) error {
	if s.Bundle == nil {
		return notFound(w, r)
	}
	revisions, err := s.Clinic.Exam(r.Context(), who, r.PathValue("exam"))
	if err != nil {
		return err
	}
	if len(revisions) == 0 {
		return clinic.Errorf(clinic.NotFound, "exam %s is not signed yet, so there is nothing to export", r.PathValue("exam"))
	}
	newest := revisions[len(revisions)-1]
	chart, err := s.Clinic.Open(r.Context(), who, newest.Exam.Patient)
	if err != nil {
		return err
	}
	text, err := s.Bundle(newest, chart.Record.Person, chart.Record.Referrals)
	if err != nil {
		return err
	}
	w.Header().Set("Content-Type", "application/fhir+json")
	w.Header().Set("Content-Disposition", `attachment; filename="foot-exam-fhir.json"`)
	w.Write(text) // an error here is a reader who left
	return nil
}
