package lint

import "testing"

func TestWhatTheKernelMayImport(t *testing.T) {
	for _, c := range []struct {
		name    string
		sources made
		want    []string
	}{
		{"an earlier package and the computing part of the standard library",
			made{"internal/kernel/foot/a.go": `package foot; import ("fmt"; "strings"; "time"; "tengram/internal/kernel/known")`}, nil},
		{"anything at all in a test",
			made{"internal/kernel/foot/a_test.go": `package foot; import ("os"; "net/http"; "tengram/internal/kernel/risk")`}, nil},
		{"a later package",
			made{"internal/kernel/foot/a.go": `package foot; import "tengram/internal/kernel/risk"`},
			[]string{"foot may not import risk, which comes after it"}},
		{"itself",
			made{"internal/kernel/foot/a.go": `package foot; import "tengram/internal/kernel/foot"`},
			[]string{"foot may not import foot"}},
		{"files",
			made{"internal/kernel/foot/a.go": `package foot; import "os"`},
			[]string{"the kernel may not use os: it has no input or output"}},
		{"the network",
			made{"internal/kernel/foot/a.go": `package foot; import "net/http"`},
			[]string{"may not use net/http"}},
		{"chance",
			made{"internal/kernel/foot/a.go": `package foot; import "math/rand/v2"`},
			[]string{"may not use math/rand/v2"}},
		{"a library",
			made{"internal/kernel/foot/a.go": `package foot; import "golang.org/x/text/language"`},
			[]string{"stands on the standard library alone"}},
		{"an outer package of ours",
			made{"internal/kernel/foot/a.go": `package foot; import "tengram/internal/clinic"`},
			[]string{"dependencies point inward"}},
		{"a name of the repository that only looks like the kernel",
			made{"internal/kernel/foot/a.go": `package foot; import "tengram/internal/kernels/known"`},
			[]string{"dependencies point inward"}},
		{"an earlier package by dot",
			made{"internal/kernel/foot/a.go": `package foot; import . "tengram/internal/kernel/known"`},
			[]string{"nothing by dot"}},
		{"a package that is not in the order",
			made{"internal/kernel/foot/a.go": `package foot; import "tengram/internal/kernel/shoe"`},
			[]string{"shoe has no place in the order"}},
		{"from a package that is not in the order",
			made{"internal/kernel/shoe/a.go": `package shoe`},
			[]string{`"shoe" has no place in the order`}},
		{"from a package below one in the order",
			made{"internal/kernel/foot/toe/a.go": `package toe`},
			[]string{`"foot/toe" has no place in the order`}},
		{"two wrong things in two files",
			made{"internal/kernel/foot/a.go": `package foot; import "os"`, "internal/kernel/foot/b.go": `package foot; import "log"`},
			[]string{"may not use os", "may not use log"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			expect(t, KernelImports(c.sources.tree(t)), c.want...)
		})
	}
}
