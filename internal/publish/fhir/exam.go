package fhir

import (
	"errors"
	"strconv"

	"tengram/internal/kernel/assess"
	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/record"
	"tengram/internal/kernel/term"
	"tengram/internal/kernel/when"
)

// ExamBundle writes one signed exam as a collection Bundle: the three
// observations of the foot-exam measure and what was found beside them, the
// conclusions, the risk, the referrals, the teaching, and who signed.
//
// A later revision of the exam gives the same resources with a higher version
// and the status "amended". What an earlier revision had and this one lacks is
// not in it: a receiver that keeps both has to drop what the newer DiagnosticReport
// no longer lists.
func ExamBundle(signed record.SignedExam, person record.Person, o Options) ([]byte, error) {
	if err := o.check(); err != nil {
		return nil, err
	}
	b, err := examBundle(signed, person, o)
	if err != nil {
		return nil, err
	}
	return write(b)
}

// examWriter holds one exam while it is written.
type examWriter struct {
	o    Options
	d    *exam.Draft
	a    *assess.Assessment
	exam string // id of the exam as it leaves

	status    string
	version   *meta
	subject   reference
	at        string
	issued    string
	examiner  []reference
	signer    reference
	resources []resource
	// results are the observations that the report lists, in order; those that
	// another one lists as its members are not among them.
	results []reference
	// by holds references to what later resources rest on, by role.
	by map[string]reference
}

func examBundle(signed record.SignedExam, person record.Person, o Options) (*bundle, error) {
	d := &signed.Exam.Draft
	if d.ID == "" || d.Patient == "" {
		return nil, errors.New("an exam without its own id and the person's cannot be exported")
	}
	if d.At.Precision() != when.Instant || signed.SignedAt.Precision() != when.Instant {
		return nil, errors.New("exam " + d.ID + " was not signed: its times are missing")
	}
	w := &examWriter{
		o: o, d: d, a: &signed.Assessment, exam: o.Pseudonym.Of("exam", d.ID),
		status:  "final",
		version: &meta{VersionID: strconv.Itoa(d.Revision), LastUpdated: instant(signed.SignedAt)},
		subject: reference{Reference: "Patient/" + o.personID(d.Patient)},
		at:      dateTime(d.At), issued: instant(signed.SignedAt),
		by: map[string]reference{},
	}
	if d.Revision > 1 {
		w.status = "amended"
	}
	if r, ok := w.staff(d.Examiner); ok {
		w.examiner = []reference{r}
	}
	if r, ok := w.staff(signed.SignedBy); ok {
		w.signer = r
	} else {
		w.signer = reference{Type: "Practitioner", Display: "not named"}
	}
	if o.Names {
		w.resources = append(w.resources, o.patient(person))
	}
	w.looked()
	w.nerves()
	w.arteries()
	w.warmth()
	w.ulcers()
	w.asked()
	w.concluded()
	w.risk()
	w.referrals(signed)
	w.teaching()
	w.report()
	w.provenance(signed)

	out := &bundle{
		ResourceType: "Bundle", ID: idOf("exam", w.exam, "bundle", w.version.VersionID),
		Identifier: &identifier{System: Base + "/NamingSystem/exam", Value: w.exam + "/" + w.version.VersionID},
		Type:       "collection", Timestamp: w.issued,
	}
	for _, r := range w.resources {
		typ, id := r.key()
		out.Entry = append(out.Entry, entry{Base + "/" + typ + "/" + id, r})
	}
	return out, nil
}

// staff names somebody of the practice by their id there; their name is added
// where names may leave.
func (w *examWriter) staff(p exam.Person) (reference, bool) {
	r := reference{Type: "Practitioner"}
	if p.ID != "" {
		r.Identifier = &identifier{System: Base + "/NamingSystem/staff", Value: w.o.Pseudonym.Of("staff", p.ID)}
	}
	if w.o.Names {
		r.Display = p.Name
	}
	return r, r.Identifier != nil || r.Display != ""
}

// id makes the id of one resource of the exam.
func (w *examWriter) id(role string) string { return idOf("exam", w.exam, role) }

// put finishes an observation, adds it and remembers it under its role.
func (w *examWriter) put(role string, o *observation) reference {
	o.ResourceType, o.ID, o.Meta = "Observation", w.id(role), w.version
	o.Status, o.Subject, o.Effective, o.Issued, o.Performer = w.status, w.subject, w.at, w.issued, w.examiner
	o.Category = []concept{{Coding: []coding{{System: categorySystem, Code: "exam"}}}}
	w.resources = append(w.resources, o)
	ref := reference{Reference: "Observation/" + o.ID}
	w.by[role] = ref
	return ref
}

// result is put for what the report lists.
func (w *examWriter) result(role string, o *observation) reference {
	ref := w.put(role, o)
	w.results = append(w.results, ref)
	return ref
}

// roles returns the references of the roles that were written.
func (w *examWriter) roles(names ...string) []reference {
	var refs []reference
	for _, n := range names {
		if r, ok := w.by[n]; ok {
			refs = append(refs, r)
		}
	}
	return refs
}

// patient is who the exam is of, where names may leave.
func (o Options) patient(p record.Person) *patient {
	out := &patient{ResourceType: "Patient", ID: o.personID(p.ID), BirthDate: day(p.Birth)}
	switch p.Sex {
	case "female", "male", "other", "unknown":
		out.Gender = p.Sex
	}
	if p.Family != "" || p.Given != "" {
		n := humanName{Family: p.Family}
		if p.Given != "" {
			n.Given = []string{p.Given}
		}
		out.Name = []humanName{n}
	}
	if p.Phone != "" {
		out.Telecom = []telecom{{"phone", p.Phone}}
	}
	for _, id := range p.Identifiers {
		out.Identifier = append(out.Identifier, identifierOf(id))
	}
	out.Extension = append(origin("race", p.Race), origin("ethnicity", p.Ethnicity)...)
	return out
}

// day writes a birth date, which has no clock time in FHIR.
func day(m when.Moment) string {
	text := dateTime(m)
	if len(text) > 10 {
		return text[:10]
	}
	return text
}

// identifierOf reads "system|value".
func identifierOf(text string) identifier {
	code := term.Code{System: term.Other, Code: text}
	return identifier{System: code.URI(), Value: code.Value()}
}

// origin is the US Core extension for race or ethnicity.
func origin(what string, c term.Code) []extension {
	if c.Value() == "" {
		return nil
	}
	return []extension{{
		URL: "http://hl7.org/fhir/us/core/StructureDefinition/us-core-" + what,
		Extension: subLister{
			{URL: "ombCategory", ValueCoding: &coding{System: c.URI(), Code: c.Value()}},
			{URL: "text", ValueString: c.Value()},
		},
	}}
}
