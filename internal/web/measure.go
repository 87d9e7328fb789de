package web

import (
	"cmp"
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/a-h/templ"

	"tengram/internal/clinic"
	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/measure"
	"tengram/internal/kernel/trend"
	"tengram/internal/kernel/when"
)

// trendPatience is how long the page waits for trends that are being made. A
// panel of some thousand people is done by then.
const trendPatience = 3 * time.Second

// measureView is one measure of one year: its rate, where it goes, its
// populations, and the people in one of them.
type measureView struct {
	Query   measureQuery
	Report  clinic.MeasureReport
	Choices []measure.Measure
	Years   []int
	Today   when.Day
	trendsView
	// Cells are the populations, each with its address.
	Cells []cellView
	// Cell is the one that is open.
	Cell   cellView
	People []clinic.MeasurePerson
	Page   int
	Pages  int
	// Reports: there are downloads. MayTake: the person may take records out.
	Reports, MayTake, MayDecide bool
}

// measureQuery is what the page was asked for; it is also its address.
type measureQuery struct {
	Measure string
	Year    int
	// Who is the population whose people are listed.
	Who string
	// By and Group keep the people of one group; both empty for everybody.
	By    trend.By
	Group string
	Page  int
}

func (s *site) readMeasureQuery(q url.Values) (measureQuery, error) {
	m := measureQuery{
		Measure: cmp.Or(q.Get("measure"), measure.FootExam().ID), Who: q.Get("who"),
		By: trend.By(q.Get("by")), Group: q.Get("group"),
	}
	if !slices.Contains(trend.Groupings(), m.By) || m.Group == "" {
		m.By, m.Group = "", ""
	}
	this := s.Clinic.Today().Year()
	var err error
	if m.Year, err = strconv.Atoi(cmp.Or(q.Get("year"), strconv.Itoa(this))); err != nil {
		return m, clinic.Errorf(clinic.Invalid, "a year is four digits, such as %d", this)
	}
	m.Page, _ = strconv.Atoi(q.Get("page")) // anything else is the first page
	return m, nil
}

// url is the address of the page, at the list of people where one is asked for.
func (m measureQuery) url() templ.SafeURL {
	q := url.Values{"measure": {m.Measure}, "year": {strconv.Itoa(m.Year)}}
	if m.Who != "" {
		q.Set("who", m.Who)
	}
	if m.By != "" {
		q.Set("by", string(m.By))
		q.Set("group", m.Group)
	}
	if m.Page > 1 {
		q.Set("page", strconv.Itoa(m.Page))
	}
	address := "/measure?" + q.Encode()
	if m.Who != "" {
		address += "#people"
	}
	return templ.SafeURL(address)
}

// people is the address of one population, in a group or of everybody.
func (m measureQuery) people(who string, by trend.By, group string) templ.SafeURL {
	m.Who, m.By, m.Group, m.Page = who, by, group, 1
	return m.url()
}

func (m measureQuery) turned(pages int) templ.SafeURL {
	m.Page = max(m.Page, 1) + pages
	return m.url()
}

// cellView is one population of a measure.
type cellView struct {
	ID, Name, Says string
	Count          int
	Href           templ.SafeURL
	in             func(measure.Result) bool
	// some: listed only where somebody is in it, or it is open.
	some bool
}

// measureCells are the populations in the order in which one asks about them.
var measureCells = []cellView{
	{ID: "open", Name: "Not met yet", Says: "Counted, and something is missing.", in: func(r measure.Result) bool { return isCounted(r) && !r.Numerator }},
	{ID: "met", Name: "Met", Says: "The numerator.", in: func(r measure.Result) bool { return r.Numerator }},
	{ID: "excluded", Name: "Left out", Says: "Denominator exclusions: in the population, not counted.", in: func(r measure.Result) bool { return r.DenominatorExclusion }},
	{ID: "exception", Name: "Excused", Says: "Exceptions: not met for a reason that the measure accepts.", some: true, in: func(r measure.Result) bool { return r.Exception }},
	{ID: "population", Name: "Initial population", Says: "Everybody the measure looks at.", in: func(r measure.Result) bool { return r.InitialPopulation }},
	{ID: "doubtful", Name: "Look at the record", Says: "A date is missing, vague or contradictory, and the answer hangs on it.", some: true, in: func(r measure.Result) bool { return len(r.Quality) > 0 }},
}

