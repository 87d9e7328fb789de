package lint

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

const root = "../.." // the repository, from this package

// rules are all the checks by name.
var rules = map[string]func(*Tree) []Finding{
	"kernel imports": KernelImports,
	"kernel purity":  KernelPurity,
	"rooms":          Rooms,
}

func TestTheRepositoryKeepsTheHouseRules(t *testing.T) {
	tree, err := Load(root)
	if err != nil {
		t.Fatal(err)
	}
	if len(tree.packages(kernel)) == 0 {
		t.Fatal("no kernel packages were found: the rules were checked on nothing")
	}
	for name, rule := range rules {
		t.Run(name, func(t *testing.T) {
			for _, f := range rule(tree) {
				t.Error(f)
			}
		})
	}
}

func TestTheKernelCompilesForTheBrowser(t *testing.T) {
	if testing.Short() {
		t.Skip("compiling for another machine takes a while; run without -short")
	}
	if err := BuildsForBrowser(root, "./internal/kernel/..."); err != nil {
		t.Error(err)
	}
}

func TestCodeThatNeedsAnOperatingSystemDoesNotCompileForTheBrowser(t *testing.T) {
	if testing.Short() {
		t.Skip("compiling for another machine takes a while; run without -short")
	}
	folder := t.TempDir()
	for name, content := range map[string]string{
		"go.mod": "module made\n\ngo 1.26\n",
		"m.go":   "package made\n\nimport \"syscall\"\n\nvar _ = syscall.Setpriority\n",
	} {
		if err := os.WriteFile(filepath.Join(folder, name), []byte(content), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	err := BuildsForBrowser(folder, "./...")
	if err == nil || !strings.Contains(err.Error(), "Setpriority") {
		t.Errorf("want the compiler's complaint, got %v", err)
	}
}

// made is a tree of made-up sources by path.
type made map[string]string

func (m made) tree(t *testing.T) *Tree {
	t.Helper()
	folder := t.TempDir()
	for _, top := range []string{"cmd", "internal"} {
		if err := os.MkdirAll(filepath.Join(folder, top), 0o755); err != nil {
			t.Fatal(err)
		}
	}
	for name, content := range m {
		full := filepath.Join(folder, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(full), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(full, []byte(content), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	tree, err := Load(folder)
	if err != nil {
		t.Fatal(err)
	}
	return tree
}

// expect runs a rule and wants one finding for each text, which it must hold.
func expect(t *testing.T, found []Finding, texts ...string) {
	t.Helper()
	if len(found) != len(texts) {
		t.Fatalf("%d findings, want %d: %v", len(found), len(texts), found)
	}
	for i, text := range texts {
		if !strings.Contains(found[i].Why, text) {
			t.Errorf("finding %q does not speak of %q", found[i].Why, text)
		}
		if found[i].Where.Line == 0 || found[i].Where.Filename == "" {
			t.Errorf("finding %q does not say where", found[i].Why)
		}
	}
}
