package lint

import (
	"slices"
	"strings"
)

const kernel = "internal/kernel"

// order lists the kernel's packages. Each may import only those before it, so
// that a reader can take them in this order and never look ahead.
var order = []string{
	"source", "known", "when", "term",
	"foot", "neuro", "perfusion", "wound", "heat",
	"exam", "danger", "risk", "plan", "teach", "assess",
	"record", "cohort", "measure", "recall", "trend", "forecast", "calc",
}

// kernelMayUse is the part of the standard library that computes and does
// nothing else.
var kernelMayUse = []string{
	"bytes", "cmp", "encoding", "encoding/json", "errors", "fmt", "iter", "maps",
	"math", "math/bits", "slices", "sort", "strconv", "strings", "sync", "time",
	"unicode", "unicode/utf8",
}

// KernelImports finds imports that would let something into the kernel, or let
// its packages look ahead of their place in the order.
func KernelImports(t *Tree) []Finding {
	var found []Finding
	for _, files := range t.packages(kernel) {
		name := strings.TrimPrefix(files[0].pkg, kernel+"/")
		place := slices.Index(order, name)
		if place < 0 {
			found = append(found, t.finding(files[0].syntax.Package,
				"kernel package %q has no place in the order of reading: give it one in internal/lint/order.go, or put the code into a package that has", name))
			continue
		}
		for _, f := range files {
			for _, spec := range f.syntax.Imports {
				if why := kernelRefuses(place, spec.Path.Value); why != "" {
					found = append(found, t.finding(spec.Pos(), "%s", why))
				}
				if spec.Name != nil && spec.Name.Name == "." {
					found = append(found, t.finding(spec.Pos(),
						"the kernel imports nothing by dot: the checks of what a package uses could not see it"))
				}
			}
		}
	}
	return found
}

// kernelRefuses says why the package at a place in the order may not import
// what is quoted, or nothing if it may.
func kernelRefuses(place int, quoted string) string {
	full := strings.Trim(quoted, "`\"")
	below, ours := strings.CutPrefix(full, module+"/")
	if !ours {
		switch {
		case slices.Contains(kernelMayUse, full):
			return ""
		case standard(full):
			return "the kernel may not use " + full + ": it has no input or output, no clock and no chance, so that the same exam gives the same answer on the server and on a tablet; take the value as an argument"
		default:
			return "the kernel may not use " + full + ": it stands on the standard library alone, so that its rules can be read and trusted whole"
		}
	}
	name, inKernel := strings.CutPrefix(below, kernel+"/")
	if !inKernel {
		return "the kernel may not import " + below + ": dependencies point inward; let the outer package call the kernel"
	}
	other := slices.Index(order, name)
	if other < 0 {
		return "the kernel package " + name + " has no place in the order of reading in internal/lint/order.go"
	}
	if other >= place {
		return order[place] + " may not import " + name + ", which comes after it: a later stage never feeds an earlier one; move the shared part to an earlier package"
	}
	return ""
}
