package when

import (
	"strings"
	"time"
)

// Between is the moment that lies somewhere from one moment to another, both
// included: "2018-12/2019-01" is a day of December or of January. It has no
// place in universal time. With one of the two missing it is the other; with
// high before low it is low alone.
func Between(low, high Moment) Moment {
	switch {
	case low.IsZero():
		return high
	case high.IsZero() || low.text == high.text || turned(low, high):
		return low
	}
	first, _, _ := strings.Cut(low.text, "/")
	_, last, ok := strings.Cut(high.text, "/")
	if !ok {
		last = high.text
	}
	return spanOf(first+"/"+last, low, high)
}

// spanOf is the span with that text. Its days are those written, whichever end
// has the earlier one.
func spanOf(text string, low, high Moment) Moment {
	return Moment{text, Span, min(low.low, high.high), max(low.low, high.high), 0}
}

// turned reports whether high is before low by the days as written, and is not
// after all behind it in universal time: 1 January 05:29 +05:30 is before 31
// December 12:30 -12:00.
func turned(low, high Moment) bool {
	instants := low.precision == Instant && high.precision == Instant
	return high.high < low.low && !(instants && low.unixMilli <= high.unixMilli)
}

// parseSpan reads what Between wrote.
func parseSpan(s string) (m Moment, ok bool) {
	first, last, ok := strings.Cut(s, "/")
	if !ok || strings.Contains(last, "/") {
		return Moment{}, false
	}
	low, err := ParseMoment(first)
	if err != nil {
		return Moment{}, false
	}
	high, err := ParseMoment(last)
	if err != nil || turned(low, high) {
		return Moment{}, false
	}
	return spanOf(s, low, high), true
}

// spanDays places the ends of a Span in zone. They stand in its text only: few
// moments are spans, and all would have to carry two more numbers. Two instants
// of different offsets may change their order there; then both days are the
// earlier one's.
func (m Moment) spanDays(zone *time.Location) (low, high Day) {
	a, b := m.Ends()
	low, _ = a.Days(zone)
	_, high = b.Days(zone)
	return min(low, high), high
}

// Ends returns the two moments between which a Span lies, in the precision in
// which they came. Any other moment is both of its ends.
func (m Moment) Ends() (first, last Moment) {
	if m.precision != Span {
		return m, m
	}
	a, b, _ := strings.Cut(m.text, "/")
	return MustMoment(a), MustMoment(b) // the text was made of two moments
}
