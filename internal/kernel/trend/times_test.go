package trend

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/foot"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/neuro"
	"tengram/internal/kernel/perfusion"
	"tengram/internal/kernel/record"
	"tengram/internal/kernel/when"
)

// The values for three and more are those of Python's statistics.quantiles with
// method "exclusive", which is the same rule; below three that one looks beyond
// the ends, and this one does not.
func TestTheMiddleOfTimes(t *testing.T) {
	for _, c := range []struct {
		name             string
		seconds          []int
		low, median, top int
		tooFew           bool
	}{
		{"no exam has no middle", nil, 0, 0, 0, true},
		{"one exam is its own middle", []int{40}, 40, 40, 40, true},
		{"of two the median lies between them", []int{60, 40}, 40, 50, 60, true},
		{"of four each quartile lies between two, and half a second is rounded up", []int{40, 10, 30, 20}, 13, 25, 38, true},
		{"five are enough to be told", []int{140, 100, 120, 130, 110}, 105, 120, 135, false},
		{"of seven each quartile is one of them", []int{10, 11, 12, 14, 19, 23, 31}, 11, 14, 23, false},
		{"of eight a quarter of the way is gone", []int{30, 40, 50, 60, 70, 80, 90, 100}, 43, 65, 88, false},
		{"all alike are alike", []int{90, 90, 90, 90, 90, 90}, 90, 90, 90, false},
		{"a page left open for an hour leaves the median where it is", []int{150, 150, 160, 200, 4000}, 150, 160, 2100, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := tallied(c.seconds).middle()
			if want := (Middle{len(c.seconds), c.low, c.median, c.top}); got != want {
				t.Errorf("%+v, want %+v", got, want)
			}
			if got.TooFew() != c.tooFew {
				t.Errorf("too few is %v", got.TooFew())
			}
		})
	}
}

func tallied(seconds []int) tally {
	y := tally{}
	for _, s := range seconds {
		y[s]++
	}
	return y
}

// The rule as it is written, on a list in order and with fractions.
func TestQuartilesAreThoseOfTheHandbook(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		seconds := rapid.SliceOfN(rapid.IntRange(1, 400), 1, 60).Draw(t, "seconds")
		got := tallied(seconds).middle()
		slices.Sort(seconds)
		written := func(p float64) int {
			whole, part := math.Modf(p * float64(len(seconds)+1))
			switch k := int(whole); {
			case k < 1:
				return seconds[0]
			case k >= len(seconds):
				return seconds[len(seconds)-1]
			default:
				return int(math.Floor(float64(seconds[k-1]) + part*float64(seconds[k]-seconds[k-1]) + 0.5))
			}
		}
		if want := (Middle{len(seconds), written(0.25), written(0.5), written(0.75)}); got != want {
			t.Fatalf("%v: %+v, want %+v", seconds, got, want)
		}
	})
}

var (
	yearFirst, yearLast = when.MustDay("2025-11-25"), when.MustDay("2026-11-24")
	chicago             = time.FixedZone("Chicago", -6*3600)
)

