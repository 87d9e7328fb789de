package measure_test

import (
	"encoding/csv"
	"os"
	"strings"
	"testing"
	"time"

	"tengram/internal/kernel/known"
	"tengram/internal/kernel/measure"
	"tengram/internal/kernel/record"
	"tengram/internal/kernel/term"
	"tengram/internal/kernel/when"
	"tengram/internal/testdata"
)

// Every row of the table of 96 boundary cases, whose expected results are those
// of the published logic run by a public engine, or ours where the note says
// why we differ (C015, C031, C069, C095, C096).
func TestFootExamAgreesWithThePublishedLogic(t *testing.T) {
	rows := table(t, "cms123v7-check-cases.csv")
	if len(rows) != 96 {
		t.Fatalf("the table has %d rows, not 96", len(rows))
	}
	foot := measure.FootExam()
	for _, row := range rows {
		t.Run(row["case"]+" "+row["note"], func(t *testing.T) {
			ctx := measure.Context{Period: measure.Year(2018), Zone: time.UTC}
			if row["case"] == "C095" { // judged in the practice's zone
				ctx.Zone = time.FixedZone("practice", -5*3600)
			}
			rec := fromTable(t, row)
			for _, explain := range []bool{false, true} {
				ctx.Explain = explain
				got := foot.Evaluate(&rec, ctx)
				want := populations{row["expect_ipp"] == "1", row["expect_ipp"] == "1", row["expect_denex"] == "1", row["expect_numer"] == "1"}
				if populationsOf(got) != want {
					t.Errorf("explain %v: got %+v, want %+v\n%s", explain, populationsOf(got), want, row["events"])
				}
			}
		})
	}
}

type populations struct{ initial, denominator, exclusion, numerator bool }

func populationsOf(r measure.Result) populations {
	return populations{r.InitialPopulation, r.Denominator, r.DenominatorExclusion, r.Numerator}
}

// table reads a reference table as maps by column.
func table(t *testing.T, name string) []map[string]string {
	t.Helper()
	file, err := os.Open(testdata.Reference(t, "codes", name))
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	all, err := csv.NewReader(file).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var rows []map[string]string
	for _, line := range all[1:] {
		row := map[string]string{}
		for i, name := range all[0] {
			row[name] = line[i]
		}
		rows = append(rows, row)
	}
	return rows
}

// fromTable builds a record from the table's language of events: parts divided
// by " ; ", fields by blanks (reference, section 1.10).
func fromTable(t *testing.T, row map[string]string) record.Record {
	t.Helper()
	// A FHIR birth date has no time: the import keeps the date.
	rec := record.Record{Person: record.Person{ID: row["case"], Birth: when.MustMoment(row["birth"][:10])}}
	for i, part := range strings.Split(row["events"], " ; ") {
		if part != "" {
			rec.Facts = append(rec.Facts, factOf(t, strings.Fields(part), row["case"]+"/"+string(rune('a'+i))))
		}
	}
	return rec
}

func factOf(t *testing.T, fields []string, key string) record.Fact {
	t.Helper()
	f := record.Fact{Key: key, Codes: []term.Code{code(t, fields[1])}}
	moments := 2
	switch fields[0] {
	case "ENC":
		f.Kind = record.Encounter
	case "DX":
		f.Kind = record.Condition
	case "PROC", "INT":
		f.Kind = record.Procedure
	case "ASM":
		f.Kind, moments = record.Observation, 1
	case "ORD":
		f.Kind, moments = record.Order, 1
	default:
		t.Fatalf("unknown event %q", fields[0])
	}
	f.Start = moment(fields[2])
	if moments == 2 {
		f.End = moment(fields[3])
	} else {
		f.End = f.Start
	}
	if f.Kind != record.Observation { // an open end is an active condition, or open care
		f.Ended = known.Of(!f.End.IsZero())
	}
	for _, option := range fields[2+moments:] {
		name, value, _ := strings.Cut(option, "=")
		switch name {
		case "res":
			f.Value = result(t, value)
		case "site":
			f.Sites = []term.Code{code(t, value)}
		case "disp":
			f.Disposition = []term.Code{code(t, value)}
		case "neg":
			f.Standing = record.NotDone
		case "period": // not the time of the assessment: C059
		default:
			t.Fatalf("unknown option %q", option)
		}
	}
	return f
}

func moment(s string) when.Moment {
	if s == "-" {
		return when.Moment{}
	}
	return when.MustMoment(s)
}

func code(t *testing.T, s string) term.Code {
	t.Helper()
	prefix, c, _ := strings.Cut(s, ":")
	systems := map[string]term.System{"S": term.SNOMED, "I": term.ICD10CM, "C": term.CPT, "H": term.HCPCS}
	system, ok := systems[prefix]
	if !ok {
		t.Fatalf("unknown code %q", s)
	}
	return term.Code{System: system, Code: c}
}

func result(t *testing.T, s string) record.Value {
	t.Helper()
	kind, v, _ := strings.Cut(s, ":")
	switch kind {
	case "-":
		return record.Value{}
	case "S":
		return record.Value{Given: true, Codes: []term.Code{code(t, s)}}
	case "t":
		return record.Value{Given: true, Text: v}
	case "n":
		return record.Value{Given: true, Number: v}
	}
	t.Fatalf("unknown result %q", s)
	return record.Value{}
}
