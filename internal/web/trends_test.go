package web

import (
	"log/slog"
	"net/url"
	"strings"
	"testing"

	"tengram/internal/clinic"
	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/forecast"
	"tengram/internal/kernel/measure"
	"tengram/internal/kernel/source"
	"tengram/internal/kernel/trend"
	"tengram/internal/kernel/when"
)

var leader = exam.Person{ID: "lee", Name: "Lee", Role: clinic.Lead}

// trendsFake is the full clinic with trends: one person open, two met.
func trendsFake() *fakeClinic {
	f := fullFake()
	m := measure.FootExam()
	t := &clinic.Trends{Measure: m, Year: 2026, On: today, About: map[string]trend.About{
		"p1": {Clinician: "Dr <One>", Site: "North", Sex: "female"}, "p2": {Clinician: "Dr Two", Site: "North", Sex: "female"}, "p3": {Clinician: "Dr Two", Site: "North"},
	}}
	met := measure.Result{Measure: "foot-exam", InitialPopulation: true, Denominator: true, Numerator: true}
	t.Split.Add(f.report.People[0].Result, t.About["p1"])
	for _, id := range []string{"p2", "p3"} {
		met.Patient = id
		t.Split.Add(met, t.About[id])
		f.report.Tally.Add(met)
		f.report.People = append(f.report.People, clinic.MeasurePerson{Standing: clinic.Standing{Person: id, Family: "Other-" + id}, Result: met})
	}
	t.Series = trend.NewSeries(m, measure.Context{}, today, 24)
	for i := range t.Series.Months {
		t.Series.Months[i].Done = trend.Share{Met: 5 + 4*(i/12) + i%2, Of: 20}
	}
	end := forecast.Point{On: when.MustDay("2026-12-31"), Median: 0.654, In80: trend.Interval{Low: 0.61, High: 0.69}, In95: trend.Interval{Low: 0.58, High: 0.72}}
	t.Forecast = &forecast.Forecast{
		Measure: m.ID, Period: measure.Year(2026), Today: today, Seed: 2026, Draws: 1000, Now: trend.Share{Met: 2, Of: 3}, End: end, OK: true,
		Points: []forecast.Point{end}, MoreMet: 7.6, MoreCounted: 3, Target: 0.7, Reached: 0.12,
		Open: []forecast.Open{
			{Person: "p1", Counted: true, Booked: today, Chance: 0.31, Missing: f.report.People[0].Result.Gaps},
			{Person: "p9", LastVisit: when.MustDay("2025-11-01"), Chance: 0.04},
		},
		Because: source.Because{{Says: "Everybody is as they were."}},
	}
	f.trends = t
	return f
}

func TestTheMeasurePageSaysWhereItGoes(t *testing.T) {
	w := newDesk(t, trendsFake(), nurse).get("/measure")
	wants(t, w, 200,
		"66.7 %", // 2 of 3
		`<b id="year-end">65.4 %</b>`, "Between 61.0 % and 69.0 % in 80 of 100", "About 8 people will still meet it", "3 more will be counted",
		"The target of 70 % is reached in 12 of 100", "seed 2026", "Everybody is as they were.",
		`<figure id="fan">fan, 11</figure>`, `<figure id="run">run, 23</figure>`, `<figure id="p">p, 23</figure>`,
		"December 2025 to October 2026: 11 points in a row above the median.", // 12 low months, then 11 high ones
		"Comes 24 Nov 2026, today.", "closes in 31 of 100", "Missing: pulses.", "Quill, Rosa &lt;b&gt;",
		"Person p9", "Is counted only once they come.", "No visit is booked; last here 1 Nov 2025.", "Nothing is missing but a visit.",
		"What is missing, 1", "Dr &lt;One&gt;", "funnel of clinicians, 2", "not recorded", "the reports below hide them",
	)
	body := w.Body.String()
	if strings.Contains(body, "funnel of sites") {
		t.Error("one site alone is put into a funnel")
	}
	if w.Header().Get("Refresh") != "" {
		t.Error("a page that is whole looks again")
	}
	if strings.Contains(body, "/measure/target") || strings.Contains(body, "/measure/report/table") {
		t.Error("a nurse is offered what would be refused")
	}
}

func TestNumbersOfAGroupOpenToItsPeople(t *testing.T) {
	d := newDesk(t, trendsFake(), nurse)
	wants(t, d.get("/measure"), 200, `href="/measure?by=clinician&amp;group=Dr+Two&amp;measure=foot-exam&amp;who=met&amp;year=2026#people"`)
	w := d.get("/measure?who=met&by=clinician&group=Dr+Two")
	wants(t, w, 200, "Other-p2", "Other-p3", "Of all groups", "clinician Dr Two")
	w = d.get("/measure?who=met&by=sex&group=" + url.QueryEscape(trend.NotRecorded))
	wants(t, w, 200, "Other-p3")
	if strings.Contains(w.Body.String(), "Other-p2") {
		t.Error("somebody of another group is listed")
	}
	wants(t, d.get("/measure?who=met&by=clinician&group=Nobody"), 200, "Nobody here")
	wants(t, d.get("/measure?who=met&by=shoe-size&group=44"), 200, "Other-p2") // no such grouping: everybody
	wants(t, d.get("/measure?who=closest"), 200, "People: closest to closing", "Person p9")
}

