package web

import (
	"cmp"
	"encoding/csv"
	"net/http"
	"net/url"
	"strconv"
	"strings"

	"github.com/a-h/templ"

	"tengram/internal/clinic"
	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/when"
)

// pageSize is how many people a page of a list holds.
const pageSize = 50

// dueView is the list of whom to call, in which order and why.
type dueView struct {
	Today when.Day
	Query dueQuery
	Rows  []clinic.Standing
	Total int
}

// dueQuery is what the list was asked for; it is also its address.
type dueQuery struct {
	Text  string
	Who   string // "due", "month" (in the next 30 days), "all"
	Order string // "due" or "name"
	Page  int    // from 1
}

func readDueQuery(q url.Values) dueQuery {
	d := dueQuery{Text: strings.TrimSpace(q.Get("q")), Who: q.Get("who"), Order: q.Get("order")}
	if d.Who != "month" && d.Who != "all" {
		d.Who = "due"
	}
	if d.Order != "name" {
		d.Order = "due"
	}
	d.Page, _ = strconv.Atoi(q.Get("page")) // anything else is the first page
	d.Page = max(d.Page, 1)
	return d
}

// link is the address of the same list with one thing changed.
func (d dueQuery) link(path string, change func(*dueQuery)) templ.SafeURL {
	change(&d)
	q := url.Values{}
	if d.Text != "" {
		q.Set("q", d.Text)
	}
	if d.Who != "due" {
		q.Set("who", d.Who)
	}
	if d.Order != "due" {
		q.Set("order", d.Order)
	}
	if d.Page > 1 {
		q.Set("page", strconv.Itoa(d.Page))
	}
	if len(q) == 0 {
		return templ.SafeURL(path)
	}
	return templ.SafeURL(path + "?" + q.Encode())
}

func (d dueQuery) panel(today when.Day) clinic.PanelQuery {
	q := clinic.PanelQuery{Text: d.Text, Order: d.Order, Diabetes: true}
	switch d.Who {
	case "due":
		q.DueBy = today
	case "month":
		q.DueBy = today.AddDays(30)
	}
	return q
}

// Counted says how many there are and which page this is.
func (v dueView) Counted() string { return pageWords(v.Total, v.Query.Page, v.Pages()) }

// pageWords is the number of people of a list with the page that is shown.
func pageWords(total, page, pages int) string {
	if pages == 1 {
		return counted(total, "person")
	}
	return counted(total, "person") + ", page " + strconv.Itoa(page) + " of " + strconv.Itoa(pages)
}

// Pages is how many pages the list has.
func (v dueView) Pages() int { return max(1, (v.Total+pageSize-1)/pageSize) }

func (s *site) duePage(w http.ResponseWriter, r *http.Request, who exam.Person) error {
	v := dueView{Today: s.Clinic.Today(), Query: readDueQuery(r.URL.Query())}
	q := v.Query.panel(v.Today)
	q.Limit, q.Offset = pageSize, (v.Query.Page-1)*pageSize
	var err error
	if v.Rows, v.Total, err = s.Clinic.Panel(r.Context(), who, q); err != nil {
		return err
	}
	s.show(w, r, http.StatusOK, dueTemplate(s.frame(r, who, "Due", "/due"), v))
	return nil
}

// dueTable is the same list for a spreadsheet, whole.
func (s *site) dueTable(w http.ResponseWriter, r *http.Request, who exam.Person) error {
	query := readDueQuery(r.URL.Query())
	today := s.Clinic.Today()
	rows, _, err := s.Clinic.Panel(r.Context(), who, query.panel(today))
	if err != nil {
		return err
	}
	w.Header().Set("Content-Type", "text/csv; charset=utf-8")
	w.Header().Set("Content-Disposition", `attachment; filename="due.csv"`)
	out := csv.NewWriter(w)
	out.Write([]string{"record", "family", "given", "phone", "language", "risk low", "risk high", "risk", "last exam", "due", "overdue after", "next visit", "why"})
	for _, p := range rows {
		out.Write([]string{
			cell(p.Person), cell(p.Family), cell(p.Given), cell(p.Phone), cell(p.Language), rank(p.RiskLow), rank(p.RiskHigh), cell(p.RiskWord),
			p.LastExam.String(), p.Due.String(), p.OverdueAfter.String(), p.NextVisit.String(), cell(p.Why),
		})
	}
	out.Flush()
	return out.Error()
}

func rank(n int) string {
	if n < 0 {
		return ""
	}
	return strconv.Itoa(n)
}

// cell keeps a spreadsheet from reading a text that came from outside as a
// formula.
func cell(s string) string {
	if s != "" && strings.ContainsRune("=+-@\t\r", rune(s[0])) {
		return "'" + s
	}
	return s
}

// riskLabel is one category: its rank, its number and its word.
type riskLabel struct {
	Rank       int
	Code, Word string
}

// riskOf reads the panel's word: "3, high risk", an interval "0, very low risk
// to 3, high risk", or what there is to say of somebody never assessed. note is
// what stands beside it, such as the clinician's own category.
func riskOf(p clinic.Standing) (labels []riskLabel, note string) {
	word, note, found := strings.Cut(p.RiskWord, "; ")
	if !found {
		word, note, found = strings.Cut(p.RiskWord, ", clinician: ")
		if found {
			note = "clinician’s own category " + note
		}
	}
	if p.RiskLow < 0 {
		return []riskLabel{{-1, "–", cmp.Or(word, "not assessed")}}, note
	}
	low, high, interval := strings.Cut(word, " to ")
	if p.RiskLow == p.RiskHigh || !interval {
		return []riskLabel{labelOf(p.RiskHigh, word)}, note
	}
	return []riskLabel{labelOf(p.RiskLow, low), labelOf(p.RiskHigh, high)}, note
}

func labelOf(rank int, word string) riskLabel {
	if code, name, ok := strings.Cut(word, ", "); ok {
		return riskLabel{rank, code, name}
	}
	return riskLabel{rank, "", cmp.Or(word, strconv.Itoa(rank))}
}

// phoneURL dials a number; anything that is no number gives none.
func phoneURL(phone string) (templ.SafeURL, bool) {
	var digits strings.Builder
	for _, c := range phone {
		switch {
		case c >= '0' && c <= '9', c == '+' && digits.Len() == 0:
			digits.WriteRune(c)
		case !strings.ContainsRune(" -().", c):
			return "", false
		}
	}
	return templ.SafeURL("tel:" + digits.String()), digits.Len() >= 5
}
