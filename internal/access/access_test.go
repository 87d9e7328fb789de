package access_test

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"log/slog"
	"net/http"
	"net/http/cookiejar"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"tengram/internal/access"
	"tengram/internal/clinic"
	"tengram/internal/kernel/exam"
	"tengram/internal/store/sqlite"
)

// house is a practice with its door and a web server that knows four paths.
type house struct {
	t     *testing.T
	gate  *access.Gate
	store *sqlite.Store
	path  string
	clock time.Time
	url   string
}

func newHouse(t *testing.T) *house {
	t.Helper()
	h := &house{t: t, path: filepath.Join(t.TempDir(), "clinic.db"), clock: time.Date(2026, 5, 4, 9, 0, 0, 0, time.UTC)}
	var err error
	if h.store, err = sqlite.Open(context.Background(), h.path); err != nil {
		t.Fatal(err)
	}
	now := func() time.Time { return h.clock }
	practice := &clinic.Clinic{Store: h.store, Zone: time.UTC, Now: now}
	if h.gate, err = access.New(practice, access.Options{Now: now}); err != nil {
		t.Fatal(err)
	}
	mux := http.NewServeMux()
	mux.HandleFunc("POST /in", func(w http.ResponseWriter, r *http.Request) {
		if err := h.gate.SignIn(r.Context(), r.FormValue("account"), r.FormValue("passphrase")); err != nil {
			status := http.StatusInternalServerError
			if clinic.CodeOf(err) == clinic.Forbidden {
				status = http.StatusForbidden
			}
			http.Error(w, err.Error(), status)
		}
	})
	mux.HandleFunc("POST /out", func(w http.ResponseWriter, r *http.Request) {
		if err := h.gate.SignOut(r.Context()); err != nil {
			http.Error(w, err.Error(), http.StatusInternalServerError)
		}
	})
	mux.HandleFunc("GET /who", func(w http.ResponseWriter, r *http.Request) {
		who, ok := h.gate.Who(r.Context())
		fmt.Fprintf(w, "%v %s %s", ok, who.ID, who.Role)
	})
	server := httptest.NewServer(h.gate.Sessions(mux))
	h.url = server.URL
	t.Cleanup(func() {
		server.Close()
		if err := h.store.Close(); err != nil {
			t.Error(err)
		}
	})
	return h
}

func (h *house) firstRun() string {
	h.t.Helper()
	made, shown, err := h.gate.FirstRun(context.Background(), "")
	if err != nil || !made {
		h.t.Fatalf("made %v, error %v", made, err)
	}
	return shown
}

// browser is somebody with a cookie jar.
type browser struct {
	*house
	client *http.Client
}

func (h *house) browser() *browser {
	jar, err := cookiejar.New(nil)
	if err != nil {
		h.t.Fatal(err)
	}
	return &browser{h, &http.Client{Jar: jar}}
}

func (b *browser) in(account, passphrase string) int {
	b.t.Helper()
	r, err := b.client.PostForm(b.url+"/in", map[string][]string{"account": {account}, "passphrase": {passphrase}})
	if err != nil {
		b.t.Fatal(err)
	}
	defer r.Body.Close()
	return r.StatusCode
}

func (b *browser) out() {
	b.t.Helper()
	r, err := b.client.PostForm(b.url+"/out", nil)
	if err != nil {
		b.t.Fatal(err)
	}
	r.Body.Close()
}

func (b *browser) who() string {
	b.t.Helper()
	r, err := b.client.Get(b.url + "/who")
	if err != nil {
		b.t.Fatal(err)
	}
	defer r.Body.Close()
	var text strings.Builder
	if _, err := fmt.Fprint(&text, readAll(b.t, r)); err != nil {
		b.t.Fatal(err)
	}
	return text.String()
}

func readAll(t *testing.T, r *http.Response) string {
	t.Helper()
	buf := make([]byte, 4096)
	n, err := r.Body.Read(buf)
	if n == 0 && err != nil && err.Error() != "EOF" {
		t.Fatal(err)
	}
	return string(buf[:n])
}

const (
	nobody = "false  "
	first  = "true practice admin"
)

