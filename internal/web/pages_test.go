package web

import (
	"encoding/json"
	"errors"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"

	"tengram/internal/clinic"
	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/record"
)

// addresses fills the wildcards of the routes with things that are there.
func addresses(f *fakeClinic) []string {
	s := &site{Config{Clinic: f}}
	var list []string
	for _, r := range s.routes() {
		method, path, _ := strings.Cut(r.pattern, " ")
		id := "e2"
		if strings.HasSuffix(path, "/edit") || strings.HasSuffix(path, "/sign") || method != "GET" {
			id = "e3"
		}
		path = strings.NewReplacer("{$}", "", "{person}", "p1", "{exam}", id, "{referral}", "e1.refer", "{file}", "none.css").Replace(path)
		list = append(list, method+" "+path)
	}
	return list
}

func TestEveryAddressCarriesTheDefences(t *testing.T) {
	for _, f := range []*fakeClinic{newFake(), fullFake()} {
		for _, who := range []exam.Person{{}, nurse} {
			for _, a := range append(addresses(f), "GET /nowhere", "POST /due", "GET /static/x") {
				method, path, _ := strings.Cut(a, " ")
				w := newDesk(t, f, who).do(method, path, "", "")
				if got := w.Header().Get("Content-Security-Policy"); got != policy {
					t.Errorf("%s: policy %q", a, got)
				}
				for name, want := range map[string]string{
					"X-Content-Type-Options": "nosniff", "Referrer-Policy": "same-origin", "Cross-Origin-Opener-Policy": "same-origin",
				} {
					if got := w.Header().Get(name); got != want {
						t.Errorf("%s: %s is %q, want %q", a, name, got, want)
					}
				}
				if got := w.Header().Get("Cache-Control"); got != "no-store" {
					t.Errorf("%s: may be kept: %q", a, got)
				}
				if body := w.Body.String(); strings.Contains(body, "style=") || strings.Contains(body, "<style") ||
					strings.Contains(body, "onclick") || strings.Contains(body, "<script>") {
					t.Errorf("%s: inline style or script, which the policy forbids", a)
				}
			}
		}
	}
}

func TestThePolicyAllowsNothingInlineAndNothingFromElsewhere(t *testing.T) {
	if strings.Count(policy, " 'wasm-unsafe-eval'") != 1 || !strings.Contains(policy, "script-src 'self' 'wasm-unsafe-eval';") {
		t.Error("the word for the kernel stands elsewhere than at the scripts")
	}
	policy := strings.Replace(policy, " 'wasm-unsafe-eval'", "", 1)
	for _, bad := range []string{"unsafe", "*", "http:", "https:", "data:", "blob:"} {
		if strings.Contains(policy, bad) {
			t.Errorf("the policy allows %s", bad)
		}
	}
	if !strings.HasPrefix(policy, "default-src 'none';") {
		t.Error("the policy does not begin with nothing")
	}
}

// nobodyIn are addresses that are open to all, with nobody in them; forScripts
// answer a script, which wants a status and no page to go to.
var (
	nobodyIn   = map[string]bool{"/sw.js": true, "/manifest.webmanifest": true, "/exam/shell": true, "/device": true}
	forScripts = map[string]bool{"/device/key": true, "/exam/e2/case.json": true, "/exam/e3/assess": true, "/exam/e3/signed": true}
)

func TestNobodySeesAPageBeforeSigningIn(t *testing.T) {
	f := fullFake()
	for _, a := range addresses(f) {
		method, path, _ := strings.Cut(a, " ")
		if strings.HasPrefix(path, "/static/") || strings.HasPrefix(path, "/sign-") || path == "/" && method != "GET" {
			continue
		}
		w := newDesk(t, f, exam.Person{}).do(method, path, "", "")
		if nobodyIn[path] {
			same := newDesk(t, f, nurse).do(method, path, "", "")
			if w.Code == http.StatusNotFound && same.Code == w.Code { // the scripts are not built
				continue
			}
			if same.Body.String() != w.Body.String() || w.Code != http.StatusOK {
				t.Errorf("%s is open, and another page for somebody who is signed in", a)
			}
			continue
		}
		switch {
		case forScripts[path]:
			if w.Code != http.StatusUnauthorized {
				t.Errorf("%s: status %d, want 401", a, w.Code)
			}
		case method == "GET" && (w.Code != http.StatusSeeOther || !strings.HasPrefix(w.Header().Get("Location"), "/sign-in?to=")):
			t.Errorf("%s: status %d to %q", a, w.Code, w.Header().Get("Location"))
		case method != "GET" && w.Code != http.StatusForbidden:
			t.Errorf("%s: status %d, want 403", a, w.Code)
		}
		if strings.Contains(w.Body.String(), "Quill") {
			t.Errorf("%s shows a name to nobody", a)
		}
	}
}