// wholeExam is an exam that reached every block.
func wholeExam(s exam.Seconds) exam.Draft {
	d := exam.Draft{
		Revision: 1, At: when.MustMoment("2026-06-01T09:30:00-06:00"), Protocol: neuro.FourSites, Seconds: s,
		Ask: exam.Ask{UlcerHistory: known.AnswerNo}, Teach: exam.Teach{Given: known.AnswerYes},
	}
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

func timesOf(exams ...exam.Draft) Times {
	t := NewTimes(yearFirst, yearLast, chicago)
	for _, d := range exams {
		t.Add(&record.Record{Exams: []record.SignedExam{{Exam: exam.Exam{Draft: d}}}})
	}
	return t
}

type counts struct{ Exams, Amended, Untimed, Partial, Whole, Ask, Look, Feel, Test, Teach int }

func countsOf(t Times) counts {
	b := t.Blocks()
	return counts{t.Exams, t.Amended, t.Untimed, t.Partial, t.Whole().Exams, b[0].Exams, b[1].Exams, b[2].Exams, b[3].Exams, b[4].Exams}
}

func TestWhichExamsCountInWhichMedian(t *testing.T) {
	all := exam.Seconds{Ask: 50, Look: 40, Feel: 30, Test: 45, Teach: 15}
	with := func(change func(*exam.Draft)) exam.Draft {
		d := wholeExam(all)
		change(&d)
		return d
	}
	for _, c := range []struct {
		name string
		exam exam.Draft
		want counts
	}{
		{"a whole exam counts as a whole and in each block", wholeExam(all), counts{Exams: 1, Whole: 1, Ask: 1, Look: 1, Feel: 1, Test: 1, Teach: 1}},
		{"an exam without times counts in nothing", wholeExam(exam.Seconds{}), counts{Exams: 1, Untimed: 1}},
		{"a time below nothing is no time", wholeExam(exam.Seconds{Ask: -40}), counts{Exams: 1, Untimed: 1}},
		{"a block without a time is not a zero, and the whole is known all the same", wholeExam(exam.Seconds{Ask: 50, Look: 40, Test: 45, Teach: 15}),
			counts{Exams: 1, Whole: 1, Ask: 1, Look: 1, Test: 1, Teach: 1}},
		{"an exam without the monofilament is no whole one", with(func(d *exam.Draft) { d.Left.Test = neuro.Foot{}; d.Seconds.Test = 0 }),
			counts{Exams: 1, Partial: 1, Ask: 1, Look: 1, Feel: 1, Teach: 1}},
		{"an exam that says nothing of teaching is no whole one", with(func(d *exam.Draft) { d.Teach = exam.Teach{}; d.Seconds.Teach = 0 }),
			counts{Exams: 1, Partial: 1, Ask: 1, Look: 1, Feel: 1, Test: 1}},
		{"an exam in which nothing was asked is no whole one", with(func(d *exam.Draft) { d.Ask = exam.Ask{} }),
			counts{Exams: 1, Partial: 1, Ask: 1, Look: 1, Feel: 1, Test: 1, Teach: 1}},
		{"an exam that says there was no teaching is a whole one", with(func(d *exam.Draft) { d.Teach = exam.Teach{Given: known.AnswerNo} }),
			counts{Exams: 1, Whole: 1, Ask: 1, Look: 1, Feel: 1, Test: 1, Teach: 1}},
		{"an amended exam is one exam, and in no median", with(func(d *exam.Draft) { d.Revision = 2 }), counts{Exams: 1, Amended: 1}},
		{"an amended exam without times is not counted twice", with(func(d *exam.Draft) { d.Revision, d.Seconds = 3, exam.Seconds{} }), counts{Exams: 1, Amended: 1}},
		{"the first day counts", with(func(d *exam.Draft) { d.At = when.MustMoment("2025-11-25T00:10:00-06:00") }), counts{Exams: 1, Whole: 1, Ask: 1, Look: 1, Feel: 1, Test: 1, Teach: 1}},
		{"the day before the first does not", with(func(d *exam.Draft) { d.At = when.MustMoment("2025-11-24T23:50:00-06:00") }), counts{}},
		{"the last day counts, in the zone of the practice", with(func(d *exam.Draft) { d.At = when.MustMoment("2026-11-25T05:50:00Z") }), counts{Exams: 1, Whole: 1, Ask: 1, Look: 1, Feel: 1, Test: 1, Teach: 1}},
		{"the day after the last does not", with(func(d *exam.Draft) { d.At = when.MustMoment("2026-11-25T06:10:00Z") }), counts{}},
	} {
		t.Run(c.name, func(t *testing.T) {
			if diff := cmp.Diff(c.want, countsOf(timesOf(c.exam))); diff != "" {
				t.Error(diff)
			}
		})
	}
}

func TestTimesAreToldBlockByBlock(t *testing.T) {
	var exams []exam.Draft
	for i := range 5 {
		exams = append(exams, wholeExam(exam.Seconds{Ask: 60 + i, Look: 40 + i, Feel: 20 + i, Test: 50 + i, Teach: 10 + i}))
	}
	got := timesOf(exams...)
	if want := (Middle{5, 183, 190, 198}); got.Whole() != want { // 180, 185, 190, 195, 200
		t.Errorf("whole: %+v, want %+v", got.Whole(), want)
	}
	told := ""
	for _, b := range got.Blocks() {
		told += fmt.Sprintf("%s %d; ", b.Block, b.Median)
	}
	if told != "ask 62; look 42; feel 22; test 52; teach 12; " {
		t.Error(told)
	}
}

func drawExam(t *rapid.T) exam.Draft {
	some := rapid.IntRange(0, 90)
	d := wholeExam(exam.Seconds{Ask: some.Draw(t, "ask"), Look: some.Draw(t, "look"), Feel: some.Draw(t, "feel"), Test: some.Draw(t, "test"), Teach: some.Draw(t, "teach")})
	if rapid.IntRange(0, 4).Draw(t, "partial") == 0 {
		d.Ask = exam.Ask{}
	}
	return d
}

// medians are all numbers of the table.
func medians(t Times) []Middle {
	list := []Middle{t.Whole()}
	for _, b := range t.Blocks() {
		list = append(list, b.Middle)
	}
	return list
}

func TestWhatChangesAMedianAndWhatDoesNot(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		exams := rapid.SliceOfN(rapid.Custom(drawExam), 0, 30).Draw(t, "exams")
		before := timesOf(exams...)
		if n := before.Amended + before.Untimed + before.Partial + before.Whole().Exams; n != before.Exams {
			t.Fatalf("%d of %d exams are somewhere", n, before.Exams)
		}
		for _, m := range medians(before) {
			if m.Low > m.Median || m.Median > m.High || (m.Low < 1) != (m.Exams == 0) {
				t.Fatalf("not in order: %+v", m)
			}
		}

		shuffled := slices.Clone(exams)
		dice := rand.New(rand.NewPCG(1, uint64(len(exams))))
		dice.Shuffle(len(shuffled), func(i, j int) { shuffled[i], shuffled[j] = shuffled[j], shuffled[i] })
		if diff := cmp.Diff(medians(before), medians(timesOf(shuffled...))); diff != "" {
			t.Fatalf("the order matters: %s", diff)
		}

		amended := wholeExam(exam.Seconds{Ask: 900})
		amended.Revision = 2
		if diff := cmp.Diff(medians(before), medians(timesOf(append(slices.Clone(exams), wholeExam(exam.Seconds{}), amended)...))); diff != "" {
			t.Fatalf("an exam without times of its own changes something: %s", diff)
		}

		slower := slices.Clone(exams)
		for i := range slower {
			if slower[i].Seconds.Look > 0 {
				slower[i].Seconds.Look += 7
			}
		}
		look, later := before.Blocks()[1].Middle, timesOf(slower...).Blocks()[1].Middle
		if look.Exams > 0 && later != (Middle{look.Exams, look.Low + 7, look.Median + 7, look.High + 7}) {
			t.Fatalf("seven seconds more each: %+v became %+v", look, later)
		}

		// The longest becomes ten hours: a page was left open over a night.
		if look.Exams >= 3 {
			longest := slices.MaxFunc(exams, func(a, b exam.Draft) int { return a.Seconds.Look - b.Seconds.Look })
			open := slices.Clone(exams)
			i := slices.IndexFunc(open, func(d exam.Draft) bool { return d.Seconds == longest.Seconds })
			open[i].Seconds.Look = 36_000
			if got := timesOf(open...).Blocks()[1].Median; got != look.Median {
				t.Fatalf("a page left open moves the median from %d to %d", look.Median, got)
			}
		}
	})
}

func TestTheRulesOfTimesAreNamed(t *testing.T) {
	sources := 0
	for _, r := range timesOf().Because() {
		if r.Source != nil {
			sources++
		}
	}
	if sources != 2 {
		t.Errorf("%d documents are named, want that of the quartiles and that of the aim", sources)
	}
}
