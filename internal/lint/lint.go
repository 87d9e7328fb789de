// Package lint holds the rules of the house that a compiler cannot see: which
// package may import which, and that the kernel stays pure. Its tests run the
// rules over this repository, and over small made-up trees that break each one.
//
// Every rule speaks of the files that go into a program; test files are free.
package lint

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"path"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
)

// module is the import path that everything in the repository begins with.
const module = "tengram"

// Finding is one place where a rule is broken.
type Finding struct {
	Where token.Position
	Why   string // what was found, which rule it breaks, what to do instead
}

func (f Finding) String() string { return fmt.Sprintf("%s: %s", f.Where, f.Why) }

// Tree is the parsed program files of a repository.
type Tree struct {
	fset  *token.FileSet
	files []file
}

// file is one parsed file.
type file struct {
	pkg    string // import path below the module, such as "internal/kernel/foot"
	syntax *ast.File
}

// Load parses the program files in cmd and internal below root.
func Load(root string) (*Tree, error) {
	t := &Tree{fset: token.NewFileSet()}
	for _, top := range []string{"cmd", "internal"} {
		err := filepath.WalkDir(filepath.Join(root, top), func(name string, d fs.DirEntry, err error) error {
			if err != nil || d.IsDir() || !isProgramFile(name) {
				return err
			}
			below, err := filepath.Rel(root, name)
			if err != nil {
				return err
			}
			return t.add(filepath.ToSlash(below), name, nil)
		})
		if err != nil {
			return nil, err
		}
	}
	return t, nil
}

func isProgramFile(name string) bool {
	return strings.HasSuffix(name, ".go") && !strings.HasSuffix(name, "_test.go")
}

// add parses one file: below is its path in the repository, name the path to
// read it from unless src is given.
func (t *Tree) add(below, name string, src any) error {
	syntax, err := parser.ParseFile(t.fset, name, src, parser.SkipObjectResolution)
	if err != nil {
		return err
	}
	t.files = append(t.files, file{pkg: path.Dir(below), syntax: syntax})
	return nil
}

// packages returns the files of the packages under prefix, grouped by package
// in the order of their names.
func (t *Tree) packages(prefix string) [][]file {
	byName := map[string][]file{}
	for _, f := range t.files {
		if within(f.pkg, prefix) {
			byName[f.pkg] = append(byName[f.pkg], f)
		}
	}
	var names []string
	for name := range byName {
		names = append(names, name)
	}
	slices.Sort(names)
	groups := make([][]file, 0, len(names))
	for _, name := range names {
		groups = append(groups, byName[name])
	}
	return groups
}

// finding places a finding at pos.
func (t *Tree) finding(pos token.Pos, format string, args ...any) Finding {
	return Finding{Where: t.fset.Position(pos), Why: fmt.Sprintf(format, args...)}
}

// imported returns the path that spec imports and, if it lies in this
// repository, its path below the module.
func imported(spec *ast.ImportSpec) (full, below string) {
	full, err := strconv.Unquote(spec.Path.Value)
	if err != nil {
		return spec.Path.Value, ""
	}
	below, ours := strings.CutPrefix(full, module+"/")
	if !ours {
		return full, ""
	}
	return full, below
}

// standard reports whether an import path belongs to the standard library:
// only there has the first element no dot and is not our module.
func standard(full string) bool {
	first, _, _ := strings.Cut(full, "/")
	return !strings.Contains(first, ".") && first != module
}

// within reports whether pkg is prefix or lies below it.
func within(pkg, prefix string) bool {
	return pkg == prefix || strings.HasPrefix(pkg, prefix+"/")
}
