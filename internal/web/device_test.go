package web

import (
	"crypto/sha256"
	"encoding/base64"
	"encoding/hex"
	"encoding/json"
	"errors"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"tengram/internal/clinic"
	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/when"
	"tengram/internal/web/static"
)

func decoded[T any](t *testing.T, w *httptest.ResponseRecorder, status int) T {
	t.Helper()
	var v T
	if w.Code != status {
		t.Fatalf("status %d, want %d: %s", w.Code, status, w.Body)
	}
	if err := json.Unmarshal(w.Body.Bytes(), &v); err != nil {
		t.Fatalf("%v in %s", err, w.Body)
	}
	return v
}

func TestADeviceIsGivenItsKeyInTwoHalves(t *testing.T) {
	v := decoded[deviceKeyView](t, newDesk(t, newFake(), nurse).get("/device/key"), 200)
	secret, err := base64.RawURLEncoding.DecodeString(v.Secret)
	if err != nil {
		t.Fatal(err)
	}
	half, err := base64.RawURLEncoding.DecodeString(v.Half)
	if err != nil {
		t.Fatal(err)
	}
	if string(secret)+string(half) != string(deviceSecret) || len(secret) != len(half) {
		t.Errorf("halves of %d and %d bytes do not make the key", len(secret), len(half))
	}
	if v.Idle != 3600 || v.Until != 1_800_000_000_000 || len(v.ID) != 16 {
		t.Errorf("idle %d, until %d, id %q", v.Idle, v.Until, v.ID)
	}
}

// The pages that the service worker keeps are read back by whoever holds the
// device: they must be of nobody, whatever is in the clinic.
func TestThePagesThatAreKeptNameNobody(t *testing.T) {
	for _, path := range []string{"/exam/shell", "/device"} {
		with := newDesk(t, fullFake(), nurse).get(path)
		without := newDesk(t, newFake(), exam.Person{}).get(path)
		wants(t, with, 200, `data-shell=`)
		if diff := cmp.Diff(without.Body.String(), with.Body.String()); diff != "" {
			t.Errorf("%s differs by who is signed in or what is in the clinic: %s", path, diff)
		}
	}
}

func TestTheServiceWorkerSaysItsBuild(t *testing.T) {
	if _, ok := static.Path("sw.js"); !ok {
		t.Skip("the scripts are not built: run make assets")
	}
	w := newDesk(t, newFake(), exam.Person{}).get("/sw.js")
	wants(t, w, 200, `self.tengramBuild="`)
	if got := w.Header().Get("Content-Type"); !strings.HasPrefix(got, "text/javascript") {
		t.Errorf("content type %q", got)
	}
	other := New(Config{Clinic: newFake(), Access: &fakeAccess{}, Version: "another", Logger: slog.New(slog.DiscardHandler)})
	again := httptest.NewRecorder()
	other.ServeHTTP(again, httptest.NewRequest("GET", "/sw.js", nil))
	if firstLine(again) == firstLine(w) {
		t.Error("another version of the empty pages has the same build")
	}
}

func firstLine(w *httptest.ResponseRecorder) string {
	line, _, _ := strings.Cut(w.Body.String(), "\n")
	return line
}

func TestTheAppCanBePutOnAHomeScreen(t *testing.T) {
	v := decoded[appView](t, newDesk(t, newFake(), exam.Person{}).get("/manifest.webmanifest"), 200)
	if v.Name != "Tengram" || v.Start != "/" || v.Display != "standalone" {
		t.Errorf("%+v", v)
	}
	if _, ok := static.Path("mark.svg"); ok && len(v.Icons) == 0 {
		t.Error("no icon")
	}
}