func TestTheFirstRunMakesAPassphraseOnce(t *testing.T) {
	h := newHouse(t)
	ctx := context.Background()
	shown := h.firstRun()
	if len(shown) != 19 || strings.Count(shown, "-") != 3 {
		t.Errorf("the passphrase %q is not four groups of four", shown)
	}
	made, again, err := h.gate.FirstRun(ctx, "")
	if err != nil || made || again != "" {
		t.Fatalf("a second first run: made %v, shown %q, error %v", made, again, err)
	}
	if h.browser().in("", shown) != http.StatusOK {
		t.Fatal("the passphrase that was shown does not open the door")
	}
	account, err := h.store.Account(ctx, access.FirstAccount)
	if err != nil || !strings.HasPrefix(account.Hash, "$argon2id$v=19$m=19456,t=2,p=1$") {
		t.Fatalf("kept %q, error %v", account.Hash, err)
	}
	for _, file := range []string{h.path, h.path + "-wal"} {
		if text, err := os.ReadFile(file); err != nil || strings.Contains(string(text), shown) {
			t.Errorf("%s holds the passphrase (%v)", filepath.Base(file), err)
		}
	}
}

func TestTheFirstRunTakesAGivenPassphraseAndRefusesAShortOne(t *testing.T) {
	h := newHouse(t)
	ctx := context.Background()
	_, _, err := h.gate.FirstRun(ctx, "short")
	if clinic.CodeOf(err) != clinic.Invalid || strings.Contains(err.Error(), "short") {
		t.Fatalf("error %v", err)
	}
	made, shown, err := h.gate.FirstRun(ctx, "four words of mine")
	if err != nil || !made || shown != "four words of mine" {
		t.Fatalf("made %v, shown %q, error %v", made, shown, err)
	}
	if h.browser().in(access.FirstAccount, "four words of mine") != http.StatusOK {
		t.Fatal("the given passphrase does not open the door")
	}
}

func TestPassphrasesDiffer(t *testing.T) {
	seen := map[string]bool{}
	for range 1000 {
		p := access.NewPassphrase().Reveal()
		if seen[p] {
			t.Fatalf("%q came twice", p)
		}
		seen[p] = true
	}
}

func TestSigningInAndOut(t *testing.T) {
	h := newHouse(t)
	shown := h.firstRun()
	b, stranger := h.browser(), h.browser()
	if b.who() != nobody {
		t.Fatalf("before signing in: %q", b.who())
	}
	if b.in("", shown) != http.StatusOK || b.who() != first {
		t.Fatalf("after signing in: %q", b.who())
	}
	if stranger.who() != nobody {
		t.Fatalf("another browser is %q", stranger.who())
	}
	b.out()
	if b.who() != nobody {
		t.Fatalf("after signing out: %q", b.who())
	}
	lines, err := h.store.Audit(context.Background(), 10)
	if err != nil {
		t.Fatal(err)
	}
	var did []string
	for _, l := range lines {
		did = append(did, l.Who+" "+l.Did)
	}
	if got := fmt.Sprint(did); got != "[practice sign out practice sign in practice make the first account]" {
		t.Errorf("trail %s", got)
	}
}

func TestWhatDoesNotFitIsRefusedInOneSentence(t *testing.T) {
	h := newHouse(t)
	shown := h.firstRun()
	for name, try := range map[string][2]string{
		"wrong passphrase": {"practice", "wrong"}, "no passphrase": {"practice", ""}, "no such account": {"nobody", shown}, "another case": {"practice", strings.ToUpper(shown)},
	} {
		b := h.browser()
		if status := b.in(try[0], try[1]); status != http.StatusForbidden {
			t.Errorf("%s: status %d", name, status)
		}
		if b.who() != nobody {
			t.Errorf("%s: signed in as %q", name, b.who())
		}
	}
	r, err := http.PostForm(h.url+"/in", map[string][]string{"account": {"practice"}, "passphrase": {"x"}})
	if err != nil {
		t.Fatal(err)
	}
	defer r.Body.Close()
	known := readAll(t, r)
	r2, err := http.PostForm(h.url+"/in", map[string][]string{"account": {"nobody"}, "passphrase": {"x"}})
	if err != nil {
		t.Fatal(err)
	}
	defer r2.Body.Close()
	if unknown := readAll(t, r2); known != unknown {
		t.Errorf("the answer tells which accounts exist: %q and %q", known, unknown)
	}
}

