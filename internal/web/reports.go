package web

import (
	"fmt"
	"net/http"
	"net/url"
	"strconv"

	"github.com/a-h/templ"

	"tengram/internal/clinic"
	"tengram/internal/kernel/exam"
)

// measureReport sends a measure in a form in which it leaves the practice.
func (s *site) measureReport(w http.ResponseWriter, r *http.Request, who exam.Person) error {
	form := clinic.Form(r.PathValue("form"))
	kind, ending := "", ""
	switch form {
	case clinic.SummaryForm:
		kind, ending = "application/fhir+json", "json"
	case clinic.TableForm:
		kind, ending = "text/csv; charset=utf-8", "csv"
	case clinic.BoardForm:
		kind, ending = "application/pdf", "pdf"
	}
	if kind == "" || s.Reports == nil {
		return clinic.Errorf(clinic.NotFound, "there is no report of the form %q", form)
	}
	q, err := s.readMeasureQuery(r.URL.Query())
	if err != nil {
		return err
	}
	names := form == clinic.TableForm && r.URL.Query().Get("names") == "yes"
	l, err := s.Clinic.Leave(r.Context(), who, form, names, q.Measure, q.Year)
	if err != nil {
		return err
	}
	var doc []byte
	switch form {
	case clinic.SummaryForm:
		doc, err = s.Reports.Summary(l)
	case clinic.TableForm:
		doc, err = s.Reports.Table(l, names)
	case clinic.BoardForm:
		doc, err = s.Reports.Board(l)
	}
	if err != nil {
		return err
	}
	w.Header().Set("Content-Type", kind)
	w.Header().Set("Content-Disposition", fmt.Sprintf(`attachment; filename="%s-%d.%s"`, l.Report.Measure.ID, l.Report.Year, ending))
	_, err = w.Write(doc)
	return err
}

// setTarget keeps the rate that the practice wants of a measure.
func (s *site) setTarget(w http.ResponseWriter, r *http.Request, who exam.Person) error {
	if err := r.ParseForm(); err != nil {
		return clinic.Errorf(clinic.Invalid, "the form could not be read")
	}
	q, err := s.readMeasureQuery(r.PostForm)
	if err != nil {
		return err
	}
	percent := 0
	if text := r.PostForm.Get("target"); text != "" {
		if percent, err = strconv.Atoi(text); err != nil {
			return clinic.Errorf(clinic.Invalid, "a target is a whole number of percent from 1 to 100, or nothing for none")
		}
	}
	if err := s.Clinic.SetTarget(r.Context(), who, q.Measure, percent); err != nil {
		return err
	}
	q.Who = ""
	return seeOther(w, r, string(q.url()))
}

// reportURL is the address of a download.
func reportURL(m measureQuery, form string, names bool) templ.SafeURL {
	q := url.Values{"measure": {m.Measure}, "year": {strconv.Itoa(m.Year)}}
	if names {
		q.Set("names", "yes")
	}
	return templ.SafeURL("/measure/report/" + form + "?" + q.Encode())
}

// reportCommands write the forms that have no download.
func reportCommands(m measureQuery) []string {
	var list []string
	for _, format := range []string{"qrda3", "measure-report", "subject-list", "csv", "board"} {
		list = append(list, fmt.Sprintf("tengram report --data DIR --measure %s --year %d --format %s --out FILE", m.Measure, m.Year, format))
	}
	return list
}
