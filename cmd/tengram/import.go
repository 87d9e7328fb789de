package main

import (
	"fmt"

	"tengram/internal/clinic"
	"tengram/internal/intake/fhir"
)

type importCmd struct {
	Paths []string `arg:"" help:"FHIR R4 files or folders: .ndjson, .ndjson.gz, Bundle .json." type:"path"`
	Data  string   `help:"Data folder of the practice; it is made if it is not there." required:"" type:"path" placeholder:"DIR"`
	JSON  bool     `help:"Print JSON."`
	zoneFlag
}

// Help shows an example.
func (importCmd) Help() string {
	return "Example:\n  tengram import --data ~/practice export/\n\nImporting the same export again changes nothing and says so. Exit code 1 when some of the input could not be read; it is named with file and line, and kept aside; the rest goes in."
}

// Run reads the files into the practice's data.
func (c importCmd) Run(s *session) error {
	zone, err := c.location()
	if err != nil {
		return err
	}
	practice, err := openPractice(s.ctx, c.Data, zone, true)
	if err != nil {
		return err
	}
	defer practice.Store.Close()
	report, err := practice.Import(s.ctx, operator(), fhir.Open(c.Paths, fhir.Options{}))
	if err != nil {
		return err
	}
	if c.JSON {
		err = writeJSON(s.out, report)
	} else {
		writeImport(page{s.out}, report)
	}
	if err == nil && report.AsideCount > 0 {
		return problems{fmt.Errorf("%d parts of the input were not as they should be; they are named above and kept", report.AsideCount)}
	}
	return err
}

func writeImport(p page, r clinic.ImportReport) {
	fmt.Fprintf(p.w, "Read %d files, %d lines, %d resources.\n", r.Read.Files, r.Read.Lines, r.Read.Resources)
	fmt.Fprintf(p.w, "%d new, %d changed, %d as they were.\n", r.New, r.Changed, r.Same)
	if r.Unchanged {
		fmt.Fprintln(p.w, "Nothing changed: all of it was here already.")
	}
	if r.Older > 0 {
		p.item(2, "", fmt.Sprintf("%d came in an older version than is here; the newer one stands.", r.Older))
	}
	for _, t := range r.Read.ByType {
		fmt.Fprintf(p.w, "  %-26s %8d\n", t.Type, t.Count)
	}
	if r.Read.Orphans > 0 {
		p.item(2, "", fmt.Sprintf("%d of the facts are about people who are not in these files; they count once those people are here.", r.Read.Orphans))
	}
	if len(r.Read.NotUsed) > 0 {
		p.head("Understood, and not needed for foot care")
		for _, t := range r.Read.NotUsed {
			fmt.Fprintf(p.w, "  %-26s %8d\n", t.Type, t.Count)
		}
	}
	if r.AsideCount > 0 {
		p.head(fmt.Sprintf("Set aside or doubtful: %d", r.AsideCount))
		for _, a := range r.Asides {
			p.item(2, "- ", asideLine(a))
		}
		if more := r.AsideCount - len(r.Asides); more > 0 {
			p.item(2, "", fmt.Sprintf("and %d more; the Import page lists them", more))
		}
	}
}
