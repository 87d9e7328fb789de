package trend

import (
	"fmt"
	"maps"
	"slices"
	"time"

	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/record"
	"tengram/internal/kernel/source"
	"tengram/internal/kernel/when"
)

// AimSeconds is what a whole exam should take at most. It is something to try
// for; no answer here judges an exam by it.
const AimSeconds = 3 * 60

// fewestTimes is the fewest exams whose median is told: of fewer it would be the
// time of one exam, and say nothing of the next. Our choice, no source.
const fewestTimes = 5

var (
	quartileRule = source.NISTHandbook.At("7.2.6.2, percentiles: the value at place p(N + 1), between two values in proportion", source.Secondary)
	aimRule      = source.Miller2014.At("title, and about a minute each to ask, to examine and to teach", source.Secondary)
)

// Times is how long exams take, by the seconds that are kept with each of them.
// Exams may be added in any order.
//
// It tells medians and not means. A page that was left open, or gone back to,
// keeps minutes that nobody spent on feet: one such exam moves a mean, and
// leaves a median where it is.
//
// What is not known is counted apart and is nowhere a zero.
type Times struct {
	// First and Last are the days whose exams are counted, both included.
	First, Last when.Day
	// Exams is how many were signed of those days. An exam with amendments is
	// one exam.
	Exams int
	// Amended exams are in no median. The record holds their newest revision,
	// whose seconds go on from those of the first: how long the exam itself took
	// cannot be told from them.
	Amended int
	// Untimed exams have no second in any block, and are in no median.
	Untimed int
	// Partial exams have times and did not reach every block (exam.Draft.Whole).
	// They count in the blocks in which they have a time, and not as a whole.
	Partial int

	zone   *time.Location
	whole  tally
	blocks [len(blockNames)]tally
}

// blockNames are the blocks in the order of the page.
var blockNames = [...]string{"ask", "look", "feel", "test", "teach"}

// secondsOf are the seconds of each block in the order of the page; what is not
// a time, because it is below one second, is 0.
func secondsOf(s exam.Seconds) [len(blockNames)]int {
	return [...]int{max(0, s.Ask), max(0, s.Look), max(0, s.Feel), max(0, s.Test), max(0, s.Teach)}
}

// NewTimes makes empty times of the exams from one day to another, both
// included, in the calendar of a zone.
func NewTimes(first, last when.Day, zone *time.Location) Times {
	t := Times{First: first, Last: last, zone: zone, whole: tally{}}
	for i := range t.blocks {
		t.blocks[i] = tally{}
	}
	return t
}

// Add counts the exams of one person.
func (t *Times) Add(rec *record.Record) {
	for i := range rec.Exams {
		d := &rec.Exams[i].Exam.Draft
		if _, on := d.At.Days(t.zone); on >= t.First && on <= t.Last {
			t.add(d)
		}
	}
}

func (t *Times) add(d *exam.Draft) {
	t.Exams++
	seconds, total := secondsOf(d.Seconds), 0
	for _, s := range seconds {
		total += s
	}
	switch {
	case d.Revision > 1:
		t.Amended++
		return
	case total == 0:
		t.Untimed++
		return
	case d.Whole():
		// Of a whole exam every second is in one block or another, so the total
		// is known even where a block was done too quickly to have one.
		t.whole[total]++
	default:
		t.Partial++
	}
	for i, s := range seconds {
		if s > 0 {
			t.blocks[i][s]++
		}
	}
}

// Timed is how many exams the medians are made of.
func (t Times) Timed() int { return t.Exams - t.Amended - t.Untimed }

// Whole is how long the whole exams took.
func (t Times) Whole() Middle { return t.whole.middle() }

// BlockTime is how long one block of the page took.
type BlockTime struct {
	// Block is "ask", "look", "feel", "test" or "teach".
	Block string
	Middle
}

// Blocks is how long each block took, in the order of the page, in the exams
// that have a time in it.
func (t Times) Blocks() []BlockTime {
	list := make([]BlockTime, len(blockNames))
	for i, name := range blockNames {
		list[i] = BlockTime{name, t.blocks[i].middle()}
	}
	return list
}

// Because names the rules that the times are told by.
func (t Times) Because() source.Because {
	return source.Because{
		{Says: "The median is the time in the middle, and the middle half lies between the two quartiles.", Source: quartileRule},
		{Says: fmt.Sprintf("Of fewer than %d exams no median is told (our choice, no source).", fewestTimes)},
		{Says: "A whole exam asked something, looked at, felt and tested every foot that is there as the foot exam measure wants it, and says whether teaching was given (our reading)."},
		{Says: fmt.Sprintf("The aim of %d minutes is that of the three-minute exam.", AimSeconds/60), Source: aimRule},
	}
}

// Middle is where the middle of some times lies, in whole seconds.
type Middle struct {
	// Exams is how many it rests on; with none the rest is 0 and means nothing.
	Exams int
	// Median has half of the times on either side. Low and High are the
	// quartiles: half of the times lie between them.
	Low, Median, High int
}

// TooFew reports that the numbers rest on too few exams to be told.
func (m Middle) TooFew() bool { return m.Exams < fewestTimes }

// tally is how many exams took so many seconds.
type tally map[int]int

func (y tally) middle() Middle {
	m := Middle{}
	for _, n := range y {
		m.Exams += n
	}
	if m.Exams > 0 {
		seconds := slices.Sorted(maps.Keys(y))
		m.Low, m.Median, m.High = y.quartile(1, m.Exams, seconds), y.quartile(2, m.Exams, seconds), y.quartile(3, m.Exams, seconds)
	}
	return m
}

// quartile is the value at place q(n+1)/4 of n in order, counted from one,
// rounded to the second. Beyond either end it is the value at that end.
func (y tally) quartile(q, n int, seconds []int) int {
	place, quarters := q*(n+1)/4, q*(n+1)%4
	low, high := y.at(place, seconds), y.at(place+1, seconds)
	return low + ((high-low)*quarters+2)/4
}

// at is the value at a place.
func (y tally) at(place int, seconds []int) int {
	for _, s := range seconds {
		if place -= y[s]; place <= 0 {
			return s
		}
	}
	return seconds[len(seconds)-1]
}
