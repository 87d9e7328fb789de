package main

import (
	"bufio"

	"tengram/internal/clinic"
)

type exportCmd struct {
	What string `arg:"" help:"What to write: exams, records or panel." enum:"exams,records,panel" default:"exams"`
	Data string `help:"Data folder of the practice." required:"" type:"path" placeholder:"DIR"`
	zoneFlag
}

// Help shows an example.
func (exportCmd) Help() string {
	return "Example:\n  tengram export exams --data ~/practice > exams.ndjson\n\nWhat is written holds names and findings of people: keep it as you keep the record."
}

// Run writes one JSON document a line.
func (c exportCmd) Run(s *session) error {
	zone, err := c.location()
	if err != nil {
		return err
	}
	practice, err := openPractice(s.ctx, c.Data, zone, false)
	if err != nil {
		return err
	}
	defer practice.Store.Close()
	out := bufio.NewWriter(s.out)
	defer out.Flush()
	if c.What == "panel" {
		rows, _, err := practice.Panel(s.ctx, operator(), clinic.PanelQuery{Order: "name"})
		for _, r := range rows {
			if err == nil {
				err = writeLine(out, r)
			}
		}
		return err
	}
	records, err := practice.Records(s.ctx, operator(), "export "+c.What)
	if err != nil {
		return err
	}
	for rec, err := range records {
		switch {
		case err != nil:
			return err
		case c.What == "records":
			err = writeLine(out, rec)
		default:
			for _, e := range rec.Exams {
				if err == nil {
					err = writeLine(out, e)
				}
			}
		}
		if err != nil {
			return err
		}
	}
	return nil
}
