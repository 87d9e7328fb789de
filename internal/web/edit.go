package web

import (
	"encoding/json"
	"io"
	"net/http"
	"net/url"
	"strings"

	"github.com/a-h/templ"

	"tengram/internal/clinic"
	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/record"
)

// editView is the exam page.
type editView struct {
	Person record.Person
	Draft  exam.Draft
	About  string
	// Kept says whether the draft is safe.
	Kept   string
	Form   formView
	Result resultView
}

func personURL(id string) templ.SafeURL { return templ.SafeURL("/person/" + url.PathEscape(id)) }

func examURL(id, rest string) templ.SafeURL {
	return templ.SafeURL("/exam/" + url.PathEscape(id) + rest)
}

// startExam begins a draft and opens its page.
func (s *site) startExam(w http.ResponseWriter, r *http.Request, who exam.Person) error {
	d, err := s.Clinic.StartExam(r.Context(), who, r.PathValue("person"))
	if err != nil {
		return err
	}
	if err := s.Clinic.SaveDraft(r.Context(), who, d); err != nil {
		return err
	}
	return seeOther(w, r, string(examURL(d.ID, "/edit")))
}

// editPage shows a draft with its result so far.
func (s *site) editPage(w http.ResponseWriter, r *http.Request, who exam.Person) error {
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
	return s.showForm(w, r, who, d, nil, nil, http.StatusOK)
}

// showForm draws the exam page. unread and raw are the controls that could not
// be read, with what was typed in them.
func (s *site) showForm(w http.ResponseWriter, r *http.Request, who exam.Person, d exam.Draft, unread []exam.Problem, raw url.Values, status int) error {
	chart, err := s.Clinic.Open(r.Context(), who, d.Patient)
	if err != nil {
		return err
	}
	result, err := s.preview(r, who, d, unread)
	if err != nil {
		return err
	}
	v := makeEdit(chart.Record.Person, d, chart.Background, lastExam(chart.Record.Exams, d.ID), s.Clinic.Today(), result, raw, clinic.May(who, clinic.Overrule))
	s.show(w, r, status, editTemplate(s.frame(r, who, "Foot exam", ""), v))
	return nil
}

func filled(parts ...string) []string {
	var out []string
	for _, p := range parts {
		if p != "" {
			out = append(out, p)
		}
	}
	return out
}

func examinerWords(d exam.Draft) string {
	switch {
	case d.Examiner.Name != "":
		return "by " + d.Examiner.Name
	case d.Examiner.ID != "":
		return "by " + d.Examiner.ID
	}
	return ""
}

// saveForm keeps the posted form and does what its button says: show the
// result, record a block as normal, or go on to signing. This is the way
// without a script; with one it is only used to sign.
func (s *site) saveForm(w http.ResponseWriter, r *http.Request, who exam.Person) error {
	kept, err := s.Clinic.Draft(r.Context(), who, r.PathValue("exam"))
	if err != nil {
		return err
	}
	if err := r.ParseForm(); err != nil {
		return unreadableForm(err)
	}
	do := r.PostForm.Get("-do")
	block, normal := strings.CutPrefix(do, "normal-")
	if normal {
		chart, err := s.Clinic.Open(r.Context(), who, kept.Patient)
		if err != nil {
			return err
		}
		soFar, _ := decodeForm(r.PostForm)
		applyNormal(r.PostForm, normalNow(block, owned(soFar, kept, who), chart.Background), soFar.Protocol)
	}
	sent, unread := decodeForm(r.PostForm)
	d := owned(sent, kept, who)
	if err := s.Clinic.SaveDraft(r.Context(), who, d); err != nil {
		return err
	}
	switch {
	case len(unread) > 0:
		return s.showForm(w, r, who, d, unread, rawOf(r.PostForm, unread), http.StatusUnprocessableEntity)
	case do == "sign":
		return seeOther(w, r, string(examURL(d.ID, "/sign")))
	case do == "show":
		return seeOther(w, r, string(examURL(d.ID, "/edit"))+"#result")
	case normal:
		return seeOther(w, r, string(examURL(d.ID, "/edit"))+"#block-"+url.PathEscape(block))
	}
	return seeOther(w, r, string(examURL(d.ID, "/edit")))
}

func unreadableForm(err error) error {
	return &clinic.Error{Code: clinic.Invalid, Message: "the form could not be read", Err: err}
}

// rawOf is what was typed into the controls that could not be read.
func rawOf(form url.Values, unread []exam.Problem) url.Values {
	raw := url.Values{}
	for _, p := range unread {
		if values, ok := form[p.Field]; ok {
			raw[p.Field] = values
		}
	}
	return raw
}

// keepDraft is the autosave of the script: the document as JSON.
func (s *site) keepDraft(w http.ResponseWriter, r *http.Request, who exam.Person) error {
	d, _, err := s.sentDraft(r, who)
	if err != nil {
		return err
	}
	if err := s.Clinic.SaveDraft(r.Context(), who, d); err != nil {
		return err
	}
	w.WriteHeader(http.StatusNoContent)
	return nil
}

// previewExam answers the script with the parts of the page that follow from
// the answers.
func (s *site) previewExam(w http.ResponseWriter, r *http.Request, who exam.Person) error {
	d, unread, err := s.sentDraft(r, who)
	if err != nil {
		return err
	}
	result, err := s.preview(r, who, d, unread)
	if err != nil {
		return err
	}
	s.show(w, r, http.StatusOK, renderResult(result))
	return nil
}

// sentDraft reads an exam document in either spelling.
func (s *site) sentDraft(r *http.Request, who exam.Person) (exam.Draft, []exam.Problem, error) {
	kept, err := s.Clinic.Draft(r.Context(), who, r.PathValue("exam"))
	if err != nil {
		return exam.Draft{}, nil, err
	}
	var form url.Values
	if strings.HasPrefix(r.Header.Get("Content-Type"), "application/json") {
		body, err := io.ReadAll(r.Body)
		if err != nil {
			return exam.Draft{}, nil, unreadableForm(err)
		}
		if form, err = flatten(body); err != nil {
			return exam.Draft{}, nil, unreadableForm(err)
		}
	} else {
		if err := r.ParseForm(); err != nil {
			return exam.Draft{}, nil, unreadableForm(err)
		}
		form = r.PostForm
	}
	sent, unread := decodeForm(form)
	return owned(sent, kept, who), unread, nil
}

// preview judges a draft as it stands.
func (s *site) preview(r *http.Request, who exam.Person, d exam.Draft, unread []exam.Problem) (resultView, error) {
	a, problems, err := s.Clinic.Preview(r.Context(), who, d)
	if err != nil {
		return resultView{}, err
	}
	return resultView{Assessment: a, Problems: append(unread, problems...), Live: true, Gone: gonePaths(d)}, nil
}

// dropDraft throws a draft away.
func (s *site) dropDraft(w http.ResponseWriter, r *http.Request, who exam.Person) error {
	d, err := s.Clinic.Draft(r.Context(), who, r.PathValue("exam"))
	if err != nil {
		return err
	}
	if err := s.Clinic.DropDraft(r.Context(), who, d.ID); err != nil {
		return err
	}
	return seeOther(w, r, string(personURL(d.Patient)))
}

// presetJSON is the "all normal" answers for the script, as a list of path and
// value.
func presetJSON(list []preset) string {
	pairs := make([][2]string, len(list))
	for i, p := range list {
		pairs[i] = [2]string{p.path, p.value}
	}
	text, err := json.Marshal(pairs)
	if err != nil {
		return "[]"
	}
	return string(text)
}
