package chart_test

import (
	"encoding/xml"
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"tengram/internal/kernel/forecast"
	"tengram/internal/kernel/measure"
	"tengram/internal/kernel/trend"
	"tengram/internal/kernel/when"
	"tengram/internal/publish/chart"
)

var update = flag.Bool("update", false, "write the golden files anew")

// months are whole months from July 2025 on with these shares.
func months(shares ...trend.Share) []trend.Month {
	first := when.MustDay("2025-07-01")
	var out []trend.Month
	for i, s := range shares {
		m := first.AddMonths(i)
		out = append(out, trend.Month{First: m, Last: m.AddMonths(1) - 1, Done: s})
	}
	return out
}

func done(list []trend.Month) (points []trend.Share) {
	for _, m := range list {
		points = append(points, m.Done)
	}
	return points
}

var shifted = months(trend.Share{Met: 11, Of: 40}, trend.Share{Met: 14, Of: 44}, trend.Share{Met: 9, Of: 37}, trend.Share{Met: 12, Of: 41}, trend.Share{Met: 10, Of: 29},
	trend.Share{Met: 13, Of: 45}, trend.Share{Met: 12, Of: 39}, trend.Share{Met: 11, Of: 42}, trend.Share{}, trend.Share{Met: 25, Of: 40}, trend.Share{Met: 24, Of: 43},
	trend.Share{Met: 26, Of: 41}, trend.Share{Met: 20, Of: 38}, trend.Share{Met: 24, Of: 40}, trend.Share{Met: 23, Of: 39}, trend.Share{Met: 22, Of: 36}, trend.Share{Met: 31, Of: 42})

func drawings() map[string]chart.Drawing {
	groups := []trend.Group{
		{Name: "Hollis Street", Share: trend.Share{Met: 98, Of: 142}}, {Name: "Riverside", Share: trend.Share{Met: 61, Of: 118}},
		{Name: "North End <annex>", Share: trend.Share{Met: 9, Of: 14}}, {Name: "Mill Lane", Share: trend.Share{Met: 20, Of: 52}},
		{Name: "Station", Share: trend.Share{Met: 71, Of: 78}},
	}
	toDate := months(trend.Share{}, trend.Share{}, trend.Share{}, trend.Share{}, trend.Share{}, trend.Share{}, trend.Share{}, trend.Share{}, trend.Share{}, trend.Share{}, trend.Share{}, trend.Share{}, trend.Share{})[6:13]
	for i := range toDate {
		toDate[i].ToDate = trend.Share{Met: 6 + i*18, Of: 80 + i*42}
	}
	toDate[6].Last, toDate[6].Partial = when.MustDay("2026-07-21"), true
	f := forecast.Forecast{
		Period: measure.Year(2026), Today: when.MustDay("2026-07-21"), Now: trend.Share{Met: 114, Of: 332}, OK: true, Draws: 1000, Target: 0.6, Reached: 0.41,
	}
	for i, end := range []string{"2026-07-31", "2026-08-31", "2026-09-30", "2026-10-31", "2026-11-30", "2026-12-31"} {
		m, w := 0.35+0.045*float64(i), 0.01+0.012*float64(i)
		f.Points = append(f.Points, forecast.Point{On: when.MustDay(end), Median: m, In80: trend.Interval{Low: m - w, High: m + w}, In95: trend.Interval{Low: m - 1.6*w, High: m + 1.7*w}})
	}
	f.End = f.Points[5]
	over := f
	over.Today, over.Points = f.Period.Last, nil
	points := done(shifted)
	return map[string]chart.Drawing{
		"run":        chart.Page.RunChart("c1", "Feet examined when due", shifted, trend.Run(points, false)),
		"run-short":  chart.Page.RunChart("c1", "Feet examined when due", shifted[:5], trend.Run(points[:5], false)),
		"p":          chart.Page.PChart("c2", "Feet examined when due", shifted, trend.Chart(points, 0, false)),
		"funnel":     chart.Page.Funnel("c3", "Diabetes: foot exam", "sites", trend.Spread(groups)),
		"funnel-one": chart.Page.Funnel("c3", "Diabetes: foot exam", "sites", trend.Spread(groups[2:3])),
		"funnel-0":   chart.Page.Funnel("c3", "Diabetes: foot exam", "sites", trend.Spread(nil)),
		"fan":        chart.Page.Fan("c4", "Diabetes: foot exam", toDate, f, 0.6),
		"fan-over":   chart.Page.Fan("c4", "Diabetes: foot exam", toDate, over, 0),
		"size": chart.Sizes("c5", "left heel", "length times width", []chart.Size{
			{On: when.MustDay("2026-08-03"), AreaMM2: 420}, {On: when.MustDay("2026-08-17"), AreaMM2: 465}, {On: when.MustDay("2026-08-31"), AreaMM2: 300}, {On: when.MustDay("2026-09-21"), AreaMM2: 160},
		}),
		"size-one": chart.Sizes("c5", "left heel", "length times width", []chart.Size{{On: when.MustDay("2026-08-03"), AreaMM2: 420}}),
		"size-0":   chart.Sizes("c5", "left heel", "length times width", nil),
		"bars": chart.Bars("c6", "People by risk category", []chart.Bar{
			{Name: "0, very low", Count: 212}, {Name: "1, low", Count: 96}, {Name: "2, moderate", Count: 41}, {Name: "3, high", Count: 38}, {Name: "not settled", Count: 9}, {Name: "never examined", Count: 0},
		}),
		"run-half":    chart.Half.RunChart("c1", "Feet examined when due", shifted, trend.Run(points, false)),
		"fan-half":    chart.Half.Fan("c4", "Diabetes: foot exam", toDate, f, 0.6),
		"funnel-half": chart.Half.Funnel("c3", "Diabetes: foot exam", "sites", trend.Spread(groups)),
		"bars-0":      chart.Bars("c6", "People by risk category", nil),
	}
}

