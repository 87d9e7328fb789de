package cohort_test

import (
	"encoding/csv"
	"os"
	"strings"
	"testing"

	"tengram/internal/kernel/cohort"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/record"
	"tengram/internal/kernel/term"
	"tengram/internal/kernel/when"
	"tengram/internal/testdata"
)

var on = when.MustDay("2026-06-15")

func condition(system term.System, code, start, end string) record.Fact {
	f := record.Fact{Kind: record.Condition, Key: "Condition/" + code, Codes: []term.Code{{System: system, Code: code}}, Ended: known.Of(end != "")}
	if start != "" {
		f.Start = when.MustMoment(start)
	}
	if end != "" {
		f.End = when.MustMoment(end)
	}
	return f
}

func icd(code string) record.Fact { return condition(term.ICD10CM, code, "2015-03-01", "") }

// Codes: reference, sections 1.7, 3.2, 3.3 and 3.4.
func TestWhoIsOnTheDiabetesPanel(t *testing.T) {
	for _, c := range []struct {
		name    string
		facts   []record.Fact
		want    known.Tri
		kind    cohort.Type
		outside bool
		says    string
	}{
		{"type 2", []record.Fact{icd("E11.9")}, known.Yes, cohort.Type2, false, "Diabetes E11.9 since 2015-03-01."},
		{"type 1", []record.Fact{icd("E10.42")}, known.Yes, cohort.Type1, false, ""},
		{"drug-induced diabetes is on the clinic's list and not in the measure", []record.Fact{icd("E09.42")}, known.Yes, cohort.Another, true, "not in the diabetes value set"},
		{"diabetes of another condition", []record.Fact{icd("E08.42")}, known.Yes, cohort.Another, true, ""},
		{"a bare category is plain enough for a panel", []record.Fact{icd("E11")}, known.Yes, cohort.Type2, true, ""},
		{"diabetes that was there before a pregnancy", []record.Fact{icd("O24.111")}, known.Yes, cohort.Type2, false, ""},
		{"type 2 in SNOMED", []record.Fact{condition(term.SNOMED, "44054006", "", "")}, known.Yes, cohort.Type2, false, "active, without a date"},
		{"secondary diabetes in SNOMED", []record.Fact{condition(term.SNOMED, "8801005", "", "")}, known.Yes, cohort.Another, true, ""},
		{"generic diabetes in SNOMED does not tell the type", []record.Fact{condition(term.SNOMED, "73211009", "", "")}, known.Yes, cohort.NotTold, true, ""},
		{"codes of two types", []record.Fact{icd("E10.9"), icd("E11.9")}, known.Yes, cohort.Several, false, ""},
		{"in ICD-9", []record.Fact{condition(term.ICD9CM, "250.00", "2009", "")}, known.Yes, cohort.NotTold, false, ""},
		{"gestational diabetes is not", []record.Fact{icd("O24.410")}, known.No, "", false, "None of the diagnoses"},
		{"prediabetes is not", []record.Fact{icd("R73.03"), condition(term.SNOMED, "15777000", "", "")}, known.No, "", false, ""},
		{"a past gestational diabetes is not", []record.Fact{icd("Z86.32")}, known.No, "", false, ""},
		{"a family history is not", []record.Fact{icd("Z83.3")}, known.No, "", false, ""},
		{"there is no category E12", []record.Fact{icd("E12.9")}, known.No, "", false, ""},
		{"presymptomatic type 1 is not", []record.Fact{icd("E10.A0"), icd("E10.A1")}, known.No, "", false, ""},
		{"diabetes that ended is a question, not a no", []record.Fact{condition(term.ICD10CM, "E11.9", "2015", "2020-01-01")}, known.Unknown, "", false, "ended on 2020-01-01"},
		{"diabetes that ends this month still counts", []record.Fact{condition(term.ICD10CM, "E11.9", "2015", "2026-06")}, known.Yes, cohort.Type2, false, ""},
		{"diabetes that begins later is a question", []record.Fact{condition(term.ICD10CM, "E11.9", "2026-07-01", "")}, known.Unknown, "", false, "begins on 2026-07-01"},
		{"insulin without a diabetes code is a question", []record.Fact{icd("Z79.4")}, known.Unknown, "", false, "insulin"},
		{"an empty record is a question", nil, known.Unknown, "", false, "no diagnosis at all"},
		{"HbA1c 6.5 % without a code is a question (ADA diagnosis limit, from memory)", []record.Fact{icd("I10"), a1c("6.5")}, known.Unknown, "", false, "HbA1c 6.5 %"},
		{"HbA1c 6.4 % is not", []record.Fact{icd("I10"), a1c("6.4")}, known.No, "", false, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := cohort.Diabetes(&record.Record{Facts: c.facts}, on)
			if r.Is != c.want || r.Type != c.kind || r.OutsideMeasure != c.outside {
				t.Errorf("is %v, type %q, outside %v; want %v %q %v", r.Is, r.Type, r.OutsideMeasure, c.want, c.kind, c.outside)
			}
			var says []string
			for _, reason := range r.Because {
				if reason.Source == nil {
					t.Errorf("no source: %q", reason.Says)
				}
				says = append(says, reason.Says)
			}
			if all := strings.Join(says, " "); all == "" || !strings.Contains(all, c.says) {
				t.Errorf("reasons %q do not say %q", all, c.says)
			}
		})
	}
}