func isCounted(r measure.Result) bool {
	return r.Denominator && !r.DenominatorExclusion && !r.Exception
}

func (s *site) measurePage(w http.ResponseWriter, r *http.Request, who exam.Person) error {
	q, err := s.readMeasureQuery(r.URL.Query())
	if err != nil {
		return err
	}
	v := measureView{
		Query: q, Today: s.Clinic.Today(), Choices: measure.All(), Reports: s.Reports != nil,
		MayTake: clinic.May(who, clinic.Take), MayDecide: clinic.May(who, clinic.Decide),
	}
	if v.Report, err = s.Clinic.Measure(r.Context(), who, q.Measure, q.Year); err != nil {
		return err
	}
	if v.trendsView, err = s.trends(r.Context(), who, v.Report); err != nil {
		return err
	}
	for y := v.Today.Year() + 1; y > v.Today.Year()-4; y-- {
		v.Years = append(v.Years, y)
	}
	v.cells()
	if q.Who == closestID {
		err = s.closestPage(r.Context(), who, &v)
	} else {
		v.page()
	}
	if err != nil {
		return err
	}
	if v.Working() {
		// Without script; it is not said in the page, so that nobody's reading of
		// a page that is done is interrupted.
		w.Header().Set("Refresh", "4")
	}
	s.show(w, r, http.StatusOK, measureTemplate(s.frame(r, who, "Measure", "/measure"), v))
	return nil
}

// asked reports that a list of people was asked for: then that is what is
// printed, and else where the measure stands and goes.
func (v *measureView) asked() bool { return v.Query.Who != "" }

// inGroup is whether a person is in the group that was asked for. Nobody is
// while the groups are being worked out.
func (v *measureView) inGroup(p clinic.MeasurePerson) bool {
	if v.Query.By == "" {
		return true
	}
	if v.Trends == nil {
		return false
	}
	about, ok := v.Trends.About[p.Result.Patient]
	return ok && about.In(v.Query.By) == v.Query.Group
}

// cells counts each population; one that nobody can be in for this measure is
// left out.
func (v *measureView) cells() {
	for i, c := range measureCells {
		for _, p := range v.Report.People {
			if c.in(p.Result) {
				c.Count++
			}
		}
		if c.Count == 0 && c.some && c.ID != v.Query.Who {
			continue
		}
		c.Href = v.Query.people(c.ID, "", "")
		v.Cells = append(v.Cells, c)
		if i == 0 || c.ID == v.Query.Who {
			v.Cell = c
		}
	}
}

// page puts the people of the open cell in order: those who lack least and come
// soonest first, since they are closed most cheaply.
func (v *measureView) page() {
	for _, p := range v.Report.People {
		if v.Cell.in(p.Result) && v.inGroup(p) {
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
	v.Cell.Count = len(v.People)
	from, to := v.turn(len(v.People))
	v.People = v.People[from:to]
}

// turn finds the page that was asked for in a list of so many.
func (v *measureView) turn(n int) (from, to int) {
	v.Pages = max(1, (n+pageSize-1)/pageSize)
	v.Page = min(max(v.Query.Page, 1), v.Pages)
	v.Query.Page = v.Page
	return min((v.Page-1)*pageSize, n), min(v.Page*pageSize, n)
}

// rateWords is the rate with the counts that it is made of.
func rateWords(c measure.Counts) string {
	rate, ok := c.Rate()
	if !ok {
		return "no rate: nobody is counted"
	}
	return percent(rate)
}

func percent(rate float64) string { return fmt.Sprintf("%.1f %%", 100*rate) }

// closing is the cheapest way to close somebody's gap.
func closing(p clinic.MeasurePerson, today when.Day) string {
	if len(p.Result.Gaps) == 0 {
		return ""
	}
	what := "One exam that records " + partsOf(p.Result.Gaps)
	if v := p.Standing.NextVisit; !v.IsZero() && v >= today {
		return what + " at the visit of " + day(v) + "."
	}
	return what + "; no visit is booked, so call."
}

// partsOf names the parts that are missing.
func partsOf(gaps []measure.Gap) string {
	parts := make([]string, len(gaps))
	for i, g := range gaps {
		parts[i] = strings.ReplaceAll(g.Part, "-", " ")
	}
	return strings.Join(parts, ", ")
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