func TestACaseIsDrawnLikeThePage(t *testing.T) {
	f := fullFake()
	d := newDesk(t, f, nurse)
	draft := f.drafts["e3"]
	draft.Left.Feel.Arteries.DP = 3
	draft.Vitals.TemperatureC = known.TenthsOf(385)
	f.drafts["e3"] = draft
	of := decoded[Case](t, d.get("/exam/e3/case.json"), 200)
	answers, err := json.Marshal(draft)
	if err != nil {
		t.Fatal(err)
	}
	for name, c := range map[string]Case{"as taken along": of, "with its answers": {Case: of.Case, Who: of.Who, Answers: answers, Version: of.Version}} {
		var parts, page, sign strings.Builder
		if err := errors.Join(c.DrawParts(&parts), c.DrawExam(&page), c.DrawSign(&sign)); err != nil {
			t.Fatal(err)
		}
		server := d.do("POST", "/exam/e3/preview", "application/json", string(answers)).Body.String()
		if diff := cmp.Diff(server, parts.String()); diff != "" {
			t.Errorf("%s: the parts differ: %s", name, diff)
		}
		if !strings.Contains(page.String(), `data-exam="e3"`) || !strings.Contains(page.String(), "Kept on this device.") {
			t.Errorf("%s: this is not the exam page", name)
		}
		if diff := cmp.Diff(mainOf(d.get("/exam/e3/sign").Body.String()), mainOf(sign.String())); diff != "" {
			t.Errorf("%s: the review differs: %s", name, diff)
		}
	}
	wants(t, d.get("/exam/none/case.json"), 404)
}

// mainOf cuts the page's own part out.
func mainOf(page string) string {
	_, page, _ = strings.Cut(page, `<main`)
	page, _, _ = strings.Cut(page, `</main>`)
	return page
}

func TestASealedDocumentIsCompleteAndReadsBack(t *testing.T) {
	f := fullFake()
	c := decoded[Case](t, newDesk(t, f, nurse).get("/exam/e3/case.json"), 200)
	text, err := c.Seal()
	if err != nil {
		t.Fatal(err)
	}
	var d exam.Draft
	if err := json.Unmarshal(text, &d); err != nil {
		t.Fatal(err)
	}
	want := f.drafts["e3"]
	want.Edition = c.Edition
	if diff := cmp.Diff(want, d, cmpopts.EquateComparable(when.Moment{})); diff != "" {
		t.Errorf("sealed %s", diff)
	}
	c.Answers = json.RawMessage(`{"ask":{"a1c-percent":"7.25"}}`)
	if _, err := c.Seal(); err == nil {
		t.Error("an answer that cannot be read was sealed")
	}
	c.Answers = nil
	c.Exam.Revision, c.Exam.Amends = 2, &exam.Amendment{Revision: 1, By: nurse, At: c.Exam.At}
	if _, err := c.Seal(); err == nil {
		t.Error("an amendment was sealed without a reason")
	}
	c.Reason = "looked again"
	if text, err = c.Seal(); err != nil || !strings.Contains(string(text), "looked again") {
		t.Errorf("%s, error %v", text, err)
	}
}

func (d *desk) seal(id, key, text string) *httptest.ResponseRecorder {
	r := httptest.NewRequest("POST", "/exam/"+id+"/signed", strings.NewReader(text))
	r.Header.Set("Content-Type", "application/json")
	r.Header.Set("Idempotency-Key", key)
	w := httptest.NewRecorder()
	d.handler.ServeHTTP(w, r)
	return w
}

func TestASignedDocumentIsConfirmedByItsBytes(t *testing.T) {
	f := fullFake()
	d := newDesk(t, f, nurse)
	c := decoded[Case](t, d.get("/exam/e3/case.json"), 200)
	text, err := c.Seal()
	if err != nil {
		t.Fatal(err)
	}
	sum := sha256.Sum256(text)
	want := confirmedView{"e3", 1, hex.EncodeToString(sum[:])}
	for range 2 {
		if got := decoded[confirmedView](t, d.seal("e3", "k1", string(text)), 200); got != want {
			t.Errorf("confirmed %+v, want %+v", got, want)
		}
	}
	w := d.get("/exam/e3/signed.json")
	wants(t, w, 200)
	if w.Body.String() != string(text) {
		t.Error("the text that comes back is another")
	}
	wants(t, d.get("/exam/e3/signed.json?revision=7"), 404)
}