func TestPagesOfAnEmptyClinicExplainThemselves(t *testing.T) {
	d := newDesk(t, newFake(), nurse)
	wants(t, d.get("/"), 200, "Nobody is here yet", "tengram import", "tengram demo")
	wants(t, d.get("/due"), 200, "Nobody on this list")
	wants(t, d.get("/ulcers"), 200, "No ulcer is open")
	wants(t, d.get("/referrals"), 200, "No referral is open")
	wants(t, d.get("/measure"), 200, "no rate: nobody is counted", "Nobody here")
	wants(t, d.get("/import"), 200, "Nothing is kept aside")
	wants(t, d.get("/about"), 200, "licensed clinical judgement", "IWGDF 2023")
	wants(t, d.get("/person/none"), 404, "There is no person none")
	wants(t, d.get("/exam/none"), 404, "There is no exam none")
	wants(t, d.get("/nowhere"), 404, "Not found")
}

func TestPagesOfAFullClinic(t *testing.T) {
	d := newDesk(t, fullFake(), nurse)
	name := "Quill, Rosa &lt;b&gt;"
	wants(t, d.get("/"), 200, name, "Start the exam", "10 g monofilament", "sterile probe", "Begun and not signed", "<b>400</b>", "3 rows")
	wants(t, d.get("/due"), 200, name, "low risk", "high risk", "6 months overdue", `href="tel:5555550142"`, "Last exam here", "24 Nov 2026", "1 person")
	wants(t, d.get("/person/p1"), 200, "Rosa &lt;b&gt; Quill", "76 years", "speaks Spanish", "Go on with the exam", "was Kept", "Z86.31, 2019",
		"HbA1c: 7.2 %", "a.ndjson, line 3", "does not count", "40 days past its deadline", "Counted, and not met yet")
	wants(t, d.get("/ulcers"), 200, name, "Ball of the foot, first metatarsal head, left foot", "<svg", "120 mm²", "SINBAD", "no exam here has looked")
	wants(t, d.get("/referrals"), 200, name, "40 days past its deadline of 15 Oct 2026", "Sent 2 Oct 2026", "Closed, with the result")
	wants(t, d.get("/measure"), 200, name, "0.0 %", "Foot pulses: nothing in the record.", "at the visit of 24 Nov 2026", "Look at the record")
	wants(t, d.get("/measure?who=met"), 200, "Nobody here")
	wants(t, d.get("/measure?measure=none"), 404)
	wants(t, d.get("/measure?year=soon"), 422)
	wants(t, d.get("/import"), 200, "Condition.ndjson", "no code")
	wants(t, d.get("/exam/e2"), 200, "Loss of protective sensation", "Signed by Dana Oakes", "Amend with a reason", "Revision 1", "Not felt")
	wants(t, d.get("/exam/e2/print"), 200, "Diabetes foot exam", "Lost, 2 of", "Ulcer u1", "supports, and does not replace")
	wants(t, d.get("/exam/e3/print"), 404, "is not signed yet")
	wants(t, d.get("/exam/e3"), 303)
	wants(t, d.get("/exam/e3/edit"), 200, "The record says yes: Z86.31, 2019", `name="right.test.filament.hallux"`)
}

func TestTheDueListAsksThePanelWhatItWasAsked(t *testing.T) {
	f := fullFake()
	d := newDesk(t, f, nurse)
	wants(t, d.get("/due?q=qui&who=month&order=name&page=3"), 200)
	want := clinic.PanelQuery{Text: "qui", Order: "name", Diabetes: true, DueBy: today.AddDays(30), Limit: pageSize, Offset: 2 * pageSize}
	if f.asked.Text != want.Text || f.asked.Order != want.Order || f.asked.DueBy != want.DueBy || f.asked.Offset != want.Offset || !f.asked.Diabetes {
		t.Errorf("asked %+v, want %+v", f.asked, want)
	}
	w := d.get("/due.csv?q=qui")
	wants(t, w, 200, "p1,Quill,Rosa <b>,(555) 555-0142")
	if !strings.HasPrefix(w.Header().Get("Content-Type"), "text/csv") || f.asked.Limit != 0 {
		t.Errorf("the table is %q, limit %d", w.Header().Get("Content-Type"), f.asked.Limit)
	}
	if got := cell("=1+1"); got != "'=1+1" {
		t.Errorf("a formula stays one: %q", got)
	}
}

