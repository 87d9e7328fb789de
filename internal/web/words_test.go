package web

import (
	"testing"

	"tengram/internal/kernel/known"
	"tengram/internal/kernel/record"
	"tengram/internal/kernel/term"
	"tengram/internal/kernel/when"
)

func TestADateIsWrittenInThePrecisionInWhichItCame(t *testing.T) {
	for _, c := range []struct{ came, written string }{
		{"2018", "2018"},
		{"2018-12", "Dec 2018"},
		{"2018-12-05", "5 Dec 2018"},
		{"2018-12-05T09:30:00Z", "5 Dec 2018, 09:30"},
		{"2018/2019", "between 2018 and 2019"},
		{"2018-12/2019-01", "between Dec 2018 and Jan 2019"},
		{"2006-06-15/2007-06-14", "between 15 Jun 2006 and 14 Jun 2007"},
		{"2018-12-05T09:30:00Z/2019", "between 5 Dec 2018, 09:30 and 2019"},
	} {
		if got := moment(when.MustMoment(c.came)); got != c.written {
			t.Errorf("%s is written %q, want %q", c.came, got, c.written)
		}
	}
	if got := moment(when.Moment{}); got != "not known" {
		t.Errorf("no date is written %q", got)
	}
}

func TestAStoryHoldsWhatBeganAtSomeTimeBetweenTwoDates(t *testing.T) {
	f := fullFake()
	rec := f.records["p1"]
	rec.Facts = append(rec.Facts[:len(rec.Facts):len(rec.Facts)], record.Fact{
		Kind: record.Condition, Key: "Condition/span", Codes: []term.Code{term.New("http://hl7.org/fhir/sid/icd-10-cm", "E11.9")}, Text: "diabetes",
		Start: when.MustMoment("2018/2019"), End: when.MustMoment("2020-12/2021-01"), Ended: known.Yes,
	})
	f.records["p1"] = rec
	wants(t, newDesk(t, f, nurse).get("/person/p1"), 200, "between 2018 and 2019", "until between Dec 2020 and Jan 2021")
}
