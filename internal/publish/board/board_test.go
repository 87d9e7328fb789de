package board_test

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"tengram/internal/kernel/forecast"
	"tengram/internal/kernel/measure"
	"tengram/internal/kernel/trend"
	"tengram/internal/kernel/when"
	"tengram/internal/publish/board"
)

// report is a practice of middling size in late November. Its months have few
// opportunities, its quarters enough.
func report() board.Input {
	in := board.Input{
		Practice: "Linden Family Medicine", On: when.MustDay("2026-11-24"), Measure: measure.FootExam(),
		Now: trend.Share{Met: 174, Of: 285}, LastYear: trend.Share{Met: 164, Of: 328}, Target: 0.65,
		Sites: []trend.Group{{Name: "Otter Lane", Share: trend.Share{Met: 60, Of: 103}}, {Name: "Quillmere", Share: trend.Share{Met: 100, Of: 150}},
			{Name: "Annex", Share: trend.Share{Met: 4, Of: 9}}, {Name: "Mill Road", Share: trend.Share{Met: 10, Of: 23}}},
		RecallKept: trend.Share{Met: 150, Of: 211},
		Counts: board.Counts{
			Diabetes: 402, Due: 131, Overdue: 88, NeverExamined: 41, ByRisk: []int{171, 88, 41, 34}, RiskNames: []string{"0, very low", "1, low", "2, moderate", "3, high"},
			Unsettled: 22, OpenUlcers: 7, OpenReferrals: 31, LateReferrals: 12,
		},
		Page: "the page Measure of the program",
	}
	met := []int{9, 12, 14, 8, 11, 16, 7, 9, 12, 10, 8, 14, 9, 13, 11, 10, 12, 8, 9, 13, 12, 10}
	for i := range 23 {
		first := when.MustDay("2025-01-01").AddMonths(i)
		m := trend.Month{First: first, Last: first.AddMonths(1) - 1, ToDate: trend.Share{Met: 20 + 14*(i%12), Of: 94 + 18*(i%12)}}
		if i < len(met) {
			m.Done = trend.Share{Met: met[i], Of: 44 + i%5}
		} else {
			m.Last, m.Partial = in.On, true
			m.ToDate = in.Now
		}
		in.Months = append(in.Months, m)
	}
	end := forecast.Point{On: when.MustDay("2026-12-31"), Median: 0.629, In80: trend.Interval{Low: 0.609, High: 0.653}, In95: trend.Interval{Low: 0.601, High: 0.67}}
	near := forecast.Point{On: when.MustDay("2026-11-30"), Median: 0.615, In80: trend.Interval{Low: 0.61, High: 0.62}, In95: trend.Interval{Low: 0.608, High: 0.625}}
	in.Forecast = &forecast.Forecast{Measure: "foot-exam", Period: measure.Year(2026), Today: in.On, Now: in.Now, Points: []forecast.Point{near, end}, End: end, OK: true, Target: 0.65, Reached: 0.14, Draws: 1000, Seed: 1}
	return in
}

func pdf(t testing.TB, in board.Input) string {
	t.Helper()
	var b bytes.Buffer
	if err := board.Render(&b, in); err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(t.TempDir(), "board.pdf")
	if err := os.WriteFile(file, b.Bytes(), 0o600); err != nil {
		t.Fatal(err)
	}
	return file
}

