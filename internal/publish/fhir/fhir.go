// Package fhir writes signed exams and measure results as FHIR R4: a collection
// Bundle of one exam, a MeasureReport of one person, of a list of people or of
// a panel, and the Measure and CodeSystem that they point at.
//
// The same exam gives the same bytes: ids follow from the exam's own id, and
// nothing here reads a clock. Without Options.Names nothing leaves but ids: no
// name, no birth date, no free text. What could not be tested is written as
// such and never as a finding.
package fhir

import (
	"crypto/sha1"
	"encoding/json"
	"fmt"
	"regexp"
	"strings"
	"time"

	"tengram/internal/kernel/record"
	"tengram/internal/kernel/when"
	"tengram/internal/publish/guard"
)

// Base is the address below which everything written here is named. It belongs
// to the project and is no server.
const Base = "https://tengram.example/fhir"

// Options say what may leave.
type Options struct {
	// Names adds who the person is (name, birth date, sex, identifiers, phone,
	// race and ethnicity), the names of the staff, and free text, which may hold
	// a name. Without it there are only ids.
	Names bool
	// Pseudonym replaces the ids of people, exams, staff and facts; the zero
	// value leaves them.
	Pseudonym guard.Pseudonym
	// Referrals are the person's referrals. A referral of the exam that is
	// among them is written as an order with its state; one that is not, as a
	// proposal.
	Referrals []record.Referral
}

func (o Options) check() error {
	if o.Names && o.Pseudonym.On() {
		return guard.ErrNamesAndPseudonyms
	}
	return nil
}

// namespace is the namespace of the ids made here (UUID version 5, RFC 9562):
// the version 5 UUID of Base in the namespace of addresses.
var namespace = nameUUID([16]byte{0x6b, 0xa7, 0xb8, 0x11, 0x9d, 0xad, 0x11, 0xd1, 0x80, 0xb4, 0x00, 0xc0, 0x4f, 0xd4, 0x30, 0xc8}, Base)

// nameUUID is the version 5 UUID of a name. SHA-1 is what the version asks for;
// nothing secret hangs on it.
func nameUUID(space [16]byte, name string) [16]byte {
	h := sha1.New()
	h.Write(space[:])
	h.Write([]byte(name))
	var b [16]byte
	copy(b[:], h.Sum(nil))
	b[6], b[8] = b[6]&0x0f|0x50, b[8]&0x3f|0x80
	return b
}

// idOf makes the id of a thing out of what it is made from.
func idOf(parts ...string) string {
	b := nameUUID(namespace, strings.Join(parts, "\x00"))
	return fmt.Sprintf("%x-%x-%x-%x-%x", b[0:4], b[4:6], b[6:8], b[8:10], b[10:])
}

// resourceID is the form of an id in FHIR.
var resourceID = regexp.MustCompile(`^[A-Za-z0-9.-]{1,64}$`)

// personID is the id under which a person goes out: their own, where FHIR can
// hold it, and else one made from it.
func (o Options) personID(id string) string {
	id = o.Pseudonym.Of("person", id)
	if resourceID.MatchString(id) {
		return id
	}
	return idOf("person", id)
}

// DiagnosticReportID is the id of the DiagnosticReport of an exam, by which a
// MeasureReport names the exam that it rests on.
func (o Options) diagnosticReportID(exam string) string {
	return idOf("exam", o.Pseudonym.Of("exam", exam), "report")
}

// dateTimeForm is the form of a dateTime in FHIR R4.
var dateTimeForm = regexp.MustCompile(`^[0-9]{4}(-(0[1-9]|1[0-2])(-(0[1-9]|[12][0-9]|3[01])(T([01][0-9]|2[0-3]):[0-5][0-9]:([0-5][0-9]|60)(\.[0-9]+)?(Z|[+-]((0[0-9]|1[0-3]):[0-5][0-9]|14:00)))?)?)?$`)

// dateTime writes a moment as FHIR has it. A clock time needs its seconds and
// its offset there: missing seconds become :00, a time without an offset is
// written as its day. A moment that lies somewhere between two others gives "".
func dateTime(m when.Moment) string {
	text := m.String()
	switch m.Precision() {
	case when.None, when.Span:
		return ""
	case when.LocalTime:
		return text[:10]
	case when.Instant:
		if len(text) > 16 && text[16] != ':' {
			text = text[:16] + ":00" + text[16:]
		}
	}
	if dateTimeForm.MatchString(text) {
		return text
	}
	if ms, ok := m.UnixMilli(); ok {
		return time.UnixMilli(ms).UTC().Format("2006-01-02T15:04:05.000Z")
	}
	return ""
}

// instant writes a moment where FHIR wants an instant, and "" for less.
func instant(m when.Moment) string {
	if m.Precision() != when.Instant {
		return ""
	}
	return dateTime(m)
}

// write is the form of every document that leaves here.
func write(v any) ([]byte, error) {
	var b strings.Builder
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	if err := e.Encode(v); err != nil {
		return nil, fmt.Errorf("write FHIR: %w", err)
	}
	return []byte(b.String()), nil
}
