package web

import (
	"bytes"
	"context"
	"crypto/rand"
	"errors"
	"log/slog"
	"net/http"
	"net/url"
	"time"

	"github.com/a-h/templ"

	"tengram/internal/clinic"
	"tengram/internal/kernel/exam"
)

// maxBody is the largest form or document that is read; a full exam with every
// field filled in is some tens of kilobytes.
const maxBody = 1 << 20

// answer turns a handler into an http.Handler: one place where errors become
// pages. Only the words of a clinic.Error reach a person; anything else is
// logged and shown as a fault of ours with the request's number.
func (s *site) answer(h handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		r.Body = http.MaxBytesReader(w, r.Body, maxBody)
		err := h(w, r)
		if err == nil {
			return
		}
		note := noteOf(r.Context())
		note.err = err
		view := faultView{Request: note.id}
		view.Status, view.Title = statusOf(err)
		var marked *clinic.Error
		if errors.As(err, &marked) {
			view.Says = sentence(marked.Message) + "."
		}
		who, _ := s.Access.Who(r.Context())
		s.show(w, r, view.Status, faultPage(s.frame(r, who, view.Title, ""), view))
	})
}

// statusOf gives the HTTP status of an error and a heading for its page.
func statusOf(err error) (int, string) {
	var tooLarge *http.MaxBytesError
	if errors.As(err, &tooLarge) {
		return http.StatusRequestEntityTooLarge, "Too large"
	}
	switch clinic.CodeOf(err) {
	case clinic.Invalid:
		return http.StatusUnprocessableEntity, "That does not fit"
	case clinic.NotFound:
		return http.StatusNotFound, "Not found"
	case clinic.Conflict:
		return http.StatusConflict, "Somebody was faster"
	case clinic.Forbidden:
		return http.StatusForbidden, "Not allowed"
	}
	return http.StatusInternalServerError, "Something broke here"
}

// faultView is the page of an error.
type faultView struct {
	Status  int
	Title   string
	Says    string
	Request string
}

// show renders a template into memory first, so that a fault in it is still an
// error page and never half a page.
func (s *site) show(w http.ResponseWriter, r *http.Request, status int, c templ.Component) {
	var page bytes.Buffer
	if err := c.Render(r.Context(), &page); err != nil {
		noteOf(r.Context()).err = err
		http.Error(w, "The page could not be drawn. Request "+noteOf(r.Context()).id, http.StatusInternalServerError)
		return
	}
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	body := page.Bytes()
	if mayPack(r) {
		body = packed(body)
		w.Header().Set("Content-Encoding", "gzip")
	}
	w.Header().Add("Vary", "Accept-Encoding, Sec-Fetch-Site")
	w.WriteHeader(status)
	w.Write(body) // an error here is a reader who left
}

// signedIn lets a page through for somebody who is signed in, and sends others
// to the sign-in page.
func (s *site) signedIn(p page) handler {
	return func(w http.ResponseWriter, r *http.Request) error {
		who, ok := s.Access.Who(r.Context())
		if !ok {
			if r.Method != http.MethodGet {
				return clinic.Errorf(clinic.Forbidden, "nobody is signed in any more: sign in again in another tab, then repeat this")
			}
			http.Redirect(w, r, "/sign-in?to="+url.QueryEscape(r.URL.RequestURI()), http.StatusSeeOther)
			return nil
		}
		noteOf(r.Context()).who = who.ID
		return p(w, r, who)
	}
}

// seeOther answers a form with the page to look at next.
func seeOther(w http.ResponseWriter, r *http.Request, to string) error {
	http.Redirect(w, r, to, http.StatusSeeOther)
	return nil
}

// note is what the log line of a request says besides its address.
type note struct {
	id, who string
	err     error
}

type noteKey struct{}

func noteOf(ctx context.Context) *note {
	if n, ok := ctx.Value(noteKey{}).(*note); ok {
		return n
	}
	return &note{}
}

// logged writes one line a request: ids only, and never what was asked for
// behind the question mark.
func (s *site) logged(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		n := &note{id: rand.Text()[:10]}
		seen := &statusWriter{ResponseWriter: w, status: http.StatusOK}
		began := time.Now()
		next.ServeHTTP(seen, r.WithContext(context.WithValue(r.Context(), noteKey{}, n)))
		attrs := []slog.Attr{
			slog.String("id", n.id), slog.String("method", r.Method), slog.String("path", r.URL.Path),
			slog.Int("status", seen.status), slog.Duration("took", time.Since(began).Round(time.Microsecond)),
		}
		if n.who != "" {
			attrs = append(attrs, slog.String("who", n.who))
		}
		level := slog.LevelInfo
		if n.err != nil {
			attrs = append(attrs, slog.Any("error", n.err))
			if seen.status >= http.StatusInternalServerError {
				level = slog.LevelError
			}
		}
		s.Logger.LogAttrs(r.Context(), level, "request", attrs...)
	})
}

type statusWriter struct {
	http.ResponseWriter
	status int
}

func (w *statusWriter) WriteHeader(status int) {
	w.status = status
	w.ResponseWriter.WriteHeader(status)
}

func (w *statusWriter) Unwrap() http.ResponseWriter { return w.ResponseWriter }

// frame is what stands around every page.
type frame struct {
	Title   string
	Who     exam.Person
	At      string // the entry of the navigation that is open
	Version string
	Demo    bool
}

func (s *site) frame(_ *http.Request, who exam.Person, title, at string) frame {
	return frame{Title: title, Who: who, At: at, Version: s.Version, Demo: s.Demo}
}
