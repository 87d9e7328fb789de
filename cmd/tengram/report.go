package main

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"time"

	"tengram/internal/kernel/measure"
	"tengram/internal/kernel/record"
	"tengram/internal/kernel/when"
	"tengram/internal/publish/fhir"
	"tengram/internal/publish/guard"
	"tengram/internal/publish/qrda"
	"tengram/internal/publish/table"
)

type reportCmd struct {
	Paths          []string `arg:"" optional:"" help:"FHIR files or folders to report on straight, without a practice's data." type:"path"`
	Measure        string   `help:"Measure to report: ${measures}." default:"foot-exam"`
	Year           int      `help:"Calendar year of the measurement period." required:""`
	Format         string   `help:"measure-report (summary), subject-list, individual, qrda3, qrda1, csv, board (PDF) or board-html." enum:"measure-report,subject-list,individual,qrda3,qrda1,csv,board,board-html" default:"measure-report"`
	Data           string   `help:"Data folder of the practice." type:"path" placeholder:"DIR"`
	Sets           string   `help:"Edition of the value sets: ${sets}." default:"2018"`
	Patient        string   `help:"Id of the person, for individual and qrda1." placeholder:"ID"`
	MaskSmall      bool     `help:"Leave counts of small groups out of a measure-report."`
	Organisation   string   `help:"Name of the practice in the report." default:"Unnamed practice" placeholder:"NAME"`
	Release        string   `help:"Release of QRDA III: hl7 (STU 2.1) or cms2025." enum:"hl7,cms2025" default:"hl7"`
	NoSupplemental bool     `help:"Leave sex, ethnicity, race and payer out of QRDA III."`
	Version        int      `help:"Version of the report, counted from 1, when it is sent again." default:"1"`
	Program        string   `help:"CMS program: MIPS_GROUP or MIPS_INDIV." default:"MIPS_GROUP"`
	TIN            string   `name:"tin" help:"Tax number of the practice, for cms2025." placeholder:"NUMBER"`
	NPI            string   `name:"npi" help:"Number of the clinician, for MIPS_INDIV." placeholder:"NUMBER"`
	Certification  string   `help:"CMS EHR certification id of the practice's certified system, for cms2025." placeholder:"ID"`
	At             string   `help:"Time of the report with its offset; now when left out." placeholder:"TIME"`
	leaveFlags
	zoneFlag
}

// leaveFlags are choices about what leaves the practice.
type leaveFlags struct {
	WithNames    bool   `help:"Let names, birth dates and free text leave too; without it there are only ids."`
	PseudonymKey string `help:"File with a secret key of at least 16 bytes: ids are replaced by pseudonyms." type:"path" placeholder:"FILE"`
	Out          string `help:"File to write; standard output when left out." type:"path" placeholder:"FILE"`
}

// pseudonym reads the key, if one is asked for.
func (f leaveFlags) pseudonym() (guard.Pseudonym, error) {
	if f.PseudonymKey == "" {
		return guard.Pseudonym{}, nil
	}
	if f.WithNames {
		return guard.Pseudonym{}, wrongUse{guard.ErrNamesAndPseudonyms}
	}
	key, err := os.ReadFile(f.PseudonymKey)
	if err != nil {
		return guard.Pseudonym{}, wrongUse{err}
	}
	p, err := guard.NewPseudonym(bytes.TrimSpace(key))
	if err != nil {
		return p, wrongUse{err}
	}
	return p, nil
}

// write hands a writer to do. A file appears under its name only once it is
// whole, readable by its owner alone.
func (f leaveFlags) write(s *session, do func(io.Writer) error) (err error) {
	if f.Out == "" {
		out := bufio.NewWriter(s.out)
		if err := do(out); err != nil {
			return err
		}
		return out.Flush()
	}
	file, err := os.CreateTemp(filepath.Dir(f.Out), ".tengram-*")
	if err != nil {
		return wrongUse{err}
	}
	defer func() {
		if err != nil {
			file.Close()
			os.Remove(file.Name())
		}
	}()
	out := bufio.NewWriter(file)
	if err := do(out); err != nil {
		return err
	}
	if err := errors.Join(out.Flush(), file.Close()); err != nil {
		return err
	}
	return os.Rename(file.Name(), f.Out)
}

