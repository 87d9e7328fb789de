package web

import (
	"net/http"

	"tengram/internal/clinic"
	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/record"
)

// compareView is two versions of one exam: the one that is signed and the one
// that came after it and is kept beside.
type compareView struct {
	Person record.Person
	Signed record.SignedExam
	Other  exam.Draft
	// Changes are the answers that differ: as signed, and in the other version.
	Changes []change
}

// clash returns the signed revision that a kept draft collides with: somebody
// else signed while it was being written. nil where it may be signed next.
func (s *site) clash(r *http.Request, who exam.Person, d exam.Draft) (*record.SignedExam, error) {
	revisions, err := s.Clinic.Exam(r.Context(), who, d.ID)
	if clinic.CodeOf(err) == clinic.NotFound || (err == nil && len(revisions) == 0) {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	if newest := revisions[len(revisions)-1]; d.Revision <= newest.Exam.Revision {
		return &newest, nil
	}
	return nil, nil
}

// toCompare leads from a draft that collides to both versions.
func (s *site) toCompare(w http.ResponseWriter, r *http.Request, id string, err error) error {
	if err != nil {
		return err
	}
	return seeOther(w, r, string(examURL(id, "/compare")))
}

// comparePage shows both, and changes nothing.
func (s *site) comparePage(w http.ResponseWriter, r *http.Request, who exam.Person) error {
	id := r.PathValue("exam")
	d, err := s.Clinic.Draft(r.Context(), who, id)
	if clinic.CodeOf(err) == clinic.NotFound { // decided already
		return seeOther(w, r, string(examURL(id, "")))
	}
	if err != nil {
		return err
	}
	signed, err := s.clash(r, who, d)
	if err != nil {
		return err
	}
	if signed == nil {
		return seeOther(w, r, string(examURL(id, "/edit")))
	}
	chart, err := s.Clinic.Open(r.Context(), who, d.Patient)
	if err != nil {
		return err
	}
	v := compareView{Person: chart.Record.Person, Signed: *signed, Other: d, Changes: changesBetween(signed.Exam.Draft, d)}
	s.show(w, r, http.StatusOK, compareTemplate(s.frame(r, who, "Two versions of one exam", ""), v))
	return nil
}

// settleCompare does what a person decided: the other version becomes an
// amendment of the newest, to be looked at and signed with a reason, or goes.
func (s *site) settleCompare(w http.ResponseWriter, r *http.Request, who exam.Person) error {
	id := r.PathValue("exam")
	if err := r.ParseForm(); err != nil {
		return unreadableForm(err)
	}
	d, err := s.Clinic.Draft(r.Context(), who, id)
	if err != nil {
		return err
	}
	switch r.PostForm.Get("-do") {
	case "amend":
		next, err := s.Clinic.StartAmendment(r.Context(), who, id)
		if err != nil {
			return err
		}
		d.Revision, d.Amends = next.Revision, next.Amends
		if err := s.Clinic.SaveDraft(r.Context(), who, d); err != nil {
			return err
		}
		return seeOther(w, r, string(examURL(id, "/edit")))
	case "drop":
		if err := s.Clinic.DropDraft(r.Context(), who, id); err != nil {
			return err
		}
		return seeOther(w, r, string(examURL(id, "")))
	}
	return clinic.Errorf(clinic.Invalid, "choose what becomes of the other version of exam %s", id)
}

// byWords says who wrote a version and when.
func byWords(p exam.Person, at string) string {
	name := p.Name
	if name == "" {
		name = p.ID
	}
	return name + ", " + at
}

// About says what an answer is about: "Nails, right foot".
func (c change) About() string {
	if c.Side == "" {
		return c.Label
	}
	return c.Label + ", " + c.Side
}