func TestOnlyMarkedWordsReachAPerson(t *testing.T) {
	f := fullFake()
	f.fail = errors.New("disk /var/secret of Rosa Quill is full")
	d := newDesk(t, f, nurse)
	w := d.get("/due")
	wants(t, w, 500, "Something broke here", "Request ")
	if strings.Contains(w.Body.String(), "secret") {
		t.Error("the cause of a fault is shown")
	}
	if !strings.Contains(d.log.String(), "level=ERROR") {
		t.Error("a fault is not logged as one")
	}
	for code, status := range map[clinic.Code]int{
		clinic.Invalid: 422, clinic.NotFound: 404, clinic.Conflict: 409, clinic.Forbidden: 403,
	} {
		f.fail = &clinic.Error{Code: code, Message: "the marked words", Err: errors.New("hidden cause")}
		w := newDesk(t, f, nurse).get("/due")
		wants(t, w, status, "The marked words.")
		if strings.Contains(w.Body.String(), "hidden cause") {
			t.Errorf("%s: the cause is shown", code)
		}
	}
}

func TestTheLogNamesIdsOnly(t *testing.T) {
	d := newDesk(t, fullFake(), nurse)
	d.get("/due?q=quillsecret")
	d.get("/person/p1")
	d.post("/person/p1/referral/e1.refer", url.Values{"what": {"note"}, "note": {"notesecret"}})
	log := d.log.String()
	for _, want := range []string{"path=/due ", "path=/person/p1 ", "who=oakes", "status=200", "took="} {
		if !strings.Contains(log, want) {
			t.Errorf("the log lacks %q", want)
		}
	}
	for _, never := range []string{"secret", "Quill", "Rosa", "1950"} {
		if strings.Contains(log, never) {
			t.Errorf("the log says %q:\n%s", never, log)
		}
	}
}

func TestAnotherSiteCanChangeNothing(t *testing.T) {
	f := fullFake()
	d := newDesk(t, f, nurse)
	req := func(site string) int {
		r := httptest.NewRequest("POST", "/exam/e3/drop", nil)
		r.Header.Set("Sec-Fetch-Site", site)
		w := httptest.NewRecorder()
		d.handler.ServeHTTP(w, r)
		return w.Code
	}
	if got := req("cross-site"); got != http.StatusForbidden {
		t.Errorf("a cross-site post: %d, want 403", got)
	}
	if _, ok := f.drafts["e3"]; !ok {
		t.Fatal("the draft is gone")
	}
	if got := req("same-origin"); got != http.StatusSeeOther {
		t.Errorf("a post of our own: %d, want 303", got)
	}
}

func TestSigningIn(t *testing.T) {
	d := newDesk(t, fullFake(), exam.Person{})
	wants(t, d.get("/sign-in?to=/due"), 200, `value="/due"`)
	w := d.post("/sign-in", url.Values{"account": {"oakes"}, "passphrase": {"wrong"}, "to": {"/due"}})
	wants(t, w, 403, "do not fit together")
	if strings.Contains(w.Body.String(), "has another passphrase") {
		t.Error("the page tells that the account exists")
	}
	for to, want := range map[string]string{"/due?q=a": "/due?q=a", "//evil.example": "/", "https://evil.example": "/", `/\evil`: "/", "": "/"} {
		d := newDesk(t, fullFake(), exam.Person{})
		w := d.post("/sign-in", url.Values{"account": {"oakes"}, "passphrase": {"four plain words here"}, "to": {to}})
		if w.Code != 303 || w.Header().Get("Location") != want {
			t.Errorf("to %q: %d %q, want %q", to, w.Code, w.Header().Get("Location"), want)
		}
	}
	d = newDesk(t, fullFake(), nurse)
	wants(t, d.post("/sign-out", nil), 303)
	if _, ok := d.access.Who(t.Context()); ok {
		t.Error("still signed in")
	}
}