// Help shows examples.
func (reportCmd) Help() string {
	return "Examples:\n  tengram report --year 2026 --data ~/practice --format qrda3 --organisation \"Harbour Street\" --out report.xml\n" +
		"  tengram report --year 2026 --data ~/practice --format board --out board.pdf\n" +
		"  tengram report --year 2018 --format individual --patient p1 export/\n\n" +
		"Only ids leave unless --with-names is given; a pseudonymised report is still a personal one. Groups so small that they may point at a person are named on standard error.\n\n" +
		"Exit code 1 when some of the input could not be read, or the report does not hold together."
}

// Run evaluates the records and writes the report.
func (c reportCmd) Run(s *session) error {
	one := c.Format == "individual" || c.Format == "qrda1"
	if one != (c.Patient != "") {
		return wrongUse{fmt.Errorf("--patient ID goes with --format individual and qrda1, which need it")}
	}
	if c.isBoard() {
		return c.board(s)
	}
	pseudonym, err := c.pseudonym()
	if err != nil {
		return err
	}
	from := evaluateCmd{Paths: c.Paths, Measure: c.Measure, Year: c.Year, Data: c.Data, Sets: c.Sets, Each: true, zoneFlag: c.zoneFlag}
	m, ctx, err := from.prepare()
	if err != nil {
		return err
	}
	at, err := c.time(ctx.Zone)
	if err != nil {
		return err
	}
	r := &reporting{cmd: c, m: m, ctx: ctx, at: at, pseudonym: pseudonym, session: s}
	if c.Format == "csv" {
		err = c.write(s, r.csv(from))
	} else {
		err = r.gather(from)
		if err == nil {
			err = c.write(s, r.document)
		}
	}
	if err != nil {
		return err
	}
	for _, w := range r.warnings {
		fmt.Fprintln(s.err, "tengram: look at this before it leaves:", w)
	}
	if r.unread > 0 {
		return problems{fmt.Errorf("%d parts of the input could not be taken in as they stood; they are named above, and the report is of the rest", r.unread)}
	}
	return nil
}

func (c reportCmd) time(zone *time.Location) (when.Moment, error) {
	if c.At == "" {
		return when.AtTime(time.Now().In(zone)), nil
	}
	m, err := when.ParseMoment(c.At)
	if err == nil && m.Precision() != when.Instant {
		err = fmt.Errorf("%q is not a date and time with its offset", c.At)
	}
	if err != nil {
		return m, wrongUse{fmt.Errorf("--at: %w", err)}
	}
	return m, nil
}

// reporting is one report while it is made.
type reporting struct {
	cmd       reportCmd
	m         measure.Measure
	ctx       measure.Context
	at        when.Moment
	pseudonym guard.Pseudonym
	session   *session

	tally     measure.Tally
	breakdown qrda.Breakdown
	results   []measure.Result // of a subject list, and the one of one person
	person    *record.Record
	warnings  []string
	unread    int
}

// each evaluates every record.
func (r *reporting) each(from evaluateCmd, do func(*record.Record, measure.Result) error) error {
	records, unread, err := from.records(r.session)
	if err != nil {
		return err
	}
	r.unread = unread
	for rec, err := range records {
		if err != nil {
			r.unread++
			fmt.Fprintf(r.session.err, "tengram: a record could not be read: %v\n", err)
			continue
		}
		if err := do(&rec, r.m.Evaluate(&rec, r.ctx)); err != nil {
			return err
		}
	}
	return nil
}

