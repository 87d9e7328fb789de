// Package table writes what a measure says of each person as comma-separated
// values, for a spreadsheet: one line a person, with a line of names above.
//
// The form is that of RFC 4180, in UTF-8. A value that a spreadsheet would take
// for a formula gets an apostrophe in front: a name or code from outside must
// never run as one.
package table

import (
	"encoding/csv"
	"fmt"
	"io"
	"strconv"
	"strings"
	"unicode/utf8"

	"tengram/internal/kernel/measure"
	"tengram/internal/kernel/record"
	"tengram/internal/publish/guard"
)

// Options say what may leave.
type Options struct {
	// Names adds the family and given name.
	Names bool
	// Pseudonym replaces the ids. With it reasons and doubts are left out, since
	// they name facts by their ids.
	Pseudonym guard.Pseudonym
}

// Writer writes the lines. Close it at the end.
type Writer struct {
	csv *csv.Writer
	o   Options
	m   measure.Measure
}

// NewWriter writes the line of names.
func NewWriter(w io.Writer, m measure.Measure, o Options) (*Writer, error) {
	if o.Names && o.Pseudonym.On() {
		return nil, guard.ErrNamesAndPseudonyms
	}
	t := &Writer{csv.NewWriter(w), o, m}
	t.csv.UseCRLF = true
	head := []string{"person"}
	if o.Names {
		head = append(head, "family", "given")
	}
	head = append(head, "measure", "version", "first-day", "last-day", "initial-population", "denominator",
		"denominator-exclusion", "exception", "numerator", "group", "missing", "reasons", "doubts")
	return t, t.line(head)
}

// Add writes the line of one person. Missing parts are separated by blanks,
// reasons and doubts by a vertical bar.
func (t *Writer) Add(r measure.Result, p record.Person) error {
	fields := []string{t.o.Pseudonym.Of("person", r.Patient)}
	if t.o.Names {
		fields = append(fields, p.Family, p.Given)
	}
	var missing, reasons []string
	for _, g := range r.Gaps {
		missing = append(missing, g.Part)
		reasons = append(reasons, g.Says)
	}
	doubts := r.Quality
	says := make([]string, 0, len(r.Because)+len(reasons))
	for _, b := range r.Because {
		says = append(says, b.Says)
	}
	says = append(says, reasons...)
	if t.o.Pseudonym.On() {
		says, doubts = nil, nil
	}
	return t.line(append(fields,
		t.m.ID, t.m.Version, r.Period.First.String(), r.Period.Last.String(),
		yesNo(r.InitialPopulation), yesNo(r.Denominator), yesNo(r.DenominatorExclusion), yesNo(r.Exception), yesNo(r.Numerator),
		r.Stratum, strings.Join(missing, " "), strings.Join(says, " | "), strings.Join(doubts, " | ")))
}

// Close writes out what is held back.
func (t *Writer) Close() error {
	t.csv.Flush()
	if err := t.csv.Error(); err != nil {
		return fmt.Errorf("write the table: %w", err)
	}
	return nil
}

func (t *Writer) line(fields []string) error {
	for i := range fields {
		fields[i] = harmless(fields[i])
	}
	if err := t.csv.Write(fields); err != nil {
		return fmt.Errorf("write the table: %w", err)
	}
	return nil
}

func yesNo(b bool) string {
	if b {
		return "yes"
	}
	return "no"
}

// harmless puts an apostrophe in front of what a spreadsheet would run: a text
// that begins, behind blanks, with = + - @ or a sign that is taken for one of
// them, or with a tab or an end of line. A plain number stays a number.
func harmless(s string) string {
	rest := strings.TrimLeft(s, " ")
	if rest == "" {
		return s
	}
	first, _ := utf8.DecodeRuneInString(rest)
	if !strings.ContainsRune("=+-@\t\r\n\uff1d\uff0b\uff0d\uff20", first) {
		return s
	}
	if _, err := strconv.ParseInt(s, 10, 64); err == nil && first == '-' {
		return s
	}
	return "'" + s
}
