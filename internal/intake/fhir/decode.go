package fhir

import (
	"bytes"
	"strconv"

	"tengram/internal/clinic"
	"tengram/internal/intake/fhir/scan"
	"tengram/internal/kernel/record"
)

// maxRaw bounds the text that is kept of what was set aside.
const maxRaw = 1 << 20

// decoder turns lines and documents into a batch. Each worker has one; it keeps
// its scanner and its caches from batch to batch.
type decoder struct {
	s     *scan.Scanner
	inner scan.Scanner
	names names
	out   *batch
	file  *file
	// bundle is the Bundle whose entries are being read, nil outside of one.
	bundle *bundle
	// directory has the names of the whole export; it is only read here.
	directory directory
	// r is the resource that is being read.
	r resource
}

func newDecoder(names directory) *decoder {
	return &decoder{s: &scan.Scanner{}, names: newNames(), directory: names}
}

// resource is one resource while it is being read.
type resource struct {
	*decoder
	typ  string
	raw  []byte
	line int
	id   string
	// refused is why the resource cannot be used although it is right JSON.
	refused string
	// problems are what is wrong with a resource that is taken in all the same.
	problems []string

	subject   reference
	contained []byte
	fact      record.Fact
	// err is why nothing was handed over.
	err error
	// parts are the components of an observation.
	parts []record.Fact
}

// decode reads one resource, or the resources of a Bundle. line is its line in
// the file or its number in the Bundle, fallback the id to take where it has
// none.
func (d *decoder) decode(raw []byte, line int, fallback string) error {
	typ, err := d.typeOf(raw)
	if err != nil {
		return err
	}
	read, used := readers[typ]
	switch {
	case typ == "Bundle":
		return d.readBundle(raw, line)
	case used:
	case isType(typ):
		return d.pass(raw, typ)
	default:
		return d.notFHIR(raw, typ)
	}
	r := &d.r
	*r = resource{decoder: d, typ: typ, raw: raw, line: line, id: fallback, parts: r.parts[:0]}
	d.s.Reset(raw)
	read(r)
	return r.err
}

// whole ends the reading of a resource: it reports whether the text is right
// and the resource one that can be used. If not, err says why.
func (r *resource) whole() bool {
	err := r.s.End()
	if err == nil && r.refused == "" && !usableID(r.id) {
		r.refused = "the resource has no id that can be used"
	}
	if err == nil && r.refused != "" {
		err = refusal(r.refused)
	}
	if err != nil {
		r.err = failure{r.name(), err}
	}
	return err == nil
}

// reader reads the members of a resource and, once it has proved to be whole,
// hands it over.
type reader func(*resource)

// readers are the types that are taken in.
var readers = map[string]reader{
	"Patient":           (*resource).patient,
	"Condition":         (*resource).condition,
	"Encounter":         (*resource).encounter,
	"Procedure":         (*resource).procedure,
	"Observation":       (*resource).observation,
	"ServiceRequest":    (*resource).serviceRequest,
	"MedicationRequest": (*resource).medicationRequest,
	"Coverage":          (*resource).coverage,
	"Appointment":       (*resource).appointment,
}

// typeOf returns the resource type. It stands first in almost every export, so
// that the text behind it is not looked at here.
func (d *decoder) typeOf(raw []byte) (string, error) {
	d.s.Reset(raw)
	if k := d.s.Peek(); k != scan.Object && k != scan.None {
		if err := d.s.End(); err != nil {
			return "", err
		}
		return "", refusal("is JSON, but no object: not a FHIR resource")
	}
	for d.s.OpenObject(); d.s.Next(); {
		if string(d.s.Key()) == "resourceType" {
			if b := d.s.Text(); b != nil {
				return d.names.of(b), nil
			}
		}
	}
	return "", d.s.End()
}

// pass checks a resource of a type that is not used, and counts it.
func (d *decoder) pass(raw []byte, typ string) error {
	d.s.Reset(raw)
	if err := d.s.End(); err != nil {
		return failure{typ, err}
	}
	d.out.unused(typ)
	return nil
}

// notFHIR tells the known companions of an export from what nobody knows.
func (d *decoder) notFHIR(raw []byte, typ string) error {
	d.s.Reset(raw)
	var has companion
	for d.s.OpenObject(); d.s.Next(); {
		has.note(d.s.Key())
	}
	if err := d.s.End(); err != nil {
		return err
	}
	if typ == "" && has.name() != "" {
		d.out.unused(has.name())
		return nil
	}
	if typ == "" {
		return refusal("has no resourceType: not a FHIR resource")
	}
	if !plainWord(typ) {
		return refusal("has a resourceType that FHIR R4 does not know")
	}
	return refusal("resourceType " + typ + " is not known in FHIR R4")
}

// companion notices what lies beside the resources of a bulk export: the log of
// the client that fetched it, and the manifest of the server.
type companion struct{ log, manifest uint }

