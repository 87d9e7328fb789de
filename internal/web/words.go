package web

import (
	"fmt"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"tengram/internal/clinic"
	"tengram/internal/kernel/foot"
	"tengram/internal/kernel/record"
	"tengram/internal/kernel/risk"
	"tengram/internal/kernel/source"
	"tengram/internal/kernel/when"
)

// sentence begins a text with a capital letter.
func sentence(s string) string {
	r, n := utf8.DecodeRuneInString(s)
	if n == 0 {
		return s
	}
	return string(unicode.ToUpper(r)) + s[n:]
}

// day writes a day for people: 24 Nov 2026.
func day(d when.Day) string {
	if d.IsZero() {
		return "not known"
	}
	y, m, n := d.YMD()
	return fmt.Sprintf("%d %s %d", n, m.String()[:3], y)
}

// moment writes a date in the precision it came in.
func moment(m when.Moment) string {
	low, high := m.Days(nil)
	switch m.Precision() {
	case when.None:
		return "not known"
	case when.Year:
		return strconv.Itoa(low.Year())
	case when.Month:
		y, mm, _ := low.YMD()
		return fmt.Sprintf("%s %d", mm.String()[:3], y)
	case when.DayOnly:
		return day(high)
	case when.Span:
		first, last := m.Ends()
		return "between " + moment(first) + " and " + moment(last)
	}
	return day(high) + ", " + m.String()[11:16]
}

// since says how long ago a day is, or how far ahead.
func since(d, today when.Day) string {
	n := int(today - d)
	switch {
	case n == 0:
		return "today"
	case n == 1:
		return "yesterday"
	case n == -1:
		return "tomorrow"
	case n > 0:
		return span(n) + " ago"
	}
	return "in " + span(-n)
}

// span writes a number of days in the unit people would say.
func span(days int) string {
	switch {
	case days < 21:
		return counted(days, "day")
	case days < 70:
		return counted(days/7, "week")
	case days < 730:
		return counted(days*12/365, "month")
	}
	return counted(days/365, "year")
}

// counted writes a number with its noun.
func counted(n int, noun string) string { return thousands(n) + " " + plural(n, noun) }

// plural is the noun as it stands after the number.
func plural(n int, noun string) string {
	if n == 1 {
		return noun
	}
	if s, ok := strings.CutSuffix(noun, "y"); ok && !strings.HasSuffix(noun, "ay") {
		return s + "ies"
	}
	if noun == "person" {
		return "people"
	}
	return noun + "s"
}

// thousands writes a number with commas.
func thousands(n int) string {
	s := strconv.Itoa(n)
	for i := len(s) - 3; i > 0 && s[i-1] != '-'; i -= 3 {
		s = s[:i] + "," + s[i:]
	}
	return s
}

// lateness says how a due day stands today.
func lateness(row clinic.Standing, today when.Day) string {
	switch {
	case row.Due.IsZero():
		return "not recalled"
	case !row.OverdueAfter.IsZero() && today > row.OverdueAfter:
		return span(int(today-row.OverdueAfter)) + " overdue"
	case today > row.Due:
		return "due since " + day(row.Due)
	case today == row.Due:
		return "due today"
	}
	return "due " + since(row.Due, today)
}

// overdue reports that the last day of the interval is past.
func overdue(row clinic.Standing, today when.Day) bool {
	return !row.OverdueAfter.IsZero() && today > row.OverdueAfter
}

// fullName is how a person is addressed, listName how they are found.
func fullName(p record.Person) string {
	if name := strings.TrimSpace(p.Given + " " + p.Family); name != "" {
		return name
	}
	return "Person " + p.ID
}

func listName(row clinic.Standing) string {
	switch {
	case row.Family == "" && row.Given == "":
		return "Person " + row.Person
	case row.Given == "":
		return row.Family
	case row.Family == "":
		return row.Given
	}
	return row.Family + ", " + row.Given
}

// ageAndSex says what is known of both.
func ageAndSex(p record.Person, today when.Day) string {
	parts := []string{}
	if low, high := p.Birth.Days(nil); !p.Birth.IsZero() {
		a, b := when.Age(high, today), when.Age(low, today)
		if a == b {
			parts = append(parts, fmt.Sprintf("%d years", a))
		} else {
			parts = append(parts, fmt.Sprintf("%d to %d years", a, b))
		}
		parts = append(parts, "born "+moment(p.Birth))
	}
	if p.Sex != "" && p.Sex != "unknown" {
		parts = append(parts, p.Sex)
	}
	return strings.Join(parts, ", ")
}

// riskWords is a category or an interval of categories, each a number and a
// word.
func riskWords(low, high risk.Category) string {
	if low.Rank == high.Rank {
		return low.Code + ", " + bareName(low)
	}
	return fmt.Sprintf("between %s, %s and %s, %s", low.Code, bareName(low), high.Code, bareName(high))
}

// bareName is the word of a category where "risk" stands beside it already.
func bareName(c risk.Category) string { return strings.TrimSuffix(c.Name, " risk") }

// sidesOf writes the feet that something is about.
func sidesOf(sides []foot.Side) string {
	switch len(sides) {
	case 0:
		return ""
	case 1:
		return sentence(sides[0].String()) + " foot"
	}
	return "Both feet"
}

// cite names a document with its place and how surely it was read.
func cite(s *source.Source) string {
	if s == nil {
		return ""
	}
	text := s.Title
	if s.Edition != "" && !strings.Contains(s.Title, s.Edition) {
		text += ", " + s.Edition
	}
	if s.Place != "" {
		text += ", " + s.Place
	}
	return text + " (" + string(s.Standing) + ")"
}
