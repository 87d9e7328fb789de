package access_test

import (
	"context"
	"fmt"
	"net/http"
	"net/http/httptest"
	"strings"
	"sync"
	"testing"
	"time"

	"tengram/internal/access"
	"tengram/internal/clinic"
	"tengram/internal/kernel/exam"
)

// at signs somebody in at a server, in a browser of their own.
func (h *house) at(server *httptest.Server, account, passphrase string) *browser {
	h.t.Helper()
	b := h.browser()
	b.house = &house{t: h.t, url: server.URL}
	if status := b.in(account, passphrase); status != http.StatusOK {
		h.t.Fatalf("sign in as %s: %d", account, status)
	}
	return b
}

// key asks for the device key.
func (b *browser) key() string {
	r, err := b.client.Get(b.url + "/key")
	if err != nil {
		b.t.Error(err)
		return ""
	}
	defer r.Body.Close()
	return readAll(b.t, r)
}

func TestAnAccountGetsTheSameDeviceKeyEachTimeAndNoOtherDoes(t *testing.T) {
	h := newHouse(t)
	ctx := context.Background()
	shown := h.firstRun()
	nuria, err := h.gate.Add(ctx, admin(), exam.Person{ID: "nuria", Role: clinic.Nurse})
	if err != nil {
		t.Fatal(err)
	}
	mux := http.NewServeMux()
	mux.HandleFunc("POST /in", func(w http.ResponseWriter, r *http.Request) {
		if err := h.gate.SignIn(r.Context(), r.FormValue("account"), r.FormValue("passphrase")); err != nil {
			http.Error(w, err.Error(), http.StatusForbidden)
		}
	})
	mux.HandleFunc("GET /key", func(w http.ResponseWriter, r *http.Request) {
		key, idle, until, err := h.gate.DeviceKey(r.Context())
		fmt.Fprintf(w, "%x %v %v %s", key, idle, time.Until(until) > 11*time.Hour, clinic.CodeOf(err))
	})
	server := httptest.NewServer(h.gate.Sessions(mux))
	defer server.Close()

	if got := (&browser{&house{t: t, url: server.URL}, http.DefaultClient}).key(); !strings.HasSuffix(got, string(clinic.Forbidden)) || got[0] != ' ' {
		t.Fatalf("nobody gets %q", got)
	}

	// Several devices ask for the first time at once.
	devices := []*browser{h.at(server, access.FirstAccount, shown), h.at(server, access.FirstAccount, shown), h.at(server, access.FirstAccount, shown)}
	keys := make([]string, len(devices))
	var wg sync.WaitGroup
	for i, d := range devices {
		wg.Go(func() { keys[i] = d.key() })
	}
	wg.Wait()
	for _, key := range keys {
		if key != keys[0] || len(key) < 128 || !strings.Contains(key, " 1h0m0s true ") {
			t.Fatalf("keys of one account: %q and %q", keys[0], key)
		}
	}
	if other := h.at(server, "nuria", nuria.Reveal()).key(); other == keys[0] {
		t.Error("two accounts have one key")
	}
	trail, err := h.store.Audit(ctx, 100)
	if err != nil {
		t.Fatal(err)
	}
	made := 0
	for _, line := range trail {
		if line.Did == "make a device key" {
			made++
		}
		if strings.Contains(fmt.Sprint(line), keys[0][:32]) {
			t.Error("the key stands in the trail")
		}
	}
	if made != 2 {
		t.Errorf("%d keys were made for two accounts", made)
	}
}
