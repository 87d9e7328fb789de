package web

import (
	"bytes"
	"crypto/sha256"
	"encoding/base64"
	"encoding/hex"
	"encoding/json"
	"io/fs"
	"net/http"
	"time"

	"github.com/a-h/templ"

	"tengram/internal/clinic"
	"tengram/internal/kernel/exam"
	"tengram/internal/web/static"
)

// What a device needs to work out of reach of the practice: the service worker,
// the two empty pages that it keeps, the key to what it keeps, and the words by
// which it can be put on a home screen. None of these names a person.

// deviceIn lets a request of the script through for somebody who is signed in;
// for nobody it answers 401, which the script tells from "may not".
func (s *site) deviceIn(p page) handler {
	return func(w http.ResponseWriter, r *http.Request) error {
		who, ok := s.Access.Who(r.Context())
		if !ok {
			return answerJSON(w, http.StatusUnauthorized, saidView{"sign-in", "Nobody is signed in any more: sign in again."})
		}
		noteOf(r.Context()).who = who.ID
		return p(w, r, who)
	}
}

// saidView is an error for the script.
type saidView struct {
	Code string `json:"code"`
	Says string `json:"says"`
}

func answerJSON(w http.ResponseWriter, status int, v any) error {
	text, err := json.Marshal(v)
	if err != nil {
		return err
	}
	w.Header().Set("Content-Type", "application/json")
	w.WriteHeader(status)
	w.Write(text) // an error here is a reader who left
	return nil
}

// deviceKeyView is the key to what a device keeps, in two halves.
type deviceKeyView struct {
	// ID names the key and tells nothing of it.
	ID string `json:"id"`
	// Secret and Half are in base64 as URLs spell it, without padding.
	Secret string `json:"secret"`
	Half   string `json:"half"`
	// Idle is for how many seconds the device may be left untouched; Until is
	// the end of the session in milliseconds since 1970.
	Idle  int64 `json:"idle"`
	Until int64 `json:"until"`
}

func (s *site) deviceKey(w http.ResponseWriter, r *http.Request, _ exam.Person) error {
	key, idle, until, err := s.Access.DeviceKey(r.Context())
	if err != nil {
		return err
	}
	sum := sha256.Sum256(key)
	half := len(key) / 2
	return answerJSON(w, http.StatusOK, deviceKeyView{
		ID:     hex.EncodeToString(sum[:8]),
		Secret: base64.RawURLEncoding.EncodeToString(key[:half]), Half: base64.RawURLEncoding.EncodeToString(key[half:]),
		Idle: int64(idle / time.Second), Until: until.UnixMilli(),
	})
}

// workerScript serves the service worker under a name that stays, from the top
// of the site, so that it may look after all of it. In front stands the name of
// the build: a new one makes the browser take the new worker.
func (s *site) workerScript(w http.ResponseWriter, r *http.Request) error {
	name, ok := static.Path("sw.js")
	if !ok {
		return notFound(w, r)
	}
	script, err := fs.ReadFile(static.FS(), name)
	if err != nil {
		return err
	}
	build, err := s.buildName(r)
	if err != nil {
		return err
	}
	w.Header().Set("Content-Type", "text/javascript; charset=utf-8")
	w.Write([]byte(`self.tengramBuild="` + build + `";` + "\n")) // an error here is a reader who left
	w.Write(script)
	return nil
}

// buildName changes with anything that the service worker keeps.
func (s *site) buildName(r *http.Request) (string, error) {
	manifest, err := fs.ReadFile(static.FS(), "manifest.json")
	if err != nil {
		return "", err
	}
	sum := sha256.New()
	sum.Write(manifest)
	for _, page := range []templ.Component{s.examShellPage(), s.devicePage()} {
		var text bytes.Buffer
		if err := page.Render(r.Context(), &text); err != nil {
			return "", err
		}
		sum.Write(text.Bytes())
	}
	return hex.EncodeToString(sum.Sum(nil)[:6]), nil
}

func (s *site) emptyFrame(title string) frame {
	return frame{Title: title, Version: s.Version, Demo: s.Demo}
}

func (s *site) examShellPage() templ.Component { return examShell(s.emptyFrame("Foot exam")) }

func (s *site) devicePage() templ.Component { return deviceTemplate(s.emptyFrame("On this device")) }

// examShell and device are the pages that the service worker keeps. They are the
// same for everybody, signed in or not.
func (s *site) examShell(w http.ResponseWriter, r *http.Request) error {
	s.show(w, r, http.StatusOK, s.examShellPage())
	return nil
}

func (s *site) device(w http.ResponseWriter, r *http.Request) error {
	s.show(w, r, http.StatusOK, s.devicePage())
	return nil
}

// appView is the web app manifest.
type appView struct {
	Name       string     `json:"name"`
	ShortName  string     `json:"short_name"`
	About      string     `json:"description"`
	ID         string     `json:"id"`
	Start      string     `json:"start_url"`
	Scope      string     `json:"scope"`
	Display    string     `json:"display"`
	Background string     `json:"background_color"`
	Theme      string     `json:"theme_color"`
	Icons      []iconView `json:"icons"`
}

type iconView struct {
	Source  string `json:"src"`
	Sizes   string `json:"sizes"`
	Type    string `json:"type"`
	Purpose string `json:"purpose"`
}

// appManifest lets a tablet put Tengram on its home screen.
func appManifest(w http.ResponseWriter, _ *http.Request) error {
	v := appView{
		Name: "Tengram", ShortName: "Tengram", About: "Foot care for people with diabetes, in primary care.",
		ID: "/", Start: "/", Scope: "/", Display: "standalone", Background: paperColour, Theme: inkColour,
	}
	for _, icon := range []struct{ name, purpose string }{{"mark.svg", "any"}, {"mark-wide.svg", "maskable"}} {
		if path, ok := asset(icon.name); ok {
			v.Icons = append(v.Icons, iconView{string(path), "any", "image/svg+xml", icon.purpose})
		}
	}
	text, err := json.Marshal(v)
	if err != nil {
		return err
	}
	w.Header().Set("Content-Type", "application/manifest+json")
	w.Write(text) // an error here is a reader who left
	return nil
}

// The colours of web/src/css/tokens.css that a browser paints its own frame
// with: paper and accent of the light look.
const (
	paperColour = "#faf7f0"
	inkColour   = "#0d4952"
)

// saidOf turns an error into words for the script, with the status that tells
// it what to do: 409 is for a person to decide about, 503 to try again.
func saidOf(w http.ResponseWriter, r *http.Request, err error) error {
	noteOf(r.Context()).err = err
	status, _ := statusOf(err)
	v := saidView{Code: string(clinic.CodeOf(err)), Says: "Something broke at the practice. It is tried again."}
	if words := wordsOf(err); words != "" {
		v.Says = words
	}
	return answerJSON(w, status, v)
}
