package source_test

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"maps"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// standings are the names of the constants that say how surely a place was read.
var standings = []string{"Confirmed", "Secondary", "Derived", "Proposal", "Memory"}

const importPath = "tengram/internal/kernel/source"

// document is one entry of the register as it is written.
type document struct{ name, id, title, edition, link string }

func TestTheRegisterHoldsEveryDocumentOnce(t *testing.T) {
	docs := register(t)
	if len(docs) < 50 {
		t.Fatalf("only %d documents found: the test no longer sees the register", len(docs))
	}
	for _, complaint := range registerComplaints(docs) {
		t.Error(complaint)
	}
}

func TestRoomsTakeTheirDocumentsFromTheRegister(t *testing.T) {
	docs := register(t)
	dirs, err := filepath.Glob("../*")
	if err != nil || len(dirs) < 15 {
		t.Fatalf("kernel packages: %v %v", dirs, err)
	}
	used := map[string]bool{}
	for _, dir := range dirs {
		pkg := filepath.Base(dir)
		if pkg == "source" {
			continue
		}
		for _, f := range parse(t, dir) {
			literals, complaints := inspect(f, docs, used)
			for _, complaint := range append(complaints, literals...) {
				t.Errorf("%s: %s", pkg, complaint)
			}
		}
	}
	for _, d := range docs {
		if !used[d.name] {
			t.Errorf("no rule rests on source.%s: remove it from the register", d.name)
		}
	}
}

// The checks above are worth nothing if they cannot fail: each kind of breach
// is shown to them once.
func TestTheChecksOfTheRegisterCanFail(t *testing.T) {
	good := document{"A", "a-2020", "Title A", "2020", "https://doi.org/10.1/a"}
	bad := []document{
		good,
		{"SameID", "a-2020", "Title B", "2020", ""},
		{"SameTitle", "b-2020", "Title A", "2020", ""},
		{"SameLink", "c-2020", "Title C", "2020", "https://doi.org/10.1/a"},
		{"Untitled", "d-2020", "", "2020", ""},
		{"Upper", "D-2020", "Title D", "2020", ""},
		{"Plain", "e-2020", "Title E", "2020", "http://example.org/e"},
		{"Copy", "f-2020", "Title F", "2020", "https://www.scribd.com/document/1/f"},
	}
	complaints := registerComplaints(bad)
	for _, d := range bad[1:] {
		if !slices.ContainsFunc(complaints, func(c string) bool { return strings.HasPrefix(c, d.name+":") }) {
			t.Errorf("%s is let through: %q", d.name, complaints)
		}
	}
	if slices.ContainsFunc(complaints, func(c string) bool { return strings.HasPrefix(c, "A:") }) {
		t.Errorf("a good document is refused: %q", complaints)
	}

	f, err := parser.ParseFile(token.NewFileSet(), "room.go", `package room
import "tengram/internal/kernel/source"
var own = source.Source{ID: "x"}
var ownAddress = &source.Source{ID: "y"}
var none []*source.Source = []*source.Source{}
var bare = source.A
var empty = source.A.At("", source.Memory)
var loose = source.A.At("table 1", standing)
var right = source.A.At("table 1", source.Memory)
`, 0)
	if err != nil {
		t.Fatal(err)
	}
	used := map[string]bool{}
	literals, complaints := inspect(f, []document{good}, used)
	if len(literals) != 2 || len(complaints) != 3 || !used["A"] {
		t.Errorf("literals %q, complaints %q, used %v", literals, complaints, used)
	}
}

var wellFormedID = regexp.MustCompile(`^[a-z0-9]+([.-][a-z0-9]+)*$`)

// notToBeCited are sharing sites and machine-written summaries: good enough to
// find a number, not to point a clinician to.
var notToBeCited = []string{"scribd.com", "studylib.net", "droracle.ai", "docsbay.net", "blogg.se", "wikidoc.org", "pubcompare.ai", "medicaldialogues.in"}

func registerComplaints(docs []document) (complaints []string) {
	seen := map[string]string{}
	once := func(d document, what, value string) {
		if other := seen[what+value]; other != "" {
			complaints = append(complaints, fmt.Sprintf("%s: has the %s of %s, %q", d.name, what, other, value))
		}
		seen[what+value] = d.name
	}
	for _, d := range docs {
		if !wellFormedID.MatchString(d.id) {
			complaints = append(complaints, fmt.Sprintf("%s: id %q is not lower case words joined by hyphens", d.name, d.id))
		}
		if d.title == "" || d.edition == "" {
			complaints = append(complaints, fmt.Sprintf("%s: needs a title and an edition", d.name))
		}
		once(d, "id", d.id)
		once(d, "title and edition", d.title+", "+d.edition)
		if d.link == "" {
			continue
		}
		once(d, "link", d.link)
		u, err := url.Parse(d.link)
		if err != nil || u.Scheme != "https" || u.Host == "" || strings.ContainsAny(d.link, " \t<>") {
			complaints = append(complaints, fmt.Sprintf("%s: link %q is not an https address", d.name, d.link))
			continue
		}
		for _, host := range notToBeCited {
			if u.Host == host || strings.HasSuffix(u.Host, "."+host) {
				complaints = append(complaints, fmt.Sprintf("%s: %s is a copy or a summary, not to be cited", d.name, u.Host))
			}
		}
	}
	return complaints
}