func TestAnExamFromStartToSignature(t *testing.T) {
	f := fullFake()
	d := newDesk(t, f, nurse)
	w := d.post("/person/p1/exam", nil)
	if got := w.Header().Get("Location"); got != "/exam/new/edit" {
		t.Fatalf("to %q", got)
	}
	for _, block := range []string{"ask", "look", "feel", "test", "teach"} {
		form := encodeForm(f.drafts["new"])
		form.Set("-do", "normal-"+block)
		if got := d.post("/exam/new/edit", form).Header().Get("Location"); got != "/exam/new/edit#block-"+block {
			t.Fatalf("%s: to %q", block, got)
		}
	}
	draft := f.drafts["new"]
	if !draft.Done().All() {
		t.Errorf("five touches leave the measure open: %+v", draft.Done())
	}
	if draft.Ask.UlcerHistory != known.NotAsked {
		t.Error("a touch said no to what the record says yes to")
	}
	if draft.Ask.Smoking != 0 || !draft.Ask.A1c.IsZero() {
		t.Error("a touch recorded what it cannot know")
	}

	form := encodeForm(draft)
	form.Set("left.feel.arteries.dorsalis-pedis", "absent")
	form.Set("-do", "show")
	if got := d.post("/exam/new/edit", form).Header().Get("Location"); got != "/exam/new/edit#result" {
		t.Fatalf("to %q", got)
	}
	wants(t, d.get("/exam/new/edit"), 200, "Dorsalis pedis pulse absent", "Draft kept")

	form.Set("ask.a1c-percent", "seven")
	form.Set("-do", "sign")
	w = d.post("/exam/new/edit", form)
	wants(t, w, 422, `value="seven"`, "Write a number, or choose why there is none.", "Not all of it could be kept")

	form.Set("ask.a1c-percent", "7")
	if got := d.post("/exam/new/edit", form).Header().Get("Location"); got != "/exam/new/sign" {
		t.Fatalf("to %q", got)
	}
	wants(t, d.get("/exam/new/sign"), 200, "Sign as Dana Oakes", "Dorsalis pedis pulse absent")
	if got := d.post("/exam/new/sign", nil).Header().Get("Location"); got != "/exam/new" {
		t.Fatalf("to %q", got)
	}
	if got := d.post("/exam/new/sign", nil).Header().Get("Location"); got != "/exam/new" {
		t.Errorf("sent twice: to %q", got)
	}
	if len(f.signed["new"]) != 1 || f.keys[0] != "sign-new-1" {
		t.Errorf("signed %d times with %v", len(f.signed["new"]), f.keys)
	}
	wants(t, d.get("/exam/new"), 200, "Signed by Dana Oakes")
}

func TestAnAmendmentSaysWhyAndBothRevisionsStay(t *testing.T) {
	f := fullFake()
	d := newDesk(t, f, nurse)
	if got := d.post("/exam/e2/amend", nil).Header().Get("Location"); got != "/exam/e2/edit" {
		t.Fatalf("to %q", got)
	}
	draft := f.drafts["e2"]
	form := encodeForm(draft)
	form.Set("right.look.nails", "abnormal")
	form.Set("revision", "9") // what the server knows is taken from no form
	form.Set("patient", "p2")
	form.Set("-do", "sign")
	d.post("/exam/e2/edit", form)
	if got := f.drafts["e2"]; got.Revision != 2 || got.Patient != "p1" || got.Amends == nil {
		t.Fatalf("the form changed what the server knows: revision %d of %s", got.Revision, got.Patient)
	}
	wants(t, d.get("/exam/e2/sign"), 200, "Why is the exam amended?")
	wants(t, d.post("/exam/e2/sign", nil), 422, "Say why exam e2 is amended.")
	if got := d.post("/exam/e2/sign", url.Values{"reason": {"Nails were looked at again"}}).Header().Get("Location"); got != "/exam/e2" {
		t.Fatalf("to %q", got)
	}
	wants(t, d.get("/exam/e2"), 200, "Revision 2", "Revision 1", "Why: Nails were looked at again", "Not normal")
	var revisions []record.SignedExam
	w := d.get("/exam/e2/document.json")
	if err := json.Unmarshal(w.Body.Bytes(), &revisions); err != nil || len(revisions) != 2 {
		t.Errorf("the document holds %d revisions: %v", len(revisions), err)
	}
}

