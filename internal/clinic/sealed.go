package clinic

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"io"

	"tengram/internal/kernel/assess"
	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/record"
)

// SignSealed keeps a document that was signed on a device, which may have been
// out of reach for a while. The text is kept byte for byte, and nothing is put
// into the document here: it names its examiner, and the edition whose result
// the examiner saw, which judges it even where another is in force by now. The
// same key with the same text again returns what was kept then.
//
// A revision that is not the next one is refused with code Conflict and kept as
// a draft, as by Sign.
func (c *Clinic) SignSealed(ctx context.Context, who exam.Person, text []byte, key string) (record.SignedExam, error) {
	d, err := readSealed(text)
	if err != nil {
		return record.SignedExam{}, err
	}
	did := "sign"
	if d.Amends != nil {
		did = "amend"
	}
	return c.sign(ctx, who, d, text, key, did)
}

// readSealed reads a document and refuses one that says anything this program
// would not keep, or leaves out what signing would have to put in.
func readSealed(text []byte) (exam.Draft, error) {
	var d exam.Draft
	dec := json.NewDecoder(bytes.NewReader(text))
	dec.DisallowUnknownFields()
	if err := dec.Decode(&d); err != nil {
		return d, &Error{Code: Invalid, Message: "the signed document is not one that this program can keep whole: load the page anew and sign again", Err: err}
	}
	if _, err := dec.Token(); !errors.Is(err, io.EOF) {
		return d, Errorf(Invalid, "there is something behind the end of the signed document: load the page anew and sign again")
	}
	switch {
	case d.Schema != exam.SchemaID:
		return d, Errorf(Invalid, "the signed document says schema %q; this program keeps %q", d.Schema, exam.SchemaID)
	case d.ID == "" || d.Patient == "" || d.Revision < 1:
		return d, Errorf(Invalid, "a signed document needs an id, a person and a revision of at least 1")
	case d.Examiner.IsZero() || d.Edition == "":
		return d, Errorf(Invalid, "signed document %s needs its examiner and the edition that judged it", d.ID)
	case (d.Revision > 1) != (d.Amends != nil):
		return d, Errorf(Invalid, "revision %d of exam %s must say what it amends, and a first revision nothing", d.Revision, d.ID)
	case d.Amends != nil && (d.Amends.Reason == "" || d.Amends.By.IsZero() || d.Amends.At.IsZero()):
		return d, Errorf(Invalid, "say why exam %s is amended, by whom and when", d.ID)
	}
	return d, nil
}

// editionNamed is the edition that a sealed document was judged by, with the
// practice's choice inside recall intervals.
func editionNamed(id, choice string) (assess.Edition, error) {
	e, err := assess.EditionByID(id)
	if err != nil {
		return e, &Error{Code: Invalid, Message: "the document was judged by an edition that this program does not know", Err: err}
	}
	e.RecallChoice = choice
	return e, nil
}

// Sealed returns the document of a signed revision: byte for byte as it was
// signed on a device, or, where it was signed here, as it is kept.
func (c *Clinic) Sealed(ctx context.Context, who exam.Person, id string, revision int) ([]byte, error) {
	if err := allow(who, See); err != nil {
		return nil, err
	}
	text, err := c.Store.Sealed(ctx, id, revision)
	if err != nil || text != nil {
		return text, err
	}
	revisions, err := c.Store.Revisions(ctx, id)
	if err != nil {
		return nil, err
	}
	for _, r := range revisions {
		if r.Exam.Revision == revision {
			return json.Marshal(r.Exam)
		}
	}
	return nil, Errorf(NotFound, "there is no signed revision %d of exam %s", revision, id)
}
