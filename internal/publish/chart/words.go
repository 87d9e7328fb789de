package chart

import (
	"fmt"
	"strconv"
	"strings"
	"time"

	"tengram/internal/kernel/when"
)

// percent is a rate with one decimal.
func percent(rate float64) string { return fmt.Sprintf("%.1f %%", 100*rate) }

// part is a rate with the counts that it is made of.
func part(met, of int) string {
	if of == 0 {
		return "nobody"
	}
	return fmt.Sprintf("%s (%d of %d)", percent(float64(met)/float64(of)), met, of)
}

// month is "March 2026", short "Mar".
func month(d when.Day) string {
	y, m, _ := d.YMD()
	return m.String() + " " + strconv.Itoa(y)
}

func shortMonth(d when.Day) string {
	_, m, _ := d.YMD()
	return m.String()[:3]
}

// day is "3 March 2026".
func day(d when.Day) string {
	y, m, n := d.YMD()
	return strconv.Itoa(n) + " " + m.String() + " " + strconv.Itoa(y)
}

func shortDay(d when.Day) string {
	_, m, n := d.YMD()
	return strconv.Itoa(n) + " " + m.String()[:3]
}

// span names the month, or the months from the first to the last day:
// "January to March 2026".
func span(first, last when.Day) string {
	if shortMonth(first) == shortMonth(last) {
		return month(first)
	}
	_, m, _ := first.YMD()
	if first.Year() == last.Year() {
		return m.String() + " to " + month(last)
	}
	return month(first) + " to " + month(last)
}

func shortSpan(first, last when.Day) string {
	if shortMonth(first) == shortMonth(last) {
		return shortMonth(first)
	}
	return shortMonth(first) + "–" + shortMonth(last)
}

func firstOfYear(d when.Day) bool {
	_, m, _ := d.YMD()
	return m == time.January
}

// counted is "1 month", "3 months".
func counted(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return strconv.Itoa(n) + " " + many
}

// list joins words: "a, b and c".
func list(words []string) string {
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	return strings.Join(words[:len(words)-1], ", ") + " and " + words[len(words)-1]
}
