package web

import (
	"net/http"
	"net/url"
	"strings"

	"github.com/a-h/templ"

	"tengram/internal/clinic"
	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/record"
	"tengram/internal/kernel/when"
)

// referralsView is every open referral, the oldest breach first.
type referralsView struct {
	Today   when.Day
	Rows    []clinic.PersonReferral
	Late    int
	CanStep bool
}

// referralSteps are what can happen to a referral, in words.
var referralSteps = []option{
	{"sent", "Sent", plain}, {"booked", "Booked", plain}, {"seen", "Seen", plain},
	{"closed", "Closed, with the result", plain}, {"declined", "Declined by the person", notable}, {"note", "Note only", apart},
}

func (s *site) referralsPage(w http.ResponseWriter, r *http.Request, who exam.Person) error {
	v := referralsView{Today: s.Clinic.Today(), CanStep: clinic.May(who, clinic.Examine)}
	var err error
	if v.Rows, err = s.Clinic.Referrals(r.Context(), who); err != nil {
		return err
	}
	for _, row := range v.Rows {
		if late(row.Referral, v.Today) {
			v.Late++
		}
	}
	s.show(w, r, http.StatusOK, referralsTemplate(s.frame(r, who, "Referrals", "/referrals"), v))
	return nil
}

// stepReferral records what happened to a referral.
func (s *site) stepReferral(w http.ResponseWriter, r *http.Request, who exam.Person) error {
	if err := r.ParseForm(); err != nil {
		return unreadableForm(err)
	}
	step := record.ReferralStep{What: r.PostForm.Get("what"), Note: strings.TrimSpace(r.PostForm.Get("note"))}
	if step.What == "closed" && step.Note == "" {
		return clinic.Errorf(clinic.Invalid, "a referral is closed with its result: go back and write what came of it")
	}
	if on := r.PostForm.Get("on"); on != "" {
		var err error
		if step.On, err = when.ParseDay(on); err != nil {
			return clinic.Errorf(clinic.Invalid, "the day is not a day of the calendar: go back and choose it again")
		}
	}
	if err := s.Clinic.StepReferral(r.Context(), who, r.PathValue("person"), r.PathValue("referral"), step); err != nil {
		return err
	}
	return seeOther(w, r, ownPath(r.PostForm.Get("back")))
}

func late(r record.Referral, today when.Day) bool { return !r.Due.IsZero() && today > r.Due }

// deadline says how a referral stands.
func deadline(r record.Referral, today when.Day) string {
	switch {
	case r.Due.IsZero():
		return "no deadline"
	case today > r.Due:
		return counted(int(today-r.Due), "day") + " past its deadline of " + day(r.Due)
	case today == r.Due:
		return "to be done today"
	}
	return "to be done by " + day(r.Due) + ", " + since(r.Due, today)
}

// lastStep is how far a referral has come.
func lastStep(r record.Referral) string {
	for i := len(r.Steps) - 1; i >= 0; i-- {
		if st := r.Steps[i]; st.What != "note" {
			return sentence(st.What) + " " + day(st.On)
		}
	}
	return "Not sent yet, opened " + day(r.Opened)
}

// nextStep is the step that usually comes next, already chosen in the form.
func nextStep(r record.Referral) string {
	next := map[string]string{"": "sent", "sent": "booked", "booked": "seen", "seen": "closed"}
	at := ""
	for _, st := range r.Steps {
		if _, ok := next[st.What]; ok && st.What != "" {
			at = st.What
		}
	}
	return next[at]
}

func referralURL(person, referral string) templ.SafeURL {
	return personURL(person) + templ.SafeURL("/referral/"+url.PathEscape(referral))
}
