package web

import (
	"fmt"

	"tengram/internal/kernel/trend"
)

// lengthWords writes a length of time: 2 min 40 s. Its spaces do not break, so
// that a length stays in one line of a narrow table.
func lengthWords(seconds int) string {
	minutes, rest := seconds/60, seconds%60
	switch {
	case minutes == 0:
		return fmt.Sprintf("%d\u00a0s", rest)
	case rest == 0:
		return fmt.Sprintf("%d\u00a0min", minutes)
	}
	return fmt.Sprintf("%d\u00a0min\u00a0%d\u00a0s", minutes, rest)
}

// wholeWords says how long a whole exam takes, or why that is not told.
func wholeWords(m trend.Middle) string {
	if m.TooFew() {
		return "There are too few whole exams with times to say how long one takes: " + thousands(m.Exams) + "."
	}
	return "Half of " + thousands(m.Exams) + " whole exams took " + lengthWords(m.Median) + " or less."
}

// aimWords names the aim without judging by it.
func aimWords() string {
	return "The aim is " + lengthWords(trend.AimSeconds) + " for a whole exam: something to try for, and no judgement. Some feet need longer, and get it."
}

// timesRow is one line of the table of times.
type timesRow struct {
	Name string
	trend.Middle
}

func timesRows(t trend.Times) []timesRow {
	rows := []timesRow{{"Whole exam", t.Whole()}}
	for _, b := range t.Blocks() {
		rows = append(rows, timesRow{sentence(b.Block), b.Middle})
	}
	return rows
}
