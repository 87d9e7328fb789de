package web

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"io"
	"net/http"
	"strconv"

	"tengram/internal/clinic"
	"tengram/internal/kernel/assess"
	"tengram/internal/kernel/exam"
)

// caseDocument is what a device takes along to go on with a draft.
func (s *site) caseDocument(w http.ResponseWriter, r *http.Request, who exam.Person) error {
	of, err := s.Clinic.Case(r.Context(), who, r.PathValue("exam"))
	if err != nil {
		return saidOf(w, r, err)
	}
	return answerJSON(w, http.StatusOK, Case{Case: of, Who: who, Demo: s.Demo, Version: s.Version})
}

// judgedView is what the kernel answers in a browser: the same names, in the
// same order (cmd/tengram-pages).
type judgedView struct {
	Assessment assess.Assessment `json:"assessment"`
	Problems   []exam.Problem    `json:"problems"`
	Done       exam.Parts        `json:"done"`
}

// assessExam judges an exam document as the kernel in a browser would, for one
// that cannot run it. What the server knows of the draft stands.
func (s *site) assessExam(w http.ResponseWriter, r *http.Request, who exam.Person) error {
	kept, err := s.Clinic.Draft(r.Context(), who, r.PathValue("exam"))
	if err != nil {
		return saidOf(w, r, err)
	}
	var sent exam.Draft
	if err := json.NewDecoder(r.Body).Decode(&sent); err != nil {
		return saidOf(w, r, &clinic.Error{Code: clinic.Invalid, Message: "this is not an exam document", Err: err})
	}
	d := owned(sent, kept, who)
	a, problems, err := s.Clinic.Preview(r.Context(), who, d)
	if err != nil {
		return saidOf(w, r, err)
	}
	checked, _ := exam.Check(d)
	return answerJSON(w, http.StatusOK, judgedView{a, problems, checked.Done()})
}

// confirmedView tells a device what is kept, so that it can let go of its own.
type confirmedView struct {
	Exam     string `json:"exam"`
	Revision int    `json:"revision"`
	// SHA256 is of the bytes that are kept.
	SHA256 string `json:"sha256"`
}

// signSealed keeps a document that was signed on a device. It answers only once
// the document is durable, and what it answers is read back from the store. The
// same key again is answered and not done again.
func (s *site) signSealed(w http.ResponseWriter, r *http.Request, who exam.Person) error {
	text, err := io.ReadAll(r.Body)
	if err != nil {
		return saidOf(w, r, unreadableForm(err))
	}
	var head struct {
		ID string `json:"id"`
	}
	if err := json.Unmarshal(text, &head); err != nil || head.ID != r.PathValue("exam") {
		return saidOf(w, r, clinic.Errorf(clinic.Invalid, "the document is not of exam %s", r.PathValue("exam")))
	}
	kept, err := s.Clinic.SignSealed(r.Context(), who, text, r.Header.Get("Idempotency-Key"))
	if errors.Is(err, clinic.ErrMoved) {
		return answerJSON(w, http.StatusServiceUnavailable, saidView{"busy", "The record is being changed. It is tried again."})
	}
	if err != nil {
		return saidOf(w, r, err)
	}
	text, err = s.Clinic.Sealed(r.Context(), who, kept.Exam.ID, kept.Exam.Revision)
	if err != nil {
		return saidOf(w, r, err)
	}
	sum := sha256.Sum256(text)
	return answerJSON(w, http.StatusOK, confirmedView{kept.Exam.ID, kept.Exam.Revision, hex.EncodeToString(sum[:])})
}

// signedDocument is one signed revision byte for byte as it was signed; the
// newest unless another is asked for.
func (s *site) signedDocument(w http.ResponseWriter, r *http.Request, who exam.Person) error {
	id := r.PathValue("exam")
	revision, err := strconv.Atoi(r.FormValue("revision"))
	if err != nil {
		revisions, err := s.Clinic.Exam(r.Context(), who, id)
		if err != nil {
			return err
		}
		revision = revisions[len(revisions)-1].Exam.Revision
	}
	text, err := s.Clinic.Sealed(r.Context(), who, id, revision)
	if err != nil {
		return err
	}
	w.Header().Set("Content-Type", "application/json")
	w.Header().Set("Content-Disposition", `attachment; filename="foot-exam-signed.json"`)
	w.Write(text) // an error here is a reader who left
	return nil
}

// wordsOf are the words of an error that may be shown, "" for none. Where
// answers must be mended, it says which.
func wordsOf(err error) string {
	var marked *clinic.Error
	if !errors.As(err, &marked) {
		return ""
	}
	says := sentence(marked.Message)
	var problems *clinic.ProblemsError
	if errors.As(err, &problems) {
		for _, p := range problems.Problems {
			if p.Blocks {
				says += ". " + sentence(p.Says)
			}
		}
	}
	return ended(says)
}

func ended(says string) string {
	if n := len(says); n > 0 && says[n-1] != '.' {
		return says + "."
	}
	return says
}
