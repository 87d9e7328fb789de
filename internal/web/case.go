package web

import (
	"context"
	"encoding/json"
	"io"
	"net/url"
	"strings"

	"github.com/a-h/templ"

	"tengram/internal/clinic"
	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/record"
	"tengram/internal/kernel/when"
)

// Case is everything that a page of an exam is drawn from, so that a device out
// of reach of the practice draws the same page as the server, by the same
// templates (cmd/tengram-pages). The script keeps it in the device's vault.
type Case struct {
	clinic.Case
	// Who is signed in.
	Who     exam.Person `json:"who"`
	Demo    bool        `json:"demo,omitempty"`
	Version string      `json:"version,omitempty"`
	// Answers is the form as it stands on the page, in the spelling of
	// web/src/exam/document.ts; nothing for the draft as it was taken along.
	Answers json.RawMessage `json:"answers,omitempty"`
	// Reason is why the exam is amended, on an amendment.
	Reason string `json:"reason,omitempty"`
}

// draft is the exam with the answers of the page, what could not be read in
// them, and what was typed there.
func (c Case) draft() (d exam.Draft, unread []exam.Problem, raw url.Values, err error) {
	if len(c.Answers) == 0 {
		return c.Exam, nil, nil, nil
	}
	form, err := flatten(c.Answers)
	if err != nil {
		return d, nil, nil, err
	}
	sent, unread := decodeForm(form)
	return owned(sent, c.Exam, c.Who), unread, rawOf(form, unread), nil
}

func (c Case) result(d exam.Draft, unread []exam.Problem) (resultView, error) {
	a, problems, err := c.Judge(d)
	return resultView{Assessment: a, Problems: append(unread, problems...), Live: true, Gone: gonePaths(d)}, err
}

func (c Case) frame(title string) frame {
	return frame{Title: title, Who: c.Who, Version: c.Version, Demo: c.Demo}
}

// DrawExam writes the exam page, as GET /exam/{exam}/edit does.
func (c Case) DrawExam(w io.Writer) error {
	d, unread, raw, err := c.draft()
	if err != nil {
		return err
	}
	result, err := c.result(d, unread)
	if err != nil {
		return err
	}
	v := makeEdit(c.Person, d, c.Shown, c.Last, c.Today, result, raw, clinic.May(c.Who, clinic.Overrule))
	v.Kept = "Kept on this device."
	return draw(w, editTemplate(c.frame("Foot exam"), v))
}

// DrawParts writes the parts of the page that follow from the answers, as POST
// /exam/{exam}/preview does.
func (c Case) DrawParts(w io.Writer) error {
	d, unread, _, err := c.draft()
	if err != nil {
		return err
	}
	result, err := c.result(d, unread)
	if err != nil {
		return err
	}
	return draw(w, renderResult(result))
}

// DrawSign writes the last look before signing, as GET /exam/{exam}/sign does.
func (c Case) DrawSign(w io.Writer) error {
	d, unread, _, err := c.draft()
	if err != nil {
		return err
	}
	result, err := c.result(withReason(d, c.Reason), unread)
	if err != nil {
		return err
	}
	return draw(w, signTemplate(c.frame("Review and sign"), makeSign(signView{Reason: c.Reason}, c.Person, d, result)))
}

// Seal returns the document as it is signed: complete, with the edition whose
// result the page shows.
func (c Case) Seal() ([]byte, error) {
	d, unread, _, err := c.draft()
	if err != nil {
		return nil, err
	}
	if len(unread) > 0 {
		return nil, clinic.Errorf(clinic.Invalid, "%s cannot be read: go back to the exam and mend it", counted(len(unread), "answer"))
	}
	d = withReason(d, c.Reason)
	if d.Amends != nil && d.Amends.Reason == "" {
		return nil, clinic.Errorf(clinic.Invalid, "say why the exam is amended")
	}
	d.Edition = c.Edition
	if d.Examiner.IsZero() {
		d.Examiner = c.Who
	}
	if _, problems := exam.Check(d); exam.Blocked(problems) {
		return nil, clinic.Errorf(clinic.Invalid, "something must be mended first: go back to the exam")
	}
	return json.Marshal(d)
}

func draw(w io.Writer, t templ.Component) error { return t.Render(context.Background(), w) }

// makeEdit puts the exam page together. last is the exam before this one, nil for
// none; raw is what was typed and could not be read; may says whether the person
// at the page may overrule the category.
func makeEdit(p record.Person, d exam.Draft, shown exam.Background, last *record.SignedExam, today when.Day, result resultView, raw url.Values, may bool) editView {
	v := editView{Person: p, Draft: d, Result: result, Kept: "Draft kept."}
	if len(raw) > 0 {
		v.Kept = "Not all of it could be kept: see below."
	}
	v.About = strings.Join(filled(ageAndSex(p, today), moment(d.At), examinerWords(d)), " · ")
	v.Form = makeForm(d, shown, result.Problems, raw)
	v.Form.ownCategory(result, may)
	v.Form.remember(last)
	return v
}

// makeSign puts the last look before signing together. A reason that is still
// to be given does not block it.
func makeSign(v signView, p record.Person, d exam.Draft, result resultView) signView {
	result.Live = false
	v.Person, v.Draft, v.Result = p, d, result
	for _, problem := range result.blocking() {
		v.Blocked = v.Blocked || problem.Field != "amends.reason"
	}
	return v
}
