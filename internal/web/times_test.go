package web

import (
	"regexp"
	"strings"
	"testing"

	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/foot"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/neuro"
	"tengram/internal/kernel/perfusion"
	"tengram/internal/kernel/record"
	"tengram/internal/kernel/trend"
	"tengram/internal/kernel/when"
)

func TestLengthsOfTime(t *testing.T) {
	for seconds, want := range map[int]string{1: "1 s", 59: "59 s", 60: "1 min", 61: "1 min 1 s", 160: "2 min 40 s", 180: "3 min", 3725: "62 min 5 s"} {
		if got := lengthWords(seconds); strings.ReplaceAll(got, "\u00a0", " ") != want || strings.Contains(got, " ") {
			t.Errorf("%d: %q, want %q", seconds, got, want)
		}
	}
}

// timed is an exam of a year that ends today; whole, or only looked at.
func timed(s exam.Seconds, whole bool) exam.Draft {
	d := exam.Draft{Revision: 1, At: when.OnDay(today), Protocol: neuro.FourSites, Seconds: s}
	if !whole {
		return d
	}
	d.Ask, d.Teach = exam.Ask{UlcerHistory: known.AnswerNo}, exam.Teach{Given: known.AnswerYes}
	for _, side := range foot.Sides {
		f := d.Foot(side)
		f.Loss.Level = foot.Whole
		f.Look.Skin, f.Look.Wound = known.Normal, known.Normal
		f.Feel.Arteries.DP, f.Feel.Arteries.PT = perfusion.PulsePresent, perfusion.PulsePresent
		for _, site := range d.Protocol.Sites() {
			f.Test.Filament[site] = known.Normal
		}
	}
	return d
}

func timesOf(exams ...exam.Draft) trend.Times {
	t := trend.NewTimes(today.AddMonths(-12)+1, today, nil)
	for _, d := range exams {
		t.Add(&record.Record{Exams: []record.SignedExam{{Exam: exam.Exam{Draft: d}}}})
	}
	return t
}

// timesSection is the section of the measure page as words.
func timesSection(t *testing.T, times trend.Times) string {
	t.Helper()
	f := trendsFake()
	f.trends.Times = times
	w := newDesk(t, f, nurse).get("/measure")
	wants(t, w, 200, `<a href="#times">How long an exam takes</a>`)
	_, after, found := strings.Cut(w.Body.String(), `<section class="part" id="times"`)
	section, _, ended := strings.Cut(after, "</section>")
	if !found || !ended {
		t.Fatal("the page has no section of times")
	}
	words := regexp.MustCompile(`<[^>]*>`).ReplaceAllString(section, " ")
	return strings.Join(strings.Fields(words), " ")
}

func TestTheMeasurePageSaysHowLongAnExamTakes(t *testing.T) {
	all := exam.Seconds{Ask: 50, Look: 40, Feel: 20, Test: 45, Teach: 5}
	var exams []exam.Draft
	for range 5 {
		exams = append(exams, timed(all, true))
	}
	amended := timed(all, true)
	amended.Revision = 2
	long := all
	long.Ask = 5000 // a page left open
	full := append(exams, timed(long, true), timed(exam.Seconds{}, true), timed(exam.Seconds{Look: 90}, false), amended)
	for _, c := range []struct {
		name      string
		times     trend.Times
		says, not []string
	}{
		{"every kind of exam is told apart", timesOf(full...), []string{
			"Exams of 25 Nov 2025 to 24 Nov 2026", "Half of 6 whole exams took 2 min 40 s or less.", "The aim is 3 min", "no judgement",
			"Whole exam 2 min 40 s 2 min 40 s to 23 min 18 s 6", // a quarter of the way from 160 s to 5,110 s
			"Ask 50 s", "Look 40 s 40 s to 40 s 7", "Teach 5 s 5 s to 5 s 6",
			"9 exams signed; 7 with times", "1 without times. They are left out, and not taken for zero.", "1 amended.", "1 did not reach every block.",
			"not shown by examiner", "NIST/SEMATECH e-Handbook", "How to do a 3-minute diabetic foot exam",
		}, []string{"too few"}},
		{"what is not there is not spoken of", timesOf(exams...), []string{"Half of 5 whole exams took 2 min 40 s or less.", "5 exams signed; 5 with times"},
			[]string{"without times", "amended", "did not reach"}},
		{"a few exams have no median", timesOf(exams[:4]...), []string{"There are too few whole exams with times to say how long one takes: 4.", "Whole exam too few to say too few to say 4"},
			[]string{"40 s", "Half of 4"}},
		{"exams without times are told, and no number of theirs", timesOf(timed(exam.Seconds{}, true), timed(exam.Seconds{}, true)),
			[]string{"No times are known yet", "2 exams signed; 0 with times", "2 without times."}, []string{"0 s", "Median", "The aim is 3 min for", "Half"}},
		{"no exam at all is said plainly", timesOf(), []string{"No exam was signed in these twelve months."}, []string{"0 s", "Median", "The aim", "exams signed"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := timesSection(t, c.times)
			for _, says := range c.says {
				if !strings.Contains(got, says) {
					t.Errorf("the page does not say %q:\n%s", says, got)
				}
			}
			for _, not := range c.not {
				if strings.Contains(got, not) {
					t.Errorf("the page says %q:\n%s", not, got)
				}
			}
		})
	}
}
