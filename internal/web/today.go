package web

import (
	"net/http"

	"tengram/internal/clinic"
	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/when"
)

// todayView is the morning page.
type todayView struct {
	Today when.Day
	// Empty: there is nobody in the clinic yet.
	Empty bool
	// Need are today's visitors who need an exam, Others the rest of them.
	Need, Others []clinic.Standing
	// Room is what to lay ready for Need.
	Room []string
	// Drafts are unsigned exams, with whose they are.
	Drafts  []draftRow
	Summary clinic.Summary
}

type draftRow struct {
	exam.Draft
	Standing clinic.Standing
}

func (s *site) todayPage(w http.ResponseWriter, r *http.Request, who exam.Person) error {
	v := todayView{Today: s.Clinic.Today()}
	var err error
	if v.Summary, err = s.Clinic.Summary(r.Context()); err != nil {
		return err
	}
	v.Empty = v.Summary.People == 0
	visitors, _, err := s.Clinic.Panel(r.Context(), who, clinic.PanelQuery{
		VisitFrom: v.Today, VisitTo: v.Today, Diabetes: true, Order: "due",
	})
	if err != nil {
		return err
	}
	for _, p := range visitors {
		if !p.Due.IsZero() && p.Due <= v.Today {
			v.Need = append(v.Need, p)
		} else {
			v.Others = append(v.Others, p)
		}
	}
	v.Room = roomFor(v.Need, v.Others)
	if v.Drafts, err = s.drafts(r, who); err != nil {
		return err
	}
	s.show(w, r, http.StatusOK, todayTemplate(s.frame(r, who, "Today", "/"), v))
	return nil
}

// drafts lists unsigned exams with the panel row of their person.
func (s *site) drafts(r *http.Request, who exam.Person) ([]draftRow, error) {
	drafts, err := s.Clinic.Drafts(r.Context(), who)
	if err != nil || len(drafts) == 0 {
		return nil, err
	}
	ids := make([]string, len(drafts))
	for i, d := range drafts {
		ids[i] = d.Patient
	}
	rows, _, err := s.Clinic.Panel(r.Context(), who, clinic.PanelQuery{People: ids})
	if err != nil {
		return nil, err
	}
	byID := map[string]clinic.Standing{}
	for _, p := range rows {
		byID[p.Person] = p
	}
	out := make([]draftRow, len(drafts))
	for i, d := range drafts {
		out[i] = draftRow{Draft: d, Standing: byID[d.Patient]}
		if out[i].Standing.Person == "" {
			out[i].Standing.Person = d.Patient
		}
	}
	return out, nil
}

// roomFor lists what to lay ready (common practice, no source).
func roomFor(need, others []clinic.Standing) []string {
	if len(need) == 0 {
		return nil
	}
	room := []string{"10 g monofilament", "128 Hz tuning fork", "a chair that tips back, and good light"}
	ulcer, doppler := false, false
	for _, p := range append(append([]clinic.Standing(nil), need...), others...) {
		ulcer = ulcer || p.OpenUlcers > 0
	}
	for _, p := range need {
		doppler = doppler || p.RiskHigh >= 2
	}
	if doppler {
		room = append(room, "Doppler probe and cuffs for arm, ankle and toe")
	}
	if ulcer {
		room = append(room, "ruler, sterile probe and dressings for an open ulcer")
	}
	return room
}