func html(t testing.TB, in board.Input) string {
	t.Helper()
	var b bytes.Buffer
	if err := board.RenderHTML(&b, in); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// poppler runs one of the PDF tools.
func poppler(t testing.TB, tool string, args ...string) string {
	t.Helper()
	if _, err := exec.LookPath(tool); err != nil {
		t.Skipf("this test needs %s: run scripts/packages.sh", tool)
	}
	out, err := exec.Command(tool, args...).CombinedOutput()
	if err != nil {
		t.Fatalf("%s: %v: %s", tool, err, out)
	}
	return string(out)
}

// spaces makes any white space one space.
func spaces(s string) string { return strings.Join(strings.Fields(s), " ") }

func TestThePDFSaysWhatABoardAsks(t *testing.T) {
	file := pdf(t, report())
	text := spaces(poppler(t, "pdftotext", "-layout", file, "-"))
	raw := spaces(poppler(t, "pdftotext", file, "-"))
	for _, want := range []string{
		"Diabetes foot care", "Report of Linden Family Medicine as of 24 November 2026",
		"61.1 %", "Otter Lane", "Quillmere", "1 to 10", "71.1 % (150 of 211)", "2, moderate",
	} {
		if !strings.Contains(text, want) && !strings.Contains(raw, want) {
			t.Errorf("no %q in: %s", want, text)
		}
	}
	for _, want := range []string{"174 of 285 people (61.1 %)", "2025 ended at 50.0 %", "expected to end near 62.9 %", "target of 65.0 % was reached in 14 of 100", "by quarter",
		"no structure for screen readers", "is the page Measure of the program"} {
		if !strings.Contains(raw, want) {
			t.Errorf("no %q in: %s", want, raw)
		}
	}
	info := poppler(t, "pdfinfo", file)
	for _, want := range []string{"Title:           Diabetes foot care: Report of Linden Family Medicine as of 24 November 2026", "Pages:           1\n", "612 x 792 pts (letter)"} {
		if !strings.Contains(info, want) {
			t.Errorf("no %q in: %s", want, info)
		}
	}
	bytes, err := os.ReadFile(file)
	if err != nil || !strings.Contains(string(bytes), "/Lang (en-US)") {
		t.Errorf("the PDF names no language (%v)", err)
	}
}

// lowest is how far down the page the last word reaches, in points of 792.
func lowest(t testing.TB, file string) float64 {
	t.Helper()
	deepest := 0.0
	for _, m := range regexp.MustCompile(`<word[^>]*yMax="([0-9.]+)"`).FindAllStringSubmatch(poppler(t, "pdftotext", "-bbox", file, "-"), -1) {
		y, err := strconv.ParseFloat(m[1], 64)
		if err != nil {
			t.Fatal(err)
		}
		deepest = max(deepest, y)
	}
	return deepest
}

func TestAFullReportStillFitsOnOnePage(t *testing.T) {
	in := report()
	in.Practice = strings.Repeat("The Long Name of a Practice ", 4)
	in.Sites = nil
	for i := range 40 {
		in.Sites = append(in.Sites, trend.Group{Name: fmt.Sprintf("Site number %d with a name that is far too long for its column", i), Share: trend.Share{Met: 30 + i, Of: 90 + i}})
	}
	in.Sites[3].Share = trend.Share{Met: 118, Of: 130}
	in.Counts.RiskNames = []string{"0, very low risk by the long words of a system", "1, low risk by the long words of a system", "2, moderate risk by the long words", "3, high risk by the long words of a system"}
	file := pdf(t, in)
	if y := lowest(t, file); y > 792-25 || y < 400 {
		t.Errorf("the last word ends at %.0f of 792 points", y)
	}
	if text := poppler(t, "pdftotext", file, "-"); !strings.Contains(text, "More sites are on the HTML page.") {
		t.Error("nothing says that sites are missing")
	}
}

func TestTheSameReportIsTheSameFile(t *testing.T) {
	var files [2]bytes.Buffer
	for i := range files {
		if err := board.Render(&files[i], report()); err != nil {
			t.Fatal(err)
		}
	}
	if !bytes.Equal(files[0].Bytes(), files[1].Bytes()) {
		t.Error("two runs differ")
	}
}

func TestSmallCountsAreNotShown(t *testing.T) {
	page := html(t, report())
	for _, want := range []string{
		`<th scope="row">Annex</th><td>hidden</td><td>hidden</td>`,
		`<th scope="row">Mill Road</th><td>hidden</td><td>hidden</td>`, // else the total would tell the annex
		`<th scope="row">Open ulcers</th><td>1 to 10</td>`,
		"Numbers of 2 of 4 sites are not shown",
	} {
		if !strings.Contains(page, want) {
			t.Errorf("no %s", want)
		}
	}
	small := report()
	small.Now, small.LastYear = trend.Share{Met: 6, Of: 20}, trend.Share{Met: 16, Of: 20}
	small.RecallKept = trend.Share{Met: 3, Of: 30}
	small.Counts.Due = 396 // all but six
	page = html(t, small)
	for _, want := range []string{"too few people to show a rate", `Recall kept</th><td>hidden`, `Exam due today or before</th><td>hidden`} {
		if !strings.Contains(page, want) {
			t.Errorf("no %s", want)
		}
	}
	for _, not := range []string{"6 of 20", "16 of 20", "3 of 30", "30.0 %", "80.0 %", "Where the year will end"} {
		if strings.Contains(page, not) {
			t.Errorf("%q is shown", not)
		}
	}
}

func TestMonthsAreJoinedUntilTheyAreLargeEnough(t *testing.T) {
	for _, c := range []struct {
		name string
		done func(i int) trend.Share
		want string
	}{
		{"large months", func(i int) trend.Share { return trend.Share{Met: 40 + i%3, Of: 90} }, "by month"},
		{"small months, larger quarters", func(i int) trend.Share { return trend.Share{Met: 6, Of: 30} }, "by quarter"},
		{"small quarters, larger half-years", func(i int) trend.Share { return trend.Share{Met: 2, Of: 9} }, "by half-year"},
	} {
		in := report()
		for i := range in.Months {
			in.Months[i].Done = c.done(i)
		}
		if page := html(t, in); !strings.Contains(page, "What was due and done, "+c.want) {
			t.Errorf("%s: not drawn %s", c.name, c.want)
		}
	}
	in := report()
	for i := range in.Months {
		in.Months[i].Done = trend.Share{Met: 1, Of: 3}
	}
	if strings.Contains(html(t, in), "What was due and done") {
		t.Error("too small for a half-year, and drawn all the same")
	}
}

// Nothing but counts that are large enough may be found in the numbers of the
// page that tell people apart.
func TestNoSmallCountEverLeaves(t *testing.T) {
	cell := regexp.MustCompile(`<td>(\d+)</td>|(\d+) of (\d+)\)`)
	rapid.Check(t, func(t *rapid.T) {
		in := report()
		share := func(label string) trend.Share {
			of := rapid.IntRange(0, 60).Draw(t, label)
			return trend.Share{Met: rapid.IntRange(0, of).Draw(t, label+" met"), Of: of}
		}
		in.Now, in.LastYear, in.RecallKept = share("now"), share("last"), share("recall")
		in.Sites = nil
		for i := range rapid.IntRange(0, 5).Draw(t, "sites") {
			in.Sites = append(in.Sites, trend.Group{Name: fmt.Sprint("site ", string(rune('a'+i))), Share: share("site")})
		}
		for i := range in.Months {
			in.Months[i].Done, in.Months[i].ToDate = share("done"), share("to date")
		}
		n := &in.Counts
		for _, p := range []*int{&n.Due, &n.Overdue, &n.NeverExamined, &n.OpenUlcers, &n.OpenReferrals, &n.LateReferrals, &n.Unsettled, &n.ByRisk[0], &n.ByRisk[3]} {
			*p = rapid.IntRange(0, 40).Draw(t, "count")
		}
		var b bytes.Buffer
		if err := board.RenderHTML(&b, in); err != nil {
			t.Fatal(err)
		}
		for _, m := range cell.FindAllStringSubmatch(b.String(), -1) {
			for _, digits := range m[1:] {
				if v, err := strconv.Atoi(digits); err == nil && v > 0 && v < trend.LeastShown {
					t.Fatalf("%s is shown", m[0])
				}
			}
		}
		if err := board.Render(io.Discard, in); err != nil {
			t.Fatal(err)
		}
	})
}

func TestTheHTMLIsTheAccessibleForm(t *testing.T) {
	in := report()
	in.Practice = `<b>"Linden" & Sons</b>`
	in.Sites[0].Name = "<script>alert(1)</script>"
	page := html(t, in)
	d := xml.NewDecoder(strings.NewReader(strings.Replace(page, "<!doctype html>", "", 1)))
	d.Strict, d.AutoClose, d.Entity = false, xml.HTMLAutoClose, xml.HTMLEntity
	count := map[string]int{}
	headers := 0
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			t.Fatal(err)
		}
		if s, ok := token.(xml.StartElement); ok {
			count[s.Name.Local]++
			for _, a := range s.Attr {
				if a.Name.Local == "scope" {
					headers++
				}
			}
		}
	}
	if count["h1"] != 1 || count["svg"] != 3 || count["table"] != 7 || count["caption"] != 7 || count["script"]+count["b"]+count["link"]+count["img"] != 0 || headers < 20 {
		t.Errorf("elements %v, %d headers of tables", count, headers)
	}
	if !strings.Contains(page, `<html lang="en">`) || !strings.Contains(page, "Linden&#34; &amp; Sons") {
		t.Error("no language, or a name that is not as it was")
	}
}

func TestAnEmptyPracticeHasAReport(t *testing.T) {
	in := board.Input{Practice: "New", On: when.MustDay("2026-01-01"), Measure: measure.FootExam()}
	text := poppler(t, "pdftotext", pdf(t, in), "-")
	if !strings.Contains(spaces(text), "nobody is counted yet") {
		t.Error(text)
	}
}
