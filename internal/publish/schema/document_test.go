package schema_test

import (
	"strconv"
	"strings"
	"testing"
)

// set changes a JSON document at a JSON Pointer, making the objects on the way;
// a nil value takes the member away.
func set(t testing.TB, doc any, path string, value any) {
	t.Helper()
	steps := strings.Split(strings.TrimPrefix(path, "/"), "/")
	last := steps[len(steps)-1]
	for _, step := range steps[:len(steps)-1] {
		switch at := doc.(type) {
		case map[string]any:
			if at[step] == nil {
				at[step] = map[string]any{}
			}
			doc = at[step]
		case []any:
			doc = at[index(t, step, len(at))]
		default:
			t.Fatalf("nothing at %s in %s", step, path)
		}
	}
	switch at := doc.(type) {
	case map[string]any:
		if value == nil {
			delete(at, last)
		} else {
			at[last] = value
		}
	case []any:
		at[index(t, last, len(at))] = value
	default:
		t.Fatalf("nothing at %s", path)
	}
}

func index(t testing.TB, step string, n int) int {
	t.Helper()
	i, err := strconv.Atoi(step)
	if err != nil || i >= n {
		t.Fatalf("no element %q", step)
	}
	return i
}