// inspect lists the documents that a file makes itself, and the uses of
// registered ones without a place or without a standing.
func inspect(f *ast.File, docs []document, used map[string]bool) (literals, complaints []string) {
	local := localName(f)
	if local == "" {
		return nil, nil
	}
	names := map[string]bool{}
	for _, d := range docs {
		names[d.name] = true
	}
	placed := map[*ast.SelectorExpr]bool{}
	ast.Inspect(f, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.CompositeLit:
			if of(n.Type, local) == "Source" {
				literals = append(literals, "a source.Source is made here; put the document into package source and use At")
			}
		case *ast.CallExpr:
			at, ok := n.Fun.(*ast.SelectorExpr)
			if !ok || at.Sel.Name != "At" || !names[of(at.X, local)] {
				break
			}
			placed[at.X.(*ast.SelectorExpr)] = true
			name := of(at.X, local)
			if place, ok := n.Args[0].(*ast.BasicLit); ok && strings.Trim(place.Value, `"`) == "" {
				complaints = append(complaints, "source."+name+" is cited without a place")
			}
			if !slices.Contains(standings, of(n.Args[1], local)) {
				complaints = append(complaints, "source."+name+" is cited without one of the standings")
			}
		case *ast.SelectorExpr:
			if name := of(n, local); names[name] {
				used[name] = true
				if !placed[n] {
					complaints = append(complaints, "source."+name+" is used without At: it has neither place nor standing")
				}
			}
		}
		return true
	})
	return literals, complaints
}

// localName is what the file calls package source, empty if it does not import
// it.
func localName(f *ast.File) string {
	for _, spec := range f.Imports {
		if path, _ := strconv.Unquote(spec.Path.Value); path == importPath {
			if spec.Name != nil {
				return spec.Name.Name
			}
			return "source"
		}
	}
	return ""
}

// of returns X of pkg.X, and nothing of other expressions.
func of(e ast.Expr, pkg string) string {
	if s, ok := e.(*ast.SelectorExpr); ok {
		if id, ok := s.X.(*ast.Ident); ok && id.Name == pkg {
			return s.Sel.Name
		}
	}
	return ""
}

// register reads the documents from the files of the package.
func register(t *testing.T) (docs []document) {
	t.Helper()
	for _, f := range parse(t, ".") {
		for _, decl := range f.Decls {
			vars, ok := decl.(*ast.GenDecl)
			if !ok || vars.Tok != token.VAR {
				continue
			}
			for _, spec := range vars.Specs {
				v := spec.(*ast.ValueSpec)
				d := document{name: v.Names[0].Name}
				fields := fields(t, d.name, v.Values[0])
				d.id, d.title, d.edition, d.link = fields["ID"], fields["Title"], fields["Edition"], fields["Link"]
				for _, k := range []string{"ID", "Title", "Edition", "Link"} {
					delete(fields, k)
				}
				if diff := cmp.Diff([]string(nil), slices.Collect(maps.Keys(fields))); diff != "" {
					t.Errorf("%s sets what only a place has (-none +set):\n%s", d.name, diff)
				}
				docs = append(docs, d)
			}
		}
	}
	return docs
}

func fields(t *testing.T, name string, e ast.Expr) map[string]string {
	t.Helper()
	lit, ok := e.(*ast.CompositeLit)
	if !ok {
		t.Fatalf("%s is not a Source written out", name)
	}
	values := map[string]string{}
	for _, elt := range lit.Elts {
		kv := elt.(*ast.KeyValueExpr)
		value, err := strconv.Unquote(kv.Value.(*ast.BasicLit).Value)
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		values[kv.Key.(*ast.Ident).Name] = value
	}
	return values
}

// parse returns the program files of a directory.
func parse(t *testing.T, dir string) (files []*ast.File) {
	t.Helper()
	entries, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range entries {
		if !strings.HasSuffix(e.Name(), ".go") || strings.HasSuffix(e.Name(), "_test.go") {
			continue
		}
		f, err := parser.ParseFile(token.NewFileSet(), filepath.Join(dir, e.Name()), nil, parser.SkipObjectResolution)
		if err != nil {
			t.Fatal(err)
		}
		files = append(files, f)
	}
	return files
}