func TestTriesAreLimitedByAccountAndComeBack(t *testing.T) {
	h := newHouse(t)
	shown := h.firstRun()
	b := h.browser()
	for range 5 {
		b.in("practice", "wrong")
	}
	if status := b.in("practice", shown); status != http.StatusForbidden {
		t.Fatalf("the sixth try in a row got in, status %d", status)
	}
	other := must(h.gate.Add(context.Background(), admin(), exam.Person{ID: "nuria", Role: clinic.Nurse}))
	if status := h.browser().in("nuria", other.Reveal()); status != http.StatusOK {
		t.Fatalf("another account suffers, status %d", status)
	}
	h.clock = h.clock.Add(13 * time.Second)
	if status := b.in("practice", shown); status != http.StatusOK {
		t.Fatalf("a little later the right passphrase is refused, status %d", status)
	}
	for range 4 { // after a success all tries are back
		b.in("practice", "wrong")
	}
	if status := b.in("practice", shown); status != http.StatusOK {
		t.Fatalf("the fifth try after a success is refused, status %d", status)
	}
}

func admin() exam.Person { return exam.Person{ID: access.FirstAccount, Role: clinic.Admin} }

func must(s access.Secret, err error) access.Secret {
	if err != nil {
		panic(err)
	}
	return s
}

func TestAnIdleSessionEndsAndABusyOneGoesOn(t *testing.T) {
	h := newHouse(t)
	shown := h.firstRun()
	b := h.browser()
	b.in("", shown)
	for range 5 {
		h.clock = h.clock.Add(50 * time.Minute)
		if b.who() != first {
			t.Fatal("a session in use ended")
		}
	}
	h.clock = h.clock.Add(61 * time.Minute)
	if b.who() != nobody {
		t.Fatal("an idle session goes on")
	}
	h.clock = h.clock.Add(-61 * time.Minute)
	if b.who() != nobody {
		t.Fatal("an ended session came back")
	}
}

func TestSigningInChangesTheTokenAndTheFileHoldsNone(t *testing.T) {
	h := newHouse(t)
	shown := h.firstRun()
	b := h.browser()
	tokens := map[string]bool{}
	for range 2 {
		r, err := b.client.PostForm(b.url+"/in", map[string][]string{"passphrase": {shown}})
		if err != nil {
			t.Fatal(err)
		}
		r.Body.Close()
		for _, c := range r.Cookies() {
			if c.Name != "tengram" || !c.HttpOnly || c.SameSite != http.SameSiteLaxMode {
				t.Errorf("cookie %+v", c)
			}
			tokens[c.Value] = true
		}
	}
	if len(tokens) != 2 {
		t.Fatalf("two sign-ins made %d tokens", len(tokens))
	}
	for _, file := range []string{h.path, h.path + "-wal"} {
		text, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		for token := range tokens {
			if strings.Contains(string(text), token) {
				t.Errorf("%s holds a token", filepath.Base(file))
			}
		}
	}
}

