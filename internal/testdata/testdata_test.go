package testdata

import (
	"os"
	"path/filepath"
	"testing"
)

// standIn records how a helper ended a test instead of ending this one.
type standIn struct {
	testing.TB
	ended string
}

func (s *standIn) Helper()               {}
func (s *standIn) Skip(...any)           { s.end("skipped") }
func (s *standIn) Fatal(...any)          { s.end("failed") }
func (s *standIn) Fatalf(string, ...any) { s.end("failed") }

func (s *standIn) end(how string) {
	s.ended = how
	panic(s)
}

// ending runs ask and returns what it returned and how it ended the test.
func ending(ask func(testing.TB) string) (path, ended string) {
	s := &standIn{}
	defer func() {
		if r := recover(); r != nil && r != any(s) {
			panic(r)
		}
		ended = s.ended
	}()
	return ask(s), ""
}

// layOut makes a repository with a package folder in it, goes there, and
// returns the folder beside which ../shared would lie.
func layOut(t *testing.T, files ...string) string {
	t.Helper()
	beside := t.TempDir()
	for _, name := range append(files, "repo/go.mod", "repo/internal/p/p.go") {
		full := filepath.Join(beside, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(full), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(full, nil, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	t.Chdir(filepath.Join(beside, "repo", "internal", "p"))
	t.Setenv("TENGRAM_SHARED", "")
	return beside
}

func TestWhereFilesAreFound(t *testing.T) {
	all := []string{"shared/data/ccda/a.xml", "shared/notes.md", "shared/reference/codes/b.csv"}
	for _, c := range []struct {
		name  string
		files []string
		ask   func(testing.TB) string
		path  string
		ended string
	}{
		{"a data file", all, func(t testing.TB) string { return Shared(t, "ccda", "a.xml") }, "shared/data/ccda/a.xml", ""},
		{"a data file by one path", all, func(t testing.TB) string { return Shared(t, "ccda/a.xml") }, "shared/data/ccda/a.xml", ""},
		{"a file beside the data", all, func(t testing.TB) string { return Shared(t, "notes.md") }, "shared/notes.md", ""},
		{"a reference table", all, func(t testing.TB) string { return Reference(t, "codes", "b.csv") }, "shared/reference/codes/b.csv", ""},
		{"a wrong data name", all, func(t testing.TB) string { return Shared(t, "ccda", "z.xml") }, "", "failed"},
		{"a wrong reference name", all, func(t testing.TB) string { return Reference(t, "z.csv") }, "", "failed"},
		{"no shared folder", nil, func(t testing.TB) string { return Shared(t, "ccda", "a.xml") }, "", "skipped"},
		{"no shared folder, reference", nil, func(t testing.TB) string { return Reference(t, "b.csv") }, "", "skipped"},
	} {
		t.Run(c.name, func(t *testing.T) {
			beside := layOut(t, c.files...)
			path, ended := ending(c.ask)
			if ended != c.ended {
				t.Fatalf("the test ended as %q, want %q", ended, c.ended)
			}
			want := ""
			if c.path != "" {
				want = filepath.Join(beside, filepath.FromSlash(c.path))
			}
			if path != want {
				t.Errorf("path %q, want %q", path, want)
			}
		})
	}
}

func TestTheEnvironmentNamesAnotherFolder(t *testing.T) {
	beside := layOut(t, "elsewhere/data/a.csv")
	elsewhere := filepath.Join(beside, "elsewhere")
	t.Setenv("TENGRAM_SHARED", elsewhere)
	if got, want := Shared(t, "a.csv"), filepath.Join(elsewhere, "data", "a.csv"); got != want {
		t.Errorf("path %q, want %q", got, want)
	}
	t.Setenv("TENGRAM_SHARED", filepath.Join(beside, "gone"))
	if _, ended := ending(func(t testing.TB) string { return Shared(t, "a.csv") }); ended != "failed" {
		t.Errorf("a named folder that is not there ended the test as %q, want failed", ended)
	}
}
