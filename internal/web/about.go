package web

import (
	"net/http"

	"tengram/internal/kernel/assess"
	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/measure"
	"tengram/internal/kernel/risk"
	"tengram/internal/kernel/source"
)

// aboutView is the rules that this program holds and where they come from.
type aboutView struct {
	InForce   string
	Editions  []assess.Edition
	Systems   []risk.System
	Measures  []measure.Measure
	Standings []standingRow
}

type standingRow struct {
	Word  source.Standing
	Means string
}

// standings explains how surely a rule was read.
var standings = []standingRow{
	{source.Confirmed, "read in the publication itself"},
	{source.Secondary, "read in a second document that restates it"},
	{source.Derived, "worked out here from values that were read"},
	{source.Proposal, "our proposal, where sources are silent or disagree; a clinician must approve it"},
	{source.Memory, "written from memory and not checked; a clinician must check it"},
}

func (s *site) aboutPage(w http.ResponseWriter, r *http.Request, who exam.Person) error {
	summary, err := s.Clinic.Summary(r.Context())
	if err != nil {
		return err
	}
	v := aboutView{
		InForce: summary.Edition, Editions: assess.Editions(), Systems: risk.Systems(),
		Measures: measure.All(), Standings: standings,
	}
	s.show(w, r, http.StatusOK, aboutTemplate(s.frame(r, who, "About", "/about"), v))
	return nil
}
