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

// keyOf asks for the device key in a browser of its own.
func (h *house) keyOf(server *httptest.Server, account, passphrase string) string {
	h.t.Helper()
	b := h.browser()
	b.house = &house{t: h.t, url: server.URL}
	if status := b.in(account, passphrase); status != http.StatusOK {
		h.t.Fatalf("sign in as %s: %d", account, status)
	}
	r, err := b.client.Get(server.URL + "/key")
	if err != nil {
		h.t.Fatal(err)
	}
	defer r.Body.Close()
	return readAll(h.t, r)
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

	r, err := http.Get(server.URL + "/key")
	if err != nil {
		t.Fatal(err)
	}
	defer r.Body.Close()
	if got := readAll(t, r); !strings.HasSuffix(got, string(clinic.Forbidden)) || got[0] != ' ' {
		t.Fatalf("nobody gets %q", got)
	}

	const many = 6
	keys := make([]string, many)
	var wg sync.WaitGroup
	for i := range many {
		wg.Go(func() { keys[i] = h.keyOf(server, access.FirstAccount, shown) })
	}
	wg.Wait()
	for _, key := range keys {
		if key != keys[0] || len(key) < 128 || !strings.Contains(key, " 1h0m0s true ") {
			t.Fatalf("keys of one account: %q and %q", keys[0], key)
		}
	}
	if other := h.keyOf(server, "nuria", nuria.Reveal()); other == keys[0] {
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
