package web

import (
	"errors"
	"fmt"
	"net/http"
	"slices"

	"tengram/internal/clinic"
	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/record"
)

// signView is the last look before signing.
type signView struct {
	Person record.Person
	Draft  exam.Draft
	Result resultView
	// Blocked: a problem must be mended first.
	Blocked bool
	// Reason is why the exam is amended, on an amendment.
	Reason string
	Says   string
}

// elsewhere are the problems that are mended on the exam page: the reason of an
// amendment is asked for here.
func (v signView) elsewhere() []exam.Problem {
	return slices.DeleteFunc(slices.Clone(v.Result.Problems), func(p exam.Problem) bool { return p.Field == "amends.reason" })
}

func (s *site) signPage(w http.ResponseWriter, r *http.Request, who exam.Person) error {
	d, err := s.Clinic.Draft(r.Context(), who, r.PathValue("exam"))
	if clinic.CodeOf(err) == clinic.NotFound {
		return seeOther(w, r, string(examURL(r.PathValue("exam"), "")))
	}
	if err != nil {
		return err
	}
	if signed, err := s.clash(r, who, d); err != nil || signed != nil {
		return s.toCompare(w, r, d.ID, err)
	}
	return s.showSign(w, r, who, d, signView{}, http.StatusOK)
}

func (s *site) showSign(w http.ResponseWriter, r *http.Request, who exam.Person, d exam.Draft, v signView, status int) error {
	chart, err := s.Clinic.Open(r.Context(), who, d.Patient)
	if err != nil {
		return err
	}
	result, err := s.preview(r, who, withReason(d, v.Reason), nil)
	if err != nil {
		return err
	}
	s.show(w, r, status, signTemplate(s.frame(r, who, "Review and sign", ""), makeSign(v, chart.Record.Person, d, result)))
	return nil
}

// withReason gives an amendment its reason before it is judged.
func withReason(d exam.Draft, reason string) exam.Draft {
	if d.Amends != nil && reason != "" {
		again := *d.Amends
		again.Reason = reason
		d.Amends = &again
	}
	return d
}

// signExam signs the kept draft. Its key follows from exam and revision, so
// that a form sent twice signs once.
func (s *site) signExam(w http.ResponseWriter, r *http.Request, who exam.Person) error {
	id := r.PathValue("exam")
	if err := r.ParseForm(); err != nil {
		return unreadableForm(err)
	}
	d, err := s.Clinic.Draft(r.Context(), who, id)
	if clinic.CodeOf(err) == clinic.NotFound { // sent twice: it is signed already
		return seeOther(w, r, string(examURL(id, "")))
	}
	if err != nil {
		return err
	}
	key := fmt.Sprintf("sign-%s-%d", d.ID, d.Revision)
	reason := r.PostForm.Get("reason")
	if d.Amends == nil {
		_, err = s.Clinic.Sign(r.Context(), who, d, key)
	} else {
		_, err = s.Clinic.Amend(r.Context(), who, d, reason, key)
	}
	if clinic.CodeOf(err) == clinic.Invalid {
		var marked *clinic.Error
		errors.As(err, &marked)
		return s.showSign(w, r, who, d, signView{Reason: reason, Says: sentence(marked.Message) + "."}, http.StatusUnprocessableEntity)
	}
	if err != nil {
		return err
	}
	return seeOther(w, r, string(examURL(id, "")))
}

// reasonOf is the reason as it was typed, or as the draft has it.
func reasonOf(v signView) string {
	if v.Reason == "" && v.Draft.Amends != nil {
		return v.Draft.Amends.Reason
	}
	return v.Reason
}
