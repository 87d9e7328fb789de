package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"tengram/internal/demo"
	"tengram/internal/kernel/when"
)

func TestThePageForABoardIsMadeFromAPracticesData(t *testing.T) {
	dir := t.TempDir()
	if _, errs, code := call(t, "demo", "--once", "--today", "2026-03-02", "--zone", "UTC", "--data", dir); code != exitFine {
		t.Fatalf("exit %d: %s", code, errs)
	}
	report := func(args ...string) (out, errs string, code int) {
		return call(t, append([]string{"report", "--year", "2026", "--zone", "UTC", "--at", "2026-03-02T12:00:00Z"}, args...)...)
	}
	html, errs, code := report("--format", "board-html", "--data", dir, "--organisation", "Harbour <Street>")
	if code != exitFine {
		t.Fatalf("exit %d: %s", code, errs)
	}
	for _, want := range []string{
		"Report of Harbour &lt;Street&gt; as of 2 March 2026", "Where the year will end", "The year is expected to end near",
		"By site", "Recall kept", "0, very low risk", "Diabetes: foot exam, 2026 so far",
	} {
		if !strings.Contains(html, want) {
			t.Errorf("%q is not on the page", want)
		}
	}
	for _, p := range demo.Generate(1, when.MustDay("2026-03-02"), demo.Options{}).People {
		if strings.Contains(html, p.ID) || len(p.Family) > 4 && strings.Contains(html, p.Family) {
			t.Fatalf("%s %s is on the page", p.ID, p.Family)
		}
	}

	file := filepath.Join(t.TempDir(), "board.pdf")
	if out, errs, code := report("--format", "board", "--data", dir, "--out", file); code != exitFine || out != "" {
		t.Fatalf("exit %d: %s", code, errs)
	}
	if pdf, err := os.ReadFile(file); err != nil || !strings.HasPrefix(string(pdf), "%PDF-") {
		t.Errorf("no PDF: %v", err)
	}

	for _, c := range []struct {
		says, want string
		args       []string
	}{
		{"files have no recalls and no referrals", "needs --data", []string{"--format", "board", export(t)}},
		{"the practice's own value sets", "leave --sets out", []string{"--format", "board", "--data", dir, "--sets", setIDs()[strings.LastIndex(setIDs(), " ")+1:]}},
		{"no such practice", "holds no practice", []string{"--format", "board", "--data", filepath.Join(dir, "none")}},
	} {
		if _, errs, code := report(c.args...); code != exitWrongUse || !strings.Contains(errs, c.want) {
			t.Errorf("%s: exit %d, %s", c.says, code, errs)
		}
	}
	if _, errs, code := call(t, "report", "--year", "2031", "--zone", "UTC", "--at", "2026-03-02T12:00:00Z", "--format", "board", "--data", dir); code != exitWrongUse || !strings.Contains(errs, "up to the next one") {
		t.Errorf("a year too far: exit %d, %s", code, errs)
	}
}
