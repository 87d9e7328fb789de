package web

import (
	"cmp"
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"github.com/a-h/templ"

	"tengram/internal/clinic"
	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/measure"
	"tengram/internal/kernel/when"
)

// measureView is one measure of one year: its rate, its populations, and the
// people in one of them.
type measureView struct {
	Report  clinic.MeasureReport
	Choices []measure.Measure
	Years   []int
	Today   when.Day
	// Cells are the populations, each with its address.
	Cells []cellView
	// Cell is the one that is open.
	Cell   cellView
	People []clinic.MeasurePerson
	Page   int
	Pages  int
}

// cellView is one population of a measure.
type cellView struct {
	ID, Name, Says string
	Count          int
	Href           templ.SafeURL
	in             func(measure.Result) bool
}

// measureCells are the populations in the order in which one asks about them.
var measureCells = []cellView{
	{ID: "open", Name: "Not met yet", Says: "Counted, and something is missing.", in: func(r measure.Result) bool {
		return r.Denominator && !r.DenominatorExclusion && !r.Exception && !r.Numerator
	}},
	{ID: "met", Name: "Met", Says: "The numerator.", in: func(r measure.Result) bool { return r.Numerator }},
	{ID: "excluded", Name: "Left out", Says: "Denominator exclusions: in the population, not counted.", in: func(r measure.Result) bool { return r.DenominatorExclusion }},
	{ID: "exception", Name: "Excused", Says: "Exceptions: not met for a reason that the measure accepts.", in: func(r measure.Result) bool { return r.Exception }},
	{ID: "population", Name: "Initial population", Says: "Everybody the measure looks at.", in: func(r measure.Result) bool { return r.InitialPopulation }},
	{ID: "doubtful", Name: "Look at the record", Says: "A date is missing, vague or contradictory, and the answer hangs on it.", in: func(r measure.Result) bool { return len(r.Quality) > 0 }},
}

func (s *site) measurePage(w http.ResponseWriter, r *http.Request, who exam.Person) error {
	q := r.URL.Query()
	v := measureView{Today: s.Clinic.Today(), Choices: measure.All()}
	id := cmp.Or(q.Get("measure"), measure.FootExam().ID)
	year, err := strconv.Atoi(cmp.Or(q.Get("year"), strconv.Itoa(v.Today.Year())))
	if err != nil {
		return clinic.Errorf(clinic.Invalid, "a year is four digits, such as %d", v.Today.Year())
	}
	if v.Report, err = s.Clinic.Measure(r.Context(), who, id, year); err != nil {
		return err
	}
	for y := v.Today.Year() + 1; y > v.Today.Year()-4; y-- {
		v.Years = append(v.Years, y)
	}
	v.cells(id, year, q.Get("who"))
	v.page(q.Get("page"))
	s.show(w, r, http.StatusOK, measureTemplate(s.frame(r, who, "Measure", "/measure"), v))
	return nil
}

// cells counts each population; one that nobody can be in for this measure is
// left out.
func (v *measureView) cells(id string, year int, open string) {
	for i, c := range measureCells {
		for _, p := range v.Report.People {
			if c.in(p.Result) {
				c.Count++
			}
		}
		if c.Count == 0 && (c.ID == "exception" || c.ID == "doubtful") {
			continue
		}
		c.Href = measureURL(id, year, c.ID, 1)
		v.Cells = append(v.Cells, c)
		if i == 0 || c.ID == open {
			v.Cell = c
		}
	}
}

// page puts the people of the open cell in order: those who lack least and come
// soonest first, since they are closed most cheaply.
func (v *measureView) page(asked string) {
	for _, p := range v.Report.People {
		if v.Cell.in(p.Result) {
			v.People = append(v.People, p)
		}
	}
	soon := func(p clinic.MeasurePerson) when.Day {
		if p.Standing.NextVisit.IsZero() {
			return 1 << 30
		}
		return p.Standing.NextVisit
	}
	slices.SortStableFunc(v.People, func(a, b clinic.MeasurePerson) int {
		return cmp.Or(cmp.Compare(len(a.Result.Gaps), len(b.Result.Gaps)), cmp.Compare(soon(a), soon(b)), cmp.Compare(listName(a.Standing), listName(b.Standing)))
	})
	v.Pages = max(1, (len(v.People)+pageSize-1)/pageSize)
	n, _ := strconv.Atoi(asked) // anything else is the first page
	v.Page = min(max(n, 1), v.Pages)
	v.People = v.People[min((v.Page-1)*pageSize, len(v.People)):min(v.Page*pageSize, len(v.People))]
}

func measureURL(id string, year int, who string, page int) templ.SafeURL {
	q := url.Values{"measure": {id}, "year": {strconv.Itoa(year)}, "who": {who}}
	if page > 1 {
		q.Set("page", strconv.Itoa(page))
	}
	return templ.SafeURL("/measure?" + q.Encode())
}

// rateWords is the rate with the counts that it is made of.
func rateWords(c measure.Counts) string {
	rate, ok := c.Rate()
	if !ok {
		return "no rate: nobody is counted"
	}
	return fmt.Sprintf("%.1f %%", 100*rate)
}

// closing is the cheapest way to close somebody's gap.
func closing(p clinic.MeasurePerson, today when.Day) string {
	if len(p.Result.Gaps) == 0 {
		return ""
	}
	parts := make([]string, len(p.Result.Gaps))
	for i, g := range p.Result.Gaps {
		parts[i] = strings.ReplaceAll(g.Part, "-", " ")
	}
	what := "One exam that records " + strings.Join(parts, ", ")
	if v := p.Standing.NextVisit; !v.IsZero() && v >= today {
		return what + " at the visit of " + day(v) + "."
	}
	return what + "; no visit is booked, so call."
}

// divisor is what a rate is divided by.
func divisor(c measure.Counts) int { return c.Denominator - c.DenominatorExclusion - c.Exception }

// standsWords says in which population a person is.
func standsWords(r measure.Result) string {
	switch {
	case !r.InitialPopulation:
		return "Not in the population."
	case r.DenominatorExclusion:
		return "In the population, and left out of the count."
	case r.Exception:
		return "Counted, and excused."
	case r.Numerator:
		return "Counted, and met."
	}
	return "Counted, and not met yet."
}