func TestAPageWhoseTrendsAreBeingWorkedOut(t *testing.T) {
	f := trendsFake()
	whole := f.trends
	f.trends = nil
	w := newDesk(t, f, nurse).get("/measure?who=met&by=clinician&group=Dr+Two")
	wants(t, w, 200, "66.7 %", "being worked out from every record", "The groups are being worked out.")
	if w.Header().Get("Refresh") == "" {
		t.Error("the page does not look again")
	}
	old := *whole
	old.Outdated, old.Unread = true, 2
	f.trends = &old
	w = newDesk(t, f, nurse).get("/measure")
	wants(t, w, 200, "it is being done again", "Look again", "65.4 %", "2 records could not be read and are not in what follows")
	if w.Header().Get("Refresh") != "" {
		t.Error("a page that somebody reads is taken away")
	}
}

func TestAMeasureWithoutMonthsOrForecast(t *testing.T) {
	f := trendsFake()
	f.trends.Forecast, f.trends.Series = nil, nil
	body := newDesk(t, f, nurse).get("/measure").Body.String()
	for _, part := range []string{"Where the year will end", "Month by month", "Closest to closing"} {
		if strings.Contains(body, part) {
			t.Errorf("the page speaks of %q", part)
		}
	}
	f.trends.Series = trend.NewSeries(measure.FootExam(), measure.Context{}, today, 24)
	wants(t, newDesk(t, f, nurse).get("/measure"), 200, "Nothing fell due in the last two years.")
}

func TestAPageWithoutPicturesSaysTheSame(t *testing.T) {
	d := newDesk(t, trendsFake(), nurse)
	d.handler = New(Config{Clinic: trendsFake(), Access: d.access, Logger: slog.New(slog.DiscardHandler)})
	w := d.get("/measure")
	wants(t, w, 200, "Between 61.0 % and 69.0 %", "11 points in a row above the median")
	if strings.Contains(w.Body.String(), "/measure/report/") {
		t.Error("downloads are offered that are not there")
	}
	wants(t, d.get("/measure/report/board"), 404)
}

func TestATargetIsKept(t *testing.T) {
	f := trendsFake()
	d := newDesk(t, f, leader)
	wants(t, d.get("/measure"), 200, `action="/measure/target"`, `value="70"`)
	form := url.Values{"measure": {"foot-exam"}, "year": {"2026"}, "target": {"85"}}
	if w := d.post("/measure/target", form); w.Code != 303 || f.target != 85 || w.Header().Get("Location") != "/measure?measure=foot-exam&year=2026" {
		t.Errorf("status %d, target %d, to %s", w.Code, f.target, w.Header().Get("Location"))
	}
	form.Set("target", "")
	if d.post("/measure/target", form); f.target != 0 {
		t.Errorf("the target is still %d", f.target)
	}
	form.Set("target", "a lot")
	wants(t, d.post("/measure/target", form), 422)
	form.Set("target", "85")
	wants(t, newDesk(t, f, nurse).post("/measure/target", form), 403)
}

func TestReportsLeaveWithoutNamesUnlessAsked(t *testing.T) {
	f := trendsFake()
	d := newDesk(t, f, leader)
	wants(t, d.get("/measure"), 200, "/measure/report/board?", "/measure/report/summary?", "/measure/report/table?", "names=yes", "--format qrda3")
	for _, c := range []struct{ path, kind, file, body, left string }{
		{"/measure/report/board?year=2026", "application/pdf", "foot-exam-2026.pdf", "board", "board false foot-exam 2026"},
		{"/measure/report/summary?measure=foot-exam", "application/fhir+json", "foot-exam-2026.json", "summary", "summary false foot-exam 2026"},
		{"/measure/report/table", "text/csv; charset=utf-8", "foot-exam-2026.csv", "table, names false", "table false foot-exam 2026"},
		{"/measure/report/table?names=yes", "text/csv; charset=utf-8", "foot-exam-2026.csv", "table, names true", "table true foot-exam 2026"},
	} {
		w := d.get(c.path)
		wants(t, w, 200, c.body)
		if got := w.Header().Get("Content-Type"); got != c.kind {
			t.Errorf("%s: type %q", c.path, got)
		}
		if got := w.Header().Get("Content-Disposition"); got != `attachment; filename="`+c.file+`"` {
			t.Errorf("%s: %s", c.path, got)
		}
		if got := f.left[len(f.left)-1]; got != c.left {
			t.Errorf("%s: asked for %q, want %q", c.path, got, c.left)
		}
	}
	wants(t, d.get("/measure/report/poem"), 404)
	wants(t, newDesk(t, f, nurse).get("/measure/report/table"), 403)
}