func a1c(value string) record.Fact {
	return record.Fact{Kind: record.Observation, Key: "Observation/1", Codes: []term.Code{{System: term.LOINC, Code: "4548-4"}},
		Start: when.MustMoment("2026-01-01"), Value: record.Value{Given: true, Number: value, Unit: "%"}}
}

func TestFactsThatDoNotStandPutNobodyOnThePanel(t *testing.T) {
	for s := record.Void; s <= record.Preliminary; s++ {
		f := icd("E11.9")
		f.Standing = s
		if r := cohort.Diabetes(&record.Record{Facts: []record.Fact{f, icd("I10")}}, on); r.Is != known.No {
			t.Errorf("standing %d: %v", s, r.Is)
		}
	}
}

func TestThePanelHoldsEverybodyOfTheMeasure(t *testing.T) {
	for _, edition := range []cohort.Edition{cohort.Diabetes2018, cohort.Diabetes2025} {
		for c := range edition.Codes() {
			rec := record.Record{Facts: []record.Fact{condition(c.System, c.Code, "2015-03-01", "")}}
			if r := cohort.Diabetes(&rec, on); r.Is != known.Yes || r.Since != when.MustDay("2015-03-01") {
				t.Errorf("%v of the edition %s: %v since %v", c, edition, r.Is, r.Since)
			}
		}
	}
}

// The table of codes by edition, and the whole 2018 set.
func TestTheEditionsOfTheDiabetesSet(t *testing.T) {
	in := map[cohort.Edition]term.Set{cohort.Diabetes2018: cohort.Diabetes2018.Codes(), cohort.Diabetes2025: cohort.Diabetes2025.Codes()}
	if n := len(in[cohort.Diabetes2018]); n != 304+72+54 {
		t.Errorf("%d codes in 2018, want 304 + 72 + 54 (reference, section 1.7)", n)
	}
	for _, row := range rows(t, "diabetes-valueset-drift.csv") {
		c := term.New(row["system"], row["code"])
		for edition, column := range map[cohort.Edition]string{cohort.Diabetes2018: "in_cms123v7_2018", cohort.Diabetes2025: "in_20250115"} {
			if in[edition].Has(c) != (row[column] == "1") {
				t.Errorf("%v in the edition %s: %v, the table says %s", c, edition, in[edition].Has(c), row[column])
			}
		}
	}
	for _, row := range rows(t, "ecqm-cms123v7-valuesets.csv") {
		if c := term.New(row["system"], row["code"]); row["name"] == "Diabetes" && !in[cohort.Diabetes2018].Has(c) {
			t.Errorf("%v is not in the 2018 set", c)
		}
	}
}

func rows(t *testing.T, name string) []map[string]string {
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
	var out []map[string]string
	for _, line := range all[1:] {
		row := map[string]string{}
		for i, column := range all[0] {
			row[column] = line[i]
		}
		out = append(out, row)
	}
	return out
}

func TestWhoIsNotWatched(t *testing.T) {
	hospice := func(kind record.Kind, code, start, end string) record.Record {
		f := condition(term.SNOMED, code, start, end)
		f.Kind = kind
		return record.Record{Facts: []record.Fact{f}}
	}
	discharge := hospice(record.Encounter, "183452005", "2026-05-01", "2026-05-05")
	discharge.Facts[0].Disposition = []term.Code{{System: term.SNOMED, Code: "428361000124107"}}
	underWay := hospice(record.Procedure, "385763009", "2024-01-01", "")
	underWay.Facts[0].Standing = record.Planned
	for _, c := range []struct {
		name    string
		rec     record.Record
		watched bool
	}{
		{"anybody else is", record.Record{}, true},
		{"the dead", record.Record{Person: record.Person{Deceased: known.Yes}}, false},
		{"the dead with a day", record.Record{Person: record.Person{DiedAt: when.MustMoment("2026-06-15")}}, false},
		{"before the day of death a person is", record.Record{Person: record.Person{Deceased: known.Yes, DiedAt: when.MustMoment("2026-06-16")}}, true},
		{"a record not in use", record.Record{Person: record.Person{Inactive: true}}, false},
		{"a merged record", record.Record{Person: record.Person{ReplacedBy: "p2"}}, false},
		{"hospice care since 2024", hospice(record.Procedure, "385763009", "2024-01-01", ""), false},
		{"hospice care under way", underWay, false},
		{"hospice care that ended is over", hospice(record.Procedure, "385763009", "2024-01-01", "2026-06-14"), true},
		{"hospice care that ends today is not over", hospice(record.Procedure, "385763009", "2024-01-01", "2026-06-15"), false},
		{"hospice care that begins tomorrow has not begun", hospice(record.Procedure, "385763009", "2026-06-16", ""), true},
		{"a hospice order of this year", hospice(record.Order, "385765002", "2026-01-01", ""), false},
		{"a hospice order of two years ago no longer says much", hospice(record.Order, "385765002", "2024-01-01", ""), true},
		{"a discharge to hospice", discharge, false},
		{"palliative care is not hospice", record.Record{Facts: []record.Fact{icd("Z51.5")}}, true},
	} {
		t.Run(c.name, func(t *testing.T) {
			watched, why := cohort.Watched(&c.rec, on)
			if watched != c.watched || watched != (len(why) == 0) {
				t.Errorf("watched %v because %v", watched, why)
			}
		})
	}
}
