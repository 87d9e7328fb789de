package web

import (
	"fmt"
	"net/http"
	"strings"

	"tengram/internal/clinic"
	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/when"
	"tengram/internal/kernel/wound"
)

// ulcersView is every open ulcer, the longest open first.
type ulcersView struct {
	Today when.Day
	Rows  []clinic.UlcerRow
}

func (s *site) ulcersPage(w http.ResponseWriter, r *http.Request, who exam.Person) error {
	v := ulcersView{Today: s.Clinic.Today()}
	var err error
	if v.Rows, err = s.Clinic.Ulcers(r.Context(), who); err != nil {
		return err
	}
	s.show(w, r, http.StatusOK, ulcersTemplate(s.frame(r, who, "Ulcers", "/ulcers"), v))
	return nil
}

// ulcerClock says how long an ulcer is open and when it was last looked at.
func ulcerClock(u clinic.FollowedUlcer, today when.Day) string {
	parts := []string{"first seen " + since(u.First, today), "last look " + since(u.On, today)}
	if !u.Last.Since.IsZero() {
		parts = append([]string{"noticed " + moment(u.Last.Since)}, parts...)
	}
	return sentence(strings.Join(parts, ", ")) + "."
}

// healingWords says how the size has moved.
func healingWords(h *wound.Healing) string {
	p := h.ReductionPercent
	if !p.Known() {
		return "The change in size cannot be said."
	}
	if p.Value < 0 {
		return fmt.Sprintf("Larger by %s %% since the first size, in %s.", strings.TrimPrefix(p.String(), "-"), counted(h.Days, "day"))
	}
	return fmt.Sprintf("Smaller by %s %% since the first size, in %s.", p.String(), counted(h.Days, "day"))
}

// curve is an ulcer's size over time as a drawing of 300 by 90.
type curve struct {
	Line   string
	Points []curvePoint
	Title  string
	// Top is the largest area, in square millimetres.
	Top int
}

type curvePoint struct{ X, Y, Label string }

// curveOf draws the sizes found by the newest method; others are not compared.
func curveOf(u clinic.FollowedUlcer) (curve, bool) {
	if len(u.Sizes) < 2 {
		return curve{}, false
	}
	method := u.Sizes[len(u.Sizes)-1].Method
	var same []clinic.UlcerSize
	for _, s := range u.Sizes {
		if s.Method == method {
			same = append(same, s)
		}
	}
	if len(same) < 2 {
		return curve{}, false
	}
	first, last := same[0], same[len(same)-1]
	c := curve{Title: fmt.Sprintf("Area from %d mm² on %s to %d mm² on %s", first.AreaMM2, day(first.On), last.AreaMM2, day(last.On))}
	for _, s := range same {
		c.Top = max(c.Top, s.AreaMM2)
	}
	days := max(1, int(last.On-first.On))
	var line strings.Builder
	for i, s := range same {
		x := 10 + 280*float64(s.On-first.On)/float64(days)
		y := 80 - 70*float64(s.AreaMM2)/float64(max(1, c.Top))
		fmt.Fprintf(&line, "%s%.1f %.1f", map[bool]string{true: "M", false: " L"}[i == 0], x, y)
		c.Points = append(c.Points, curvePoint{fmt.Sprintf("%.1f", x), fmt.Sprintf("%.1f", y), fmt.Sprintf("%s: %d mm²", day(s.On), s.AreaMM2)})
	}
	c.Line = line.String()
	return c, true
}
