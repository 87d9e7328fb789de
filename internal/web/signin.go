package web

import (
	"net/http"
	"strings"

	"tengram/internal/clinic"
	"tengram/internal/kernel/exam"
)

// signInView is the sign-in page.
type signInView struct {
	Account string
	To      string
	Refused string
}

func (s *site) signInPage(w http.ResponseWriter, r *http.Request) error {
	if _, ok := s.Access.Who(r.Context()); ok {
		return seeOther(w, r, ownPath(r.FormValue("to")))
	}
	v := signInView{Account: s.Account, To: ownPath(r.FormValue("to"))}
	s.show(w, r, http.StatusOK, signInTemplate(s.frame(r, exam.Person{}, "Sign in", ""), v))
	return nil
}

func (s *site) signIn(w http.ResponseWriter, r *http.Request) error {
	if err := r.ParseForm(); err != nil {
		return unreadableForm(err)
	}
	to := ownPath(r.PostForm.Get("to"))
	account := strings.TrimSpace(r.PostForm.Get("account"))
	err := s.Access.SignIn(r.Context(), account, r.PostForm.Get("passphrase"))
	if err == nil {
		return seeOther(w, r, to)
	}
	switch clinic.CodeOf(err) {
	case clinic.Forbidden, clinic.Invalid, clinic.NotFound:
		// One sentence for every reason: it tells nobody which accounts exist.
		v := signInView{Account: account, To: to, Refused: "Account and passphrase do not fit together, or there were too many tries: wait a minute and try again."}
		noteOf(r.Context()).err = err
		s.show(w, r, http.StatusForbidden, signInTemplate(s.frame(r, exam.Person{}, "Sign in", ""), v))
		return nil
	}
	return err
}

func (s *site) signOut(w http.ResponseWriter, r *http.Request) error {
	if err := s.Access.SignOut(r.Context()); err != nil {
		return err
	}
	return seeOther(w, r, "/sign-in")
}

// ownPath keeps a path of this site and turns anything else into the first page:
// after signing in nobody is led elsewhere.
func ownPath(to string) string {
	if !strings.HasPrefix(to, "/") || strings.HasPrefix(to, "//") || strings.ContainsAny(to, "\\\r\n") || strings.HasPrefix(to, "/sign-") {
		return "/"
	}
	return to
}