// gather takes in what the format needs of everybody.
func (r *reporting) gather(from evaluateCmd) error {
	if r.cmd.Patient != "" && r.cmd.Data != "" {
		return r.open()
	}
	r.ctx.Explain = r.cmd.Format != "measure-report" && r.cmd.Format != "qrda3"
	err := r.each(from, func(rec *record.Record, result measure.Result) error {
		r.tally.Add(result)
		switch r.cmd.Format {
		case "qrda3":
			r.breakdown.Add(result, qrda.DemographicsOf(rec, r.ctx.Period))
		case "subject-list":
			if result.InitialPopulation {
				r.results = append(r.results, result)
			}
		case "individual", "qrda1":
			if rec.Person.ID == r.cmd.Patient {
				kept := *rec
				r.person, r.results = &kept, []measure.Result{result}
			}
		}
		return nil
	})
	if err == nil && r.cmd.Patient != "" && r.person == nil {
		return problems{fmt.Errorf("nobody with the id %s is there", r.cmd.Patient)}
	}
	return err
}

// open reads one person of the practice; the audit trail says whom.
func (r *reporting) open() error {
	practice, err := openPractice(r.session.ctx, r.cmd.Data, r.ctx.Zone, false)
	if err != nil {
		return err
	}
	defer practice.Store.Close()
	chart, err := practice.Open(r.session.ctx, operator(), r.cmd.Patient)
	if err != nil {
		return problems{fmt.Errorf("read the person %s: %w", r.cmd.Patient, err)}
	}
	r.person, r.results = &chart.Record, []measure.Result{r.m.Evaluate(&chart.Record, r.ctx)}
	return nil
}

func (r *reporting) csv(from evaluateCmd) func(io.Writer) error {
	return func(out io.Writer) error {
		w, err := table.NewWriter(out, r.m, table.Options{Names: r.cmd.WithNames, Pseudonym: r.pseudonym})
		if err != nil {
			return wrongUse{err}
		}
		if err := r.each(from, func(rec *record.Record, result measure.Result) error { return w.Add(result, rec.Person) }); err != nil {
			return err
		}
		return w.Close()
	}
}

// document writes all other formats.
func (r *reporting) document(out io.Writer) error {
	o := fhir.ReportOptions{
		Options: fhir.Options{Names: r.cmd.WithNames, Pseudonym: r.pseudonym},
		At:      r.at, Reporter: r.cmd.Organisation, Mask: r.cmd.MaskSmall,
	}
	var doc []byte
	var err error
	switch r.cmd.Format {
	case "measure-report":
		doc, r.warnings, err = fhir.Summary(r.m, r.ctx.Period, r.tally, o)
	case "subject-list":
		doc, err = fhir.SubjectList(r.m, r.ctx.Period, r.results, o)
	case "individual":
		doc, err = fhir.Individual(r.m, r.results[0], o)
	case "qrda1":
		doc, err = qrda.CategoryI(qrda.Patient{
			Measure: r.m, Record: r.person, Result: r.results[0], At: r.at, Organisation: r.organisation(),
			Software: software(), Names: r.cmd.WithNames, Pseudonym: r.pseudonym,
		})
	case "qrda3":
		doc, r.warnings, err = qrda.CategoryIII(r.panel())
	}
	if err != nil {
		return problems{err}
	}
	_, err = out.Write(doc)
	return err
}

func (r *reporting) organisation() qrda.Organisation {
	return qrda.Organisation{Name: r.cmd.Organisation, TIN: r.cmd.TIN, NPI: strings.TrimSpace(r.cmd.NPI), Certification: r.cmd.Certification}
}

func (r *reporting) panel() qrda.Report {
	report := qrda.Report{
		Measure: r.m, Period: r.ctx.Period, Counts: r.tally.Counts, Breakdown: &r.breakdown, At: r.at,
		Organisation: r.organisation(), Version: r.cmd.Version, Software: software(),
	}
	if r.cmd.NoSupplemental {
		report.Breakdown = nil
	}
	if r.cmd.Release == "cms2025" {
		report.Release, report.Program = qrda.CMS2025, r.cmd.Program
	}
	return report
}

func software() string { return "Tengram " + version }
