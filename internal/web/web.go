// Package web is the pages: what a nurse, a lead or a clinician sees in the
// browser, and the exam form.
//
// Every route stands in routes.go. A page is one file: a handler that asks the
// clinic, a struct with what the page shows, and a template beside it. Nothing
// clinical is computed here.
package web

import (
	"context"
	"log/slog"
	"net/http"
	"time"

	"tengram/internal/clinic"
	"tengram/internal/kernel/assess"
	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/record"
	"tengram/internal/kernel/when"
)

// Clinic is what the pages ask of the use cases. Each refuses with an error
// that has a clinic.Code.
type Clinic interface {
	Today() when.Day
	Panel(ctx context.Context, who exam.Person, q clinic.PanelQuery) (rows []clinic.Standing, total int, err error)
	Open(ctx context.Context, who exam.Person, person string) (clinic.Chart, error)
	Summary(ctx context.Context) (clinic.Summary, error)

	StartExam(ctx context.Context, who exam.Person, person string) (exam.Draft, error)
	StartAmendment(ctx context.Context, who exam.Person, id string) (exam.Draft, error)
	SaveDraft(ctx context.Context, who exam.Person, d exam.Draft) error
	Draft(ctx context.Context, who exam.Person, id string) (exam.Draft, error)
	Drafts(ctx context.Context, who exam.Person) ([]exam.Draft, error)
	DropDraft(ctx context.Context, who exam.Person, id string) error
	Preview(ctx context.Context, who exam.Person, d exam.Draft) (assess.Assessment, []exam.Problem, error)
	Sign(ctx context.Context, who exam.Person, d exam.Draft, key string) (record.SignedExam, error)
	Amend(ctx context.Context, who exam.Person, d exam.Draft, reason, key string) (record.SignedExam, error)
	Exam(ctx context.Context, who exam.Person, id string) ([]record.SignedExam, error)

	Case(ctx context.Context, who exam.Person, id string) (clinic.Case, error)
	SignSealed(ctx context.Context, who exam.Person, text []byte, key string) (record.SignedExam, error)
	Sealed(ctx context.Context, who exam.Person, id string, revision int) ([]byte, error)

	Ulcers(ctx context.Context, who exam.Person) ([]clinic.UlcerRow, error)
	Referrals(ctx context.Context, who exam.Person) ([]clinic.PersonReferral, error)
	StepReferral(ctx context.Context, who exam.Person, person, referral string, step record.ReferralStep) error
	Measure(ctx context.Context, who exam.Person, measureID string, year int) (clinic.MeasureReport, error)
	// Trends waits so long for what is not made yet, and returns nil after it.
	Trends(ctx context.Context, who exam.Person, measureID string, year int, wait time.Duration) (*clinic.Trends, error)
	SetTarget(ctx context.Context, who exam.Person, measureID string, percent int) error
	Leave(ctx context.Context, who exam.Person, form clinic.Form, names bool, measureID string, year int) (clinic.Leaving, error)
	Asides(ctx context.Context, who exam.Person, limit int) ([]clinic.Aside, error)
}

// Access is who is signed in.
type Access interface {
	// Sessions loads the session of a request before next and keeps it after.
	Sessions(next http.Handler) http.Handler
	// SignIn starts a session, or fails with code Forbidden.
	SignIn(ctx context.Context, account, passphrase string) error
	// SignOut ends it.
	SignOut(ctx context.Context) error
	// Who returns the person of the session, or false for nobody.
	Who(ctx context.Context) (exam.Person, bool)
	// DeviceKey returns what the drafts of the session's account are locked
	// with on a device, in two halves of equal size; for how long a device may
	// be left untouched; and the end of the session.
	DeviceKey(ctx context.Context) (key []byte, idle time.Duration, until time.Time, err error)
}

// Config is what the pages stand on.
type Config struct {
	Clinic Clinic
	Access Access
	Logger *slog.Logger
	// Version is shown at the foot of each page.
	Version string
	// Account is filled in on the sign-in page; empty asks for it.
	Account string
	// Demo says on each page that the people are made up.
	Demo bool
	// Bundle writes a signed exam as a FHIR R4 Bundle, with names; nil leaves
	// that export out.
	Bundle func(record.SignedExam, record.Person, []record.Referral) ([]byte, error)
	// Charts draws the pictures; nil leaves them out. Reports writes what leaves
	// from the measure page; nil leaves the downloads out.
	Charts  Charts
	Reports Reports
}

// site is the pages at work.
type site struct {
	Config
}

// New returns the pages.
func New(c Config) http.Handler {
	s := &site{c}
	mux := http.NewServeMux()
	for _, r := range s.routes() {
		mux.Handle(r.pattern, s.answer(r.handle))
	}
	guarded := http.NewCrossOriginProtection()
	guarded.SetDenyHandler(s.answer(crossOrigin))
	return s.logged(headers(c.Access.Sessions(guarded.Handler(mux))))
}