func (c *companion) note(key []byte) {
	switch string(key) {
	case "exportId", "eventId", "timestamp":
		c.log++
	case "transactionTime", "request", "output":
		c.manifest++
	}
}

func (c *companion) name() string {
	switch {
	case c.log >= 3:
		return "(export log)"
	case c.manifest >= 3:
		return "(export manifest)"
	}
	return ""
}

// refusal is a resource that is right JSON and cannot be used.
type refusal string

func (r refusal) Error() string { return string(r) }

// failure is an error with the resource that it is about.
type failure struct {
	resource string
	error
}

func (f failure) Unwrap() error { return f.error }

// name is "Patient/17", or the type where there is no id to be had.
func (r *resource) name() string {
	if usableID(r.id) {
		return r.typ + "/" + r.id
	}
	return r.typ
}

// usableID accepts any id that can stand in "Type/id". FHIR allows 64 letters,
// digits, hyphens and dots; real exports go further.
func usableID(id string) bool {
	if id == "" || len(id) > 256 {
		return false
	}
	for i := range len(id) {
		if c := id[i]; c <= ' ' || c == 0x7F || c == '/' || c == '#' || c == '?' || c == '|' {
			return false
		}
	}
	return true
}

// plainWord says that a text may stand in a report: a type name and no more.
func plainWord(s string) bool {
	for i := range len(s) {
		if c := s[i] | 0x20; c < 'a' || c > 'z' {
			return false
		}
	}
	return s != "" && len(s) <= 40
}

// aside names something that was not taken in.
func (d *decoder) aside(line int, resource, reason string, raw []byte) {
	if len(raw) > maxRaw {
		raw, reason = raw[:maxRaw], reason+"; only its first MiB is kept"
	}
	d.out.aside(clinic.Aside{
		File: d.file.path, Line: line, Resource: resource, Reason: reason, Raw: bytes.Clone(raw),
	})
}

// failed names a resource that decode could not take in.
func (d *decoder) failed(line int, err error, raw []byte) {
	resource := ""
	if f, ok := err.(failure); ok {
		resource, err = f.resource, f.error
	}
	reason := err.Error()
	if fault, ok := scan.FaultOf(err); ok && fault != scan.Type {
		reason = "is not right JSON: " + reason
	}
	d.aside(line, resource, reason, raw)
}

// problem notes what is wrong with a resource that is taken in all the same.
func (r *resource) problem(says string) { r.problems = append(r.problems, says) }

// report names the problems of a resource that was taken in.
func (r *resource) report() {
	if len(r.problems) == 0 {
		return
	}
	reason := "taken in, but: "
	for i, p := range r.problems {
		if i > 0 {
			reason += "; "
		}
		reason += p
	}
	r.aside(r.line, r.name(), reason, r.raw)
}

func (r *resource) origin() record.Origin { return record.Origin{Source: r.file.base, Line: r.line} }

// common reads the members that resources share.
func (r *resource) common() {
	switch string(r.s.Key()) {
	case "id":
		if b := r.s.Text(); b != nil {
			r.id = string(b)
		}
	case "resourceType":
		if r.names.of(r.s.Text()) != r.typ {
			r.refuse("names two resource types")
		}
	case "subject", "patient", "beneficiary":
		r.subject = r.reference()
	case "meta":
		r.fact.Version = r.version()
	case "encounter":
		r.fact.Encounter = r.reference().key
	case "contained":
		r.contained = r.s.Raw()
	case "modifierExtension":
		r.modifier()
	case "implicitRules":
		if r.s.Text() != nil {
			r.refuse("follows implicitRules that are not known here, which may change its meaning")
		}
	}
}

// version reads which state of the resource this is. A meta that is not as FHIR
// has it tells nothing and is no reason to refuse the rest.
func (r *resource) version() record.Version {
	if r.s.Peek() != scan.Object {
		r.s.Skip()
		return record.Version{}
	}
	var updated, id string
	for r.s.OpenObject(); r.s.Next(); {
		if r.s.Peek() != scan.String {
			continue
		}
		switch string(r.s.Key()) {
		case "lastUpdated":
			updated = string(r.s.Text())
		case "versionId":
			id = string(r.s.Text())
		}
	}
	return record.VersionOf(updated, id)
}

// modifier refuses an extension that may turn the meaning round. None is known
// here.
func (r *resource) modifier() {
	for r.s.OpenArray(); r.s.Next(); {
		r.refuse("has a modifierExtension that is not known here, which may change its meaning")
	}
}

func (r *resource) refuse(why string) {
	if r.refused == "" {
		r.refused = why
	}
}

// otherVersion refuses a member that only another version of FHIR has.
func (r *resource) otherVersion(version string) {
	r.refuse("has the member " + strconv.Quote(string(r.s.Key())) + " in the shape of FHIR " + version + ": export it as FHIR R4 (4.0.1)")
}
