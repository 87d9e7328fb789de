package web

import (
	"net/http"

	"tengram/internal/clinic"
	"tengram/internal/kernel/exam"
	"tengram/internal/web/static"
)

// handler answers one request, or returns why it cannot.
type handler func(http.ResponseWriter, *http.Request) error

// page is a handler for somebody who is signed in.
type page func(http.ResponseWriter, *http.Request, exam.Person) error

type route struct {
	pattern string
	handle  handler
}

// routes is every address there is.
func (s *site) routes() []route {
	in := s.signedIn
	return []route{
		{"GET /static/{file}", staticFile},
		{"GET /sw.js", s.workerScript},
		{"GET /manifest.webmanifest", appManifest},
		{"GET /exam/shell", s.examShell},
		{"GET /device", s.device},
		{"GET /device/key", s.deviceIn(s.deviceKey)},
		{"GET /sign-in", s.signInPage},
		{"POST /sign-in", s.signIn},
		{"POST /sign-out", s.signOut},

		{"GET /{$}", in(s.todayPage)},
		{"GET /due", in(s.duePage)},
		{"GET /due.csv", in(s.dueTable)},
		{"GET /ulcers", in(s.ulcersPage)},
		{"GET /referrals", in(s.referralsPage)},
		{"POST /person/{person}/referral/{referral}", in(s.stepReferral)},
		{"GET /measure", in(s.measurePage)},
		{"POST /measure/target", in(s.setTarget)},
		{"GET /measure/report/{form}", in(s.measureReport)},
		{"GET /import", in(s.importPage)},
		{"GET /about", in(s.aboutPage)},

		{"GET /person/{person}", in(s.personPage)},
		{"POST /person/{person}/exam", in(s.startExam)},

		{"GET /exam/{exam}", in(s.examPage)},
		{"GET /exam/{exam}/print", in(s.printPage)},
		{"GET /exam/{exam}/document.json", in(s.examDocument)},
		{"GET /exam/{exam}/bundle.json", in(s.examBundle)},
		{"POST /exam/{exam}/amend", in(s.startAmendment)},
		{"GET /exam/{exam}/edit", in(s.editPage)},
		{"POST /exam/{exam}/edit", in(s.saveForm)},
		{"PUT /exam/{exam}/draft", in(s.keepDraft)},
		{"POST /exam/{exam}/preview", in(s.previewExam)},
		{"POST /exam/{exam}/drop", in(s.dropDraft)},
		{"GET /exam/{exam}/sign", in(s.signPage)},
		{"POST /exam/{exam}/sign", in(s.signExam)},
		{"GET /exam/{exam}/compare", in(s.comparePage)},
		{"POST /exam/{exam}/compare", in(s.settleCompare)},
		{"GET /exam/{exam}/signed.json", in(s.signedDocument)},
		{"GET /exam/{exam}/case.json", s.deviceIn(s.caseDocument)},
		{"POST /exam/{exam}/assess", s.deviceIn(s.assessExam)},
		{"POST /exam/{exam}/signed", s.deviceIn(s.signSealed)},

		{"GET /", notFound},
	}
}

func staticFile(w http.ResponseWriter, r *http.Request) error {
	http.StripPrefix("/static/", static.Handler()).ServeHTTP(w, r)
	return nil
}

func notFound(http.ResponseWriter, *http.Request) error {
	return clinic.Errorf(clinic.NotFound, "there is no page at this address")
}

func crossOrigin(http.ResponseWriter, *http.Request) error {
	return clinic.Errorf(clinic.Forbidden, "this request came from another site and was refused: open Tengram itself and try there")
}