func TestDrawingsAreAsTheyWere(t *testing.T) {
	for name, d := range drawings() {
		file := filepath.Join("testdata", name+".html")
		got := strings.ReplaceAll(d.Figure(), "><", ">\n<") + "\n"
		if *update {
			if err := os.WriteFile(file, []byte(got), 0o644); err != nil {
				t.Fatal(err)
			}
			continue
		}
		want, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(string(want), got); diff != "" {
			t.Errorf("%s (run with -update and look at it): %s", name, diff)
		}
	}
}

// wellFormed reads all of an XML text and returns how many elements of each
// name there are.
func wellFormed(text string) (map[string]int, error) {
	count := map[string]int{}
	d := xml.NewDecoder(strings.NewReader(text))
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			return count, nil
		}
		if err != nil {
			return nil, err
		}
		if s, ok := token.(xml.StartElement); ok {
			count[s.Name.Local]++
			for _, a := range s.Attr {
				if a.Name.Local == "style" || strings.HasPrefix(a.Name.Local, "on") {
					return nil, fmt.Errorf("attribute %s in %s", a.Name.Local, s.Name.Local)
				}
			}
		}
	}
}

func TestEveryDrawingIsWholeAndSaysWhatItShows(t *testing.T) {
	notNumber := regexp.MustCompile(`NaN|Inf|%!`)
	for name, d := range drawings() {
		t.Run(name, func(t *testing.T) {
			count, err := wellFormed(d.SVG)
			if err != nil {
				t.Fatal(err)
			}
			if count["svg"] != 1 || count["desc"] != 1 || count["title"] < 1 || count["style"]+count["script"] > 0 {
				t.Errorf("elements %v", count)
			}
			for _, want := range []string{`role="img"`, `aria-labelledby="c`, `viewBox="0 0 `} {
				if !strings.Contains(d.SVG, want) {
					t.Errorf("no %s", want)
				}
			}
			if _, err := wellFormed(d.Figure()); err != nil {
				t.Error(err)
			}
			if _, err := wellFormed(d.File()); err != nil || !strings.HasPrefix(d.File(), "<?xml") || !strings.Contains(d.File(), `fill="#fff"`) {
				t.Error("as a file:", err)
			}
			if notNumber.MatchString(d.Figure()) {
				t.Error("something is not a number")
			}
			if d.Says == "" || d.Title == "" || d.Table.Caption == "" {
				t.Error("a drawing has a title, a sentence and a table")
			}
			for _, row := range d.Table.Rows {
				if len(row) != len(d.Table.Head) || strings.Contains(strings.Join(row[:len(row)-1], "|"), "||") {
					t.Errorf("row %q under %q", row, d.Table.Head)
				}
			}
		})
	}
}