func TestWhatCannotBeSignedIsSaidToTheScript(t *testing.T) {
	f := fullFake()
	d := newDesk(t, f, nurse)
	text := string(mustJSON(f.drafts["e3"]))
	for name, tc := range map[string]struct {
		fail   error
		id     string
		status int
		says   string
	}{
		"another exam's address": {nil, "e9", 422, "not of exam e9"},
		"a conflict":             {clinic.Errorf(clinic.Conflict, "exam e3 has revision 1 already"), "e3", 409, "revision 1 already"},
		"may not":                {clinic.Errorf(clinic.Forbidden, "the role may not"), "e3", 403, "may not"},
		"answers to mend": {&clinic.Error{Code: clinic.Invalid, Message: "not yet", Err: &clinic.ProblemsError{Problems: []exam.Problem{{Field: "vitals.heart-rate", Says: "9 is not between 20 and 300", Blocks: true}, {Field: "x", Says: "soft"}}}},
			"e3", 422, "9 is not between 20 and 300."},
		"a busy record":  {&clinic.Error{Code: clinic.Conflict, Message: "sign", Err: clinic.ErrMoved}, "e3", 503, "tried again"},
		"a broken disk":  {errors.New("disk: patient Quill"), "e3", 500, "Something broke"},
		"a spent record": {clinic.Errorf(clinic.NotFound, "there is no person p9"), "e3", 404, "no person p9"},
	} {
		f.fail = tc.fail
		v := decoded[saidView](t, d.seal(tc.id, "k-"+name, text), tc.status)
		if !strings.Contains(v.Says, tc.says) || strings.Contains(v.Says, "Quill") || strings.Contains(v.Says, "soft") {
			t.Errorf("%s: says %q", name, v.Says)
		}
	}
	if len(f.keys) != 0 {
		t.Errorf("%d were signed", len(f.keys))
	}
}

func TestTheServerJudgesLikeTheKernelOfABrowser(t *testing.T) {
	f := fullFake()
	d := newDesk(t, f, nurse)
	files, err := filepath.Glob("../../docs/examples/*.json")
	if err != nil || len(files) != 20 {
		t.Fatalf("%d examples, error %v", len(files), err)
	}
	for _, file := range files {
		text, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		v := decoded[judgedView](t, d.do("POST", "/exam/e3/assess", "application/json", string(text)), 200)
		if len(v.Assessment.Risks) == 0 || v.Assessment.Edition == "" {
			t.Errorf("%s was not judged", file)
		}
	}
	wants(t, d.do("POST", "/exam/e3/assess", "application/json", "[]"), 422)
	wants(t, d.do("POST", "/exam/none/assess", "application/json", "{}"), 404)
}

// A draft that somebody else's signature came before leads to both versions.
func TestTwoVersionsOfOneExamAreShownAndAPersonDecides(t *testing.T) {
	f := fullFake()
	d := newDesk(t, f, nurse)
	other := f.signed["e1"][0].Exam.Draft
	other.Right.Look.Nails = known.Abnormal
	other.Examiner = exam.Person{ID: "b", Name: "Bo Birch"}
	f.drafts["e1"] = other
	for _, path := range []string{"/exam/e1/edit", "/exam/e1/sign"} {
		if w := d.get(path); w.Header().Get("Location") != "/exam/e1/compare" {
			t.Errorf("%s leads to %q, status %d", path, w.Header().Get("Location"), w.Code)
		}
	}
	wants(t, d.get("/exam/e1/compare"), 200, "Two versions of one exam", "Dana Oakes", "Bo Birch", "Nails, right foot", "Amend the signed exam")
	wants(t, d.post("/exam/e1/compare", url.Values{}), 422)
	if len(f.signed["e1"]) != 1 || f.drafts["e1"].Revision != 1 {
		t.Error("looking changed something")
	}
	w := d.post("/exam/e1/compare", url.Values{"-do": {"amend"}})
	if w.Header().Get("Location") != "/exam/e1/edit" {
		t.Fatalf("status %d to %q", w.Code, w.Header().Get("Location"))
	}
	next := f.drafts["e1"]
	if next.Revision != 2 || next.Amends == nil || next.Amends.Revision != 1 || next.Right.Look.Nails != known.Abnormal {
		t.Errorf("the draft is of revision %d, amends %+v, nails %v", next.Revision, next.Amends, next.Right.Look.Nails)
	}
	wants(t, d.get("/exam/e1/edit"), http.StatusOK)
	if w := d.get("/exam/e1/compare"); w.Header().Get("Location") != "/exam/e1/edit" {
		t.Errorf("a draft that may be signed is still compared: %d", w.Code)
	}
	f.drafts["e1"] = other
	if w := d.post("/exam/e1/compare", url.Values{"-do": {"drop"}}); w.Header().Get("Location") != "/exam/e1" {
		t.Fatalf("status %d", w.Code)
	}
	if _, there := f.drafts["e1"]; there || len(f.signed["e1"]) != 1 {
		t.Error("the other version was not thrown away, or the signed one was")
	}
	if w := d.get("/exam/e1/compare"); w.Header().Get("Location") != "/exam/e1" {
		t.Errorf("a decided exam is still compared: %d", w.Code)
	}
}