func TestAProblemStandsAtItsFieldAndStopsTheSignature(t *testing.T) {
	f := fullFake()
	draft := f.drafts["e3"]
	draft.Vitals.HeartRate = known.Value(9)
	f.drafts["e3"] = draft
	d := newDesk(t, f, nurse)
	w := d.get("/exam/e3/edit")
	wants(t, w, 200, "9 is not between 20 and 250 beats a minute")
	_, cell, _ := strings.Cut(w.Body.String(), `id="f-vitals.heart-rate"`)
	if cell, _, _ = strings.Cut(cell, "data-gone-note"); !strings.Contains(cell, "9 is not between") {
		t.Error("the problem does not stand at its field")
	}
	w = d.get("/exam/e3/sign")
	wants(t, w, 200, "cannot be signed before", `/exam/e3/edit#f-vitals.heart-rate`)
	if strings.Contains(w.Body.String(), "Sign as") {
		t.Error("it can be signed all the same")
	}
}

func TestOnlyWhoMayOverruleIsAskedForAnOwnCategory(t *testing.T) {
	f := fullFake()
	w := newDesk(t, f, nurse).get("/exam/e3/edit")
	if strings.Contains(w.Body.String(), `name="override.category"`) {
		t.Error("a nurse is asked for an own category, which would be refused")
	}
	clinician := exam.Person{ID: "calloway", Role: clinic.Clinician}
	wants(t, newDesk(t, f, clinician).get("/exam/e3/edit"), 200, `name="override.category"`, "3, high risk")
	draft := f.drafts["e3"]
	draft.Override = &exam.Override{Category: "2", Reason: "seen before", By: clinician}
	f.drafts["e3"] = draft
	d := newDesk(t, f, nurse)
	wants(t, d.get("/exam/e3/edit"), 200, `value="2" selected`, "seen before")
	d.post("/exam/e3/edit", encodeForm(draft))
	if got := f.drafts["e3"].Override; got == nil || got.By != clinician {
		t.Errorf("saving by another changed whose category it is: %+v", got)
	}
}

func TestBothSpellingsOfAnExamAreOne(t *testing.T) {
	f := fullFake()
	d := newDesk(t, f, nurse)
	draft := f.drafts["e3"]
	draft.Left.Feel.Arteries.DP = 3
	draft.Vitals.TemperatureC = known.TenthsOf(385)
	document, err := json.Marshal(draft)
	if err != nil {
		t.Fatal(err)
	}
	asJSON := d.do("POST", "/exam/e3/preview", "application/json", string(document))
	asForm := d.post("/exam/e3/preview", encodeForm(draft))
	wants(t, asJSON, 200, `id="flags"`, `id="gist"`, `id="result"`, "Dorsalis pedis pulse absent")
	if asJSON.Body.String() != asForm.Body.String() {
		t.Error("the two spellings give two results")
	}
	if w := d.do("PUT", "/exam/e3/draft", "application/json", string(document)); w.Code != http.StatusNoContent {
		t.Fatalf("keeping: %d", w.Code)
	}
	if got := f.drafts["e3"].Vitals.TemperatureC; got != known.TenthsOf(385) {
		t.Errorf("kept %v", got)
	}
	wants(t, d.do("PUT", "/exam/e3/draft", "application/json", "[1]"), 422)
	wants(t, d.do("PUT", "/exam/none/draft", "application/json", "{}"), 404)
	wants(t, d.do("PUT", "/exam/e3/draft", "application/json", `{"note":"`+strings.Repeat("x", maxBody)+`"}`), 413)
}

func TestReferralSteps(t *testing.T) {
	f := fullFake()
	d := newDesk(t, f, nurse)
	w := d.post("/person/p1/referral/e1.refer", url.Values{"what": {"booked"}, "on": {"2026-11-30"}, "note": {" for the 30th "}, "back": {"/referrals"}})
	if w.Header().Get("Location") != "/referrals" {
		t.Fatalf("status %d to %q", w.Code, w.Header().Get("Location"))
	}
	if got := f.steps[0]; got.What != "booked" || got.On.String() != "2026-11-30" || got.Note != "for the 30th" {
		t.Errorf("step %+v", got)
	}
	wants(t, d.post("/person/p1/referral/e1.refer", url.Values{"what": {"closed"}}), 422, "closed with its result")
	wants(t, d.post("/person/p1/referral/e1.refer", url.Values{"what": {"seen"}, "on": {"2026-02-30"}}), 422, "not a day of the calendar")
	if len(f.steps) != 1 {
		t.Errorf("%d steps were kept", len(f.steps))
	}
}
