package web

import (
	"net/http"

	"tengram/internal/clinic"
	"tengram/internal/kernel/exam"
)

// asidesShown is how many of the things kept aside the page lists.
const asidesShown = 200

// importView explains how records come in and shows what was kept aside.
type importView struct {
	Summary clinic.Summary
	Asides  []clinic.Aside
	// Cut: there are more than are shown.
	Cut bool
}

func (s *site) importPage(w http.ResponseWriter, r *http.Request, who exam.Person) error {
	var v importView
	var err error
	if v.Summary, err = s.Clinic.Summary(r.Context()); err != nil {
		return err
	}
	if v.Asides, err = s.Clinic.Asides(r.Context(), who, asidesShown+1); err != nil {
		return err
	}
	if len(v.Asides) > asidesShown {
		v.Asides, v.Cut = v.Asides[:asidesShown], true
	}
	s.show(w, r, http.StatusOK, importTemplate(s.frame(r, who, "Import", "/import"), v))
	return nil
}
