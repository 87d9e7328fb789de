package measure

import (
	"cmp"
	"slices"
	"time"

	"tengram/internal/kernel/foot"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/record"
	"tengram/internal/kernel/when"
	"tengram/internal/kernel/wound"
)

// Course is one ulcer through the exams signed here.
type Course struct {
	ID    string
	Side  foot.Side
	Place foot.Place
	// First is the day of the first exam that saw it open, Exam that exam.
	First when.Day
	Exam  string
	// LastSeen is the day of the last exam that said anything of it.
	LastSeen when.Day
	// Healed is the day of the exam that found it closed; zero while it is open.
	Healed when.Day
}

// Courses follows the ulcers of a person through the exams signed here up to a
// day, in order of first sight. An ulcer is closed when an exam says so of it,
// or when a later exam finds the whole foot without a wound. An exam that says
// nothing of it leaves it open.
func Courses(rec *record.Record, zone *time.Location, until when.Day) []Course {
	var courses []Course
	for _, x := range inOrder(rec) {
		on, _ := x.Exam.At.Days(zone)
		if on == 0 || on > until {
			continue
		}
		for _, side := range foot.Sides {
			courses = follow(courses, x, side, on)
		}
	}
	return courses
}

func follow(courses []Course, x *record.SignedExam, side foot.Side, on when.Day) []Course {
	for _, u := range x.Exam.Ulcers {
		if u.Side != side {
			continue
		}
		i := slices.IndexFunc(courses, func(c Course) bool { return c.ID == u.ID })
		open := u.Open() == known.Yes
		switch {
		case i < 0 && open:
			courses = append(courses, Course{ID: u.ID, Side: side, Place: u.Place, First: on, Exam: x.Exam.ID, LastSeen: on})
		case i >= 0 && open:
			courses[i].LastSeen, courses[i].Healed = on, 0
		case i >= 0:
			courses[i].close(on)
		}
	}
	if x.Exam.Foot(side).Look.Wound != known.Normal {
		return courses
	}
	for i := range courses {
		mentioned := slices.ContainsFunc(x.Exam.Ulcers, func(u wound.Ulcer) bool { return u.ID == courses[i].ID })
		if courses[i].Side == side && !mentioned {
			courses[i].close(on)
		}
	}
	return courses
}

func (c *Course) close(on when.Day) {
	c.LastSeen = on
	if c.Healed == 0 {
		c.Healed = on
	}
}

// inOrder lists the signed exams by time, then by id.
func inOrder(rec *record.Record) []*record.SignedExam {
	exams := make([]*record.SignedExam, 0, len(rec.Exams))
	for i := range rec.Exams {
		exams = append(exams, &rec.Exams[i])
	}
	slices.SortStableFunc(exams, func(a, b *record.SignedExam) int {
		return cmp.Or(a.Exam.At.Compare(b.Exam.At), cmp.Compare(a.Exam.ID, b.Exam.ID))
	})
	return exams
}