// A colour that is not the reader's own would be lost in grey or in the dark.
func TestDrawingsHaveOneColour(t *testing.T) {
	colour := regexp.MustCompile(`(?:fill|stroke)="([^"]*)"`)
	for name, d := range drawings() {
		for _, m := range colour.FindAllStringSubmatch(d.SVG, -1) {
			if m[1] != "none" && m[1] != "currentColor" {
				t.Errorf("%s has the colour %s", name, m[1])
			}
		}
	}
}

func TestPointsOfASignalDifferByShapeAndWord(t *testing.T) {
	d := drawings()
	run := d["run"].SVG
	if n := strings.Count(run, "shift</title>"); n != 16 {
		t.Errorf("%d points are told to be part of a shift, want 16", n)
	}
	if !strings.Contains(run, "part of a signal") || !strings.Contains(d["run"].Says, "8 points in a row below the median") {
		t.Error("the signal is not named in the key or the sentence")
	}
	if !strings.Contains(d["p"].SVG, "beyond them") || !strings.Contains(d["p"].Says, "November 2026: above its limits of chance") {
		t.Error(d["p"].Says)
	}
	if says := d["funnel"].Says; !strings.Contains(says, "Station (91.0 %, above both limits)") {
		t.Error(says)
	}
}

func TestAnyTextIsMadeSafe(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		evil := rapid.OneOf(rapid.String(), rapid.SampledFrom([]string{`"><script>alert(1)</script>`, `' onload='x`, "\x00\x1b", "]]>", "&lt;", "<!--"})).Draw(t, "text")
		f := trend.Spread([]trend.Group{{Name: evil, Share: trend.Share{Met: 1, Of: 30}}, {Name: "b", Share: trend.Share{Met: 28, Of: 30}}})
		for _, d := range []chart.Drawing{
			chart.Page.Funnel(evil, evil, evil, f),
			chart.Page.RunChart(evil, evil, shifted, trend.Run(done(shifted), true)),
			chart.Bars(evil, evil, []chart.Bar{{Name: evil, Count: 3}}),
			chart.Sizes(evil, evil, evil, []chart.Size{{On: when.MustDay("2026-08-03"), AreaMM2: 420}}),
		} {
			for _, text := range []string{d.Figure(), d.File()} {
				count, err := wellFormed(text)
				if err != nil {
					t.Fatal(err)
				}
				if count["script"] > 0 {
					t.Fatal("a script came through")
				}
			}
		}
	})
}

func TestAnyNumbersCanBeDrawn(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var shares []trend.Share
		var groups []trend.Group
		var sizes []chart.Size
		for i := range rapid.IntRange(0, 40).Draw(t, "points") {
			of := rapid.IntRange(0, 3000).Draw(t, "of")
			s := trend.Share{Met: rapid.IntRange(0, of).Draw(t, "met"), Of: of}
			shares = append(shares, s)
			groups = append(groups, trend.Group{Name: fmt.Sprint("group ", i), Share: s})
			sizes = append(sizes, chart.Size{On: when.MustDay("2026-01-01") + when.Day(i*3), AreaMM2: s.Met})
		}
		list := months(shares...)
		for _, d := range []chart.Drawing{
			chart.Page.RunChart("a", "x", list, trend.Run(shares, true)),
			chart.Page.PChart("a", "x", list, trend.Chart(shares, 0, true)),
			chart.Page.Funnel("a", "x", "sites", trend.Spread(groups)),
			chart.Sizes("a", "x", "y", sizes),
		} {
			if _, err := wellFormed(d.SVG); err != nil {
				t.Fatal(err)
			}
			if strings.Contains(d.SVG, "NaN") || strings.Contains(d.SVG, "Inf") {
				t.Fatal(d.SVG)
			}
		}
	})
}
