package lint

import "testing"

func TestWhatTheKernelMayDo(t *testing.T) {
	const file = "internal/kernel/foot/a.go"
	const table = "; var table = []int{2, 1}; "
	for _, c := range []struct {
		name, source string
		want         []string
	}{
		{"compute with the dates it is given",
			`package foot; import "time"; func f(a, b time.Time) time.Duration { return b.Sub(a) }`, nil},
		{"declare a table and read it",
			`package foot` + table + `func f(i int) int { for _, x := range table { i += x }; return table[i] }`, nil},
		{"change a variable of its own that hides a table",
			`package foot` + table + `func f() { table := []int{1}; table[0] = 2; table = nil; _ = table }`, nil},
		{"sort a copy of a table",
			`package foot; import "slices"` + table + `func f() []int { own := slices.Clone(table); slices.Sort(own); return own }`, nil},
		{"call its own function Now, or a method of that name",
			`package foot; type clock struct{}; func (clock) Now() int { return 0 }; func Now() int { var time clock; return time.Now() }`, nil},
		{"format text",
			`package foot; import "fmt"; func f() string { return fmt.Sprintf("%d", 1) }`, nil},

		{"read the clock",
			`package foot; import "time"; func f() time.Time { return time.Now() }`, []string{"may not use time.Now"}},
		{"read the clock under another name",
			`package foot; import t "time"; func f() t.Time { return t.Now() }`, []string{"may not use time.Now"}},
		{"take the clock without calling it",
			`package foot; import "time"; var clock = time.Now`, []string{"may not use time.Now"}},
		{"measure the time since",
			`package foot; import "time"; func f(a time.Time) time.Duration { return time.Since(a) }`, []string{"may not use time.Since"}},
		{"measure the time until",
			`package foot; import "time"; func f(a time.Time) time.Duration { return time.Until(a) }`, []string{"may not use time.Until"}},
		{"use the time zone of the machine",
			`package foot; import "time"; func f(a time.Time) time.Time { return a.In(time.Local) }`, []string{"may not use time.Local"}},
		{"print",
			`package foot; import "fmt"; func f() { fmt.Println() }`, []string{"may not use fmt.Println"}},
		{"start a goroutine",
			`package foot; func f() { go f() }`, []string{"starts no goroutines"}},

		{"assign a package-level variable",
			`package foot; var last int; func f() { last = 1 }`, []string{"variable last is assigned"}},
		{"assign one in init",
			`package foot; var last int; func init() { last = 1 }`, []string{"variable last is assigned"}},
		{"assign one among others",
			`package foot; var last int; func f() (a int) { a, last = 1, 2; return a }`, []string{"variable last is assigned"}},
		{"count one up",
			`package foot; var calls int; func f() { calls++ }`, []string{"variable calls is counted"}},
		{"add to one",
			`package foot; var calls int; func f() { calls += 2 }`, []string{"variable calls is assigned"}},
		{"assign one by range",
			`package foot; var i int; func f(s []int) { for i = range s {} }`, []string{"variable i is assigned by range"}},
		{"put into a package-level map",
			`package foot; var seen = map[string]int{}; func f() { seen["a"] = 1 }`, []string{"variable seen is assigned"}},
		{"take out of one",
			`package foot; var seen = map[string]int{}; func f() { delete(seen, "a") }`, []string{"changed by delete"}},
		{"empty one",
			`package foot; var seen = map[string]int{}; func f() { clear(seen) }`, []string{"changed by clear"}},
		{"assign an element of a table",
			`package foot` + table + `func f() { table[0] = 1 }`, []string{"variable table is assigned"}},
		{"copy over a table",
			`package foot` + table + `func f() { copy(table[1:], table) }`, []string{"changed by copy"}},
		{"assign a field, through a pointer and brackets",
			`package foot; type s struct{ n int }; var p = new(s); func f() { (*p).n = 1 }`, []string{"variable p is assigned"}},
		{"sort a table where it lies",
			`package foot; import "slices"` + table + `func f() { slices.Sort(table) }`, []string{"changed by slices.Sort"}},
		{"sort a table in the older way",
			`package foot; import "sort"` + table + `func f() { sort.Ints(table) }`, []string{"changed by sort.Ints"}},
		{"copy into a map",
			`package foot; import "maps"; var seen = map[string]int{}; func f(m map[string]int) { maps.Copy(seen, m) }`, []string{"changed by maps.Copy"}},
		{"hand out the address of a variable",
			`package foot; var n int; func f() *int { return &n }`, []string{"handed out by address"}},
		{"assign an element of another package's table",
			`package foot; import "tengram/internal/kernel/known"; func f() { known.Words[0] = "" }`, []string{"tengram/internal/kernel/known.Words is assigned"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			expect(t, KernelPurity(made{file: c.source}.tree(t)), c.want...)
		})
	}
}

func TestAVariableOfAnotherFileOfThePackageIsSeen(t *testing.T) {
	sources := made{
		"internal/kernel/foot/a.go": `package foot; var last int`,
		"internal/kernel/foot/b.go": `package foot; func f() { last = 1 }`,
	}
	expect(t, KernelPurity(sources.tree(t)), "variable last is assigned")
}

func TestOnlyTheKernelMustBePure(t *testing.T) {
	sources := made{"internal/web/a.go": `package web; import "time"; func f() time.Time { return time.Now() }`}
	expect(t, KernelPurity(sources.tree(t)))
}
