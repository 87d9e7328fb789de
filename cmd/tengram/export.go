package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"io"
	"iter"

	"tengram/internal/clinic"
	"tengram/internal/kernel/record"
	"tengram/internal/publish/fhir"
)

type exportCmd struct {
	What    string `arg:"" help:"What to write: exams, records, panel, or fhir (signed exams as FHIR Bundles)." enum:"exams,records,panel,fhir" default:"exams"`
	Data    string `help:"Data folder of the practice." required:"" type:"path" placeholder:"DIR"`
	Patient string `help:"Id of one person; everybody when left out." placeholder:"ID"`
	leaveFlags
	zoneFlag
}

var errWholeDocuments = errors.New("exams, records and panel are the practice's own documents, written whole: --with-names and --pseudonym-key go with fhir")

// Help shows examples.
func (exportCmd) Help() string {
	return "Examples:\n  tengram export exams --data ~/practice > exams.ndjson\n  tengram export fhir --data ~/practice --out exams-fhir.ndjson\n\n" +
		"One document a line. exams, records and panel are the practice's own documents, with names and findings: keep them as you keep the record. fhir holds ids only, unless --with-names is given."
}

// Run writes one document a line.
func (c exportCmd) Run(s *session) error {
	zone, err := c.location()
	if err != nil {
		return err
	}
	pseudonym, err := c.pseudonym()
	if err != nil {
		return err
	}
	if c.What != "fhir" && (pseudonym.On() || c.WithNames) {
		return wrongUse{errWholeDocuments}
	}
	practice, err := openPractice(s.ctx, c.Data, zone, false)
	if err != nil {
		return err
	}
	defer practice.Store.Close()
	return c.write(s, func(out io.Writer) error {
		if c.What == "panel" {
			return c.panel(s, practice, out)
		}
		records, err := c.records(s, practice)
		if err != nil {
			return err
		}
		o := fhir.Options{Names: c.WithNames, Pseudonym: pseudonym}
		for rec, err := range records {
			if err != nil {
				return err
			}
			if err := c.person(out, &rec, o); err != nil {
				return err
			}
		}
		return nil
	})
}

func (c exportCmd) panel(s *session, practice *clinic.Clinic, out io.Writer) error {
	rows, _, err := practice.Panel(s.ctx, operator(), clinic.PanelQuery{Order: "name"})
	if err != nil {
		return err
	}
	for _, r := range rows {
		if c.Patient != "" && r.Person != c.Patient {
			continue
		}
		if err := writeLine(out, r); err != nil {
			return err
		}
	}
	return nil
}

// records yields everybody, or the one who was asked for; the audit trail says
// which.
func (c exportCmd) records(s *session, practice *clinic.Clinic) (iter.Seq2[record.Record, error], error) {
	if c.Patient == "" {
		return practice.Records(s.ctx, operator(), "export "+c.What)
	}
	chart, err := practice.Open(s.ctx, operator(), c.Patient)
	if err != nil {
		return nil, problems{err}
	}
	return func(yield func(record.Record, error) bool) { yield(chart.Record, nil) }, nil
}

// person writes what was asked for of one person.
func (c exportCmd) person(out io.Writer, rec *record.Record, o fhir.Options) error {
	if c.What == "records" {
		return writeLine(out, rec)
	}
	o.Referrals = rec.Referrals
	for _, e := range rec.Exams {
		if c.What == "exams" {
			if err := writeLine(out, e); err != nil {
				return err
			}
			continue
		}
		doc, err := fhir.ExamBundle(e, rec.Person, o)
		if err != nil {
			return err
		}
		var line bytes.Buffer
		if err := json.Compact(&line, doc); err != nil {
			return err
		}
		line.WriteByte('\n')
		if _, err := out.Write(line.Bytes()); err != nil {
			return err
		}
	}
	return nil
}