func TestAccountsAreOpenedRenewedChangedAndClosed(t *testing.T) {
	h := newHouse(t)
	h.firstRun()
	ctx := context.Background()
	nuria := exam.Person{ID: "nuria", Name: "Nuria", Role: clinic.Nurse}
	secret := must(h.gate.Add(ctx, admin(), nuria))
	b := h.browser()
	if b.in("nuria", secret.Reveal()) != http.StatusOK || b.who() != "true nuria nurse" {
		t.Fatalf("a new account is %q", b.who())
	}
	renewed := must(h.gate.Renew(ctx, admin(), "nuria"))
	if h.browser().in("nuria", secret.Reveal()) != http.StatusForbidden || h.browser().in("nuria", renewed.Reveal()) != http.StatusOK {
		t.Fatal("the old passphrase still fits, or the new one does not")
	}
	if err := h.gate.Change(ctx, nuria, access.Hide("wrong"), access.Hide("my own four words")); clinic.CodeOf(err) != clinic.Forbidden {
		t.Fatalf("changed with the wrong passphrase: %v", err)
	}
	if err := h.gate.Change(ctx, nuria, renewed, access.Hide("short")); clinic.CodeOf(err) != clinic.Invalid {
		t.Fatalf("changed to a short one: %v", err)
	}
	if err := h.gate.Change(ctx, nuria, renewed, access.Hide("my own four words")); err != nil {
		t.Fatal(err)
	}
	if h.browser().in("nuria", "my own four words") != http.StatusOK {
		t.Fatal("the changed passphrase does not fit")
	}
	if err := h.gate.Shut(ctx, admin(), "nuria"); err != nil {
		t.Fatal(err)
	}
	if b.who() != nobody || h.browser().in("nuria", "my own four words") != http.StatusForbidden {
		t.Fatal("a closed account is still let in")
	}
	list, err := h.gate.Accounts(ctx, admin())
	if err != nil || len(list) != 2 || list[0].Hash != "" || !list[0].Closed {
		t.Fatalf("accounts %+v, error %v", list, err)
	}
}

func TestAccountsAreManagedByAdministratorsAndSensibly(t *testing.T) {
	h := newHouse(t)
	h.firstRun()
	ctx := context.Background()
	lead := exam.Person{ID: "lena", Role: clinic.Lead}
	_, list := h.gate.Accounts(ctx, lead)
	_, add := h.gate.Add(ctx, lead, exam.Person{ID: "x", Role: clinic.Admin})
	_, renew := h.gate.Renew(ctx, lead, access.FirstAccount)
	for name, err := range map[string]error{"list": list, "add": add, "renew": renew, "shut": h.gate.Shut(ctx, lead, access.FirstAccount)} {
		if clinic.CodeOf(err) != clinic.Forbidden {
			t.Errorf("%s by a lead: %v", name, err)
		}
	}
	for name, p := range map[string]exam.Person{"no name": {Role: clinic.Nurse}, "spaces": {ID: " x", Role: clinic.Nurse}, "no role": {ID: "x"}, "role": {ID: "x", Role: "god"}} {
		if _, err := h.gate.Add(ctx, admin(), p); clinic.CodeOf(err) != clinic.Invalid {
			t.Errorf("%s: %v", name, err)
		}
	}
	_, twice := h.gate.Add(ctx, admin(), exam.Person{ID: access.FirstAccount, Role: clinic.Nurse})
	_, none := h.gate.Renew(ctx, admin(), "nobody")
	for err, want := range map[error]clinic.Code{twice: clinic.Conflict, none: clinic.NotFound, h.gate.Shut(ctx, admin(), access.FirstAccount): clinic.Invalid} {
		if clinic.CodeOf(err) != want {
			t.Errorf("error %v, want %s", err, want)
		}
	}
}

func TestASecretPrintsAsRedactedHoweverItIsPrinted(t *testing.T) {
	const hidden = "hunter2hunter2"
	s := access.Hide(hidden)
	var log strings.Builder
	slog.New(slog.NewJSONHandler(&log, nil)).Info("x", "secret", s, "in", struct{ S access.Secret }{s})
	slog.New(slog.NewTextHandler(&log, nil)).Info("x", "secret", s, "in", []access.Secret{s})
	document, err := json.Marshal(map[string]any{"s": s, "list": []access.Secret{s}, "key": map[access.Secret]int{s: 1}})
	if err != nil {
		t.Fatal(err)
	}
	texts := []string{log.String(), string(document), errors.Join(fmt.Errorf("bad %v", s)).Error()}
	for _, verb := range []string{"%v", "%+v", "%#v", "%s", "%q", "%x", "%X", "%d", "%10s"} {
		texts = append(texts, fmt.Sprintf(verb, s), fmt.Sprintf(verb, struct{ S access.Secret }{s}), fmt.Sprintf(verb, struct{ s access.Secret }{s}), fmt.Sprintf(verb, &s))
	}
	for _, text := range texts {
		if strings.Contains(text, hidden) || strings.Contains(strings.ToLower(text), "68756e746572") {
			t.Errorf("printed as %s", text)
		}
	}
	if s.Reveal() != hidden {
		t.Error("the secret is lost")
	}
}
