package lint

import (
	"errors"
	"go/ast"
	"go/token"
	"go/types"
	"slices"
)

// impure lists what the kernel may not call in packages that it may import.
var impure = map[string][]string{
	"time": {"Now", "Since", "Until", "Sleep", "After", "AfterFunc", "Tick", "NewTicker", "NewTimer", "Local", "LoadLocation"},
	"fmt":  {"Print", "Printf", "Println", "Scan", "Scanf", "Scanln"},
}

// changesFirst lists functions that change what their first argument holds.
var changesFirst = map[string][]string{
	"sort":   {"Float64s", "Ints", "Slice", "SliceStable", "Sort", "Stable", "Strings"},
	"slices": {"Compact", "CompactFunc", "Delete", "DeleteFunc", "Insert", "Replace", "Reverse", "Sort", "SortFunc", "SortStableFunc"},
	"maps":   {"Copy", "DeleteFunc", "Insert"},
}

// KernelPurity finds clocks, printing, goroutines and package-level variables
// that change, in the kernel.
func KernelPurity(t *Tree) []Finding {
	var found []Finding
	for _, files := range t.packages(kernel) {
		p := &purity{tree: t, info: resolve(t, files)}
		for _, f := range files {
			ast.Inspect(f.syntax, p.visit)
		}
		found = append(found, p.found...)
	}
	return found
}

// resolve finds out what each name in a package stands for. Imports are left
// unresolved, which is an error to the type checker but not to us: the names of
// the package itself, and which names are imports, are all that we ask.
func resolve(t *Tree, files []file) *types.Info {
	info := &types.Info{Uses: map[*ast.Ident]types.Object{}}
	config := types.Config{Importer: noImports{}, Error: func(error) {}}
	var syntax []*ast.File
	for _, f := range files {
		syntax = append(syntax, f.syntax)
	}
	_, _ = config.Check(files[0].pkg, t.fset, syntax, info)
	return info
}

type noImports struct{}

func (noImports) Import(string) (*types.Package, error) {
	return nil, errors.New("imports are not followed")
}

// purity walks the files of one package.
type purity struct {
	tree  *Tree
	info  *types.Info
	found []Finding
}

func (p *purity) visit(n ast.Node) bool {
	switch n := n.(type) {
	case *ast.GoStmt:
		p.report(n, "the kernel starts no goroutines: an answer must not hang on which came first")
	case *ast.SelectorExpr:
		if pkg, name := p.imported(n); slices.Contains(impure[pkg], name) {
			p.report(n, "the kernel may not use %s.%s: time comes in as an argument, results go out as return values", pkg, name)
		}
	case *ast.AssignStmt:
		for _, left := range n.Lhs {
			p.changed(left, "assigned")
		}
	case *ast.RangeStmt:
		if n.Tok == token.ASSIGN {
			p.changed(n.Key, "assigned by range")
			p.changed(n.Value, "assigned by range")
		}
	case *ast.IncDecStmt:
		p.changed(n.X, "counted up or down")
	case *ast.UnaryExpr:
		if n.Op == token.AND {
			p.changed(n.X, "handed out by address")
		}
	case *ast.CallExpr:
		p.call(n)
	}
	return true
}

// call reports a call that changes a package-level variable through its first
// argument.
func (p *purity) call(n *ast.CallExpr) {
	if len(n.Args) == 0 {
		return
	}
	switch fun := n.Fun.(type) {
	case *ast.Ident:
		if b, ok := p.info.Uses[fun].(*types.Builtin); ok && slices.Contains([]string{"clear", "copy", "delete"}, b.Name()) {
			p.changed(n.Args[0], "changed by "+b.Name())
		}
	case *ast.SelectorExpr:
		if pkg, name := p.imported(fun); slices.Contains(changesFirst[pkg], name) {
			p.changed(n.Args[0], "changed by "+pkg+"."+name)
		}
	}
}

// changed reports e if it is a package-level variable, of this package or of
// another, or a part of one.
func (p *purity) changed(e ast.Expr, how string) {
	for {
		switch x := e.(type) {
		case *ast.ParenExpr:
			e = x.X
		case *ast.IndexExpr:
			e = x.X
		case *ast.SliceExpr:
			e = x.X
		case *ast.StarExpr:
			e = x.X
		case *ast.SelectorExpr:
			if pkg, name := p.imported(x); pkg != "" {
				p.report(x, "%s.%s is %s: what a package declares is the same from start to end; copy it first", pkg, name, how)
				return
			}
			e = x.X
		case *ast.Ident:
			v, ok := p.info.Uses[x].(*types.Var)
			if ok && v.Pkg() != nil && v.Parent() == v.Pkg().Scope() {
				p.report(x, "package-level variable %s is %s: the kernel keeps no state; pass the value, or copy it first", x.Name, how)
			}
			return
		default:
			return
		}
	}
}

// imported returns the path and the name if s is something of another package.
func (p *purity) imported(s *ast.SelectorExpr) (pkg, name string) {
	id, ok := s.X.(*ast.Ident)
	if !ok {
		return "", ""
	}
	if of, ok := p.info.Uses[id].(*types.PkgName); ok {
		return of.Imported().Path(), s.Sel.Name
	}
	return "", ""
}

func (p *purity) report(n ast.Node, format string, args ...any) {
	p.found = append(p.found, p.tree.finding(n.Pos(), format, args...))
}
