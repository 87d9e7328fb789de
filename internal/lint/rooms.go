package lint

import (
	"slices"
	"strings"
)

// adapters are the rooms that touch the outside world. They do not know each
// other; the programs in cmd introduce them.
var adapters = []string{"intake", "publish", "store", "web", "hooks", "access"}

// Rooms finds imports across the walls between the packages of internal.
func Rooms(t *Tree) []Finding {
	var found []Finding
	for _, files := range t.packages("internal") {
		for _, f := range files {
			from := room(f.pkg)
			for _, spec := range f.syntax.Imports {
				full, below := imported(spec)
				if why := roomRefuses(from, full, below); why != "" {
					found = append(found, t.finding(spec.Pos(), "%s", why))
				}
			}
		}
	}
	return found
}

// room is the first element of a path below internal.
func room(pkg string) string {
	rest, ok := strings.CutPrefix(pkg, "internal/")
	if !ok {
		return ""
	}
	name, _, _ := strings.Cut(rest, "/")
	return name
}

// roomRefuses says why a package of room from may not import full, or nothing
// if it may. below is the path below the module of an import of our own.
func roomRefuses(from, full, below string) string {
	to := room(below)
	switch {
	case to == from && to != "":
		return ""
	case to == "testdata" || to == "lint":
		return "internal/" + to + " is for tests: no program file may import it"
	case from == "clinic" && to != "kernel" && !standard(full):
		return "internal/clinic may import only the kernel, not " + full + ": a use case states what it needs as an interface, and an adapter fulfils it"
	case slices.Contains(adapters, to):
		return "internal/" + from + " may not import " + below + ": only the programs in cmd know an adapter; take an interface or a value instead"
	}
	return ""
}
