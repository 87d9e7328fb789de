package lint

import "testing"

func TestWhichRoomsMayKnowWhich(t *testing.T) {
	for _, c := range []struct {
		name    string
		sources made
		want    []string
	}{
		{"an adapter may import the kernel, the use cases, a library and its own parts",
			made{"internal/intake/fhir/a.go": `package fhir; import ("os"; "golang.org/x/text/language"; "tengram/internal/kernel/record"; "tengram/internal/clinic"; "tengram/internal/intake/table")`}, nil},
		{"a program may import every adapter",
			made{"cmd/tengram/a.go": `package main; import ("tengram/internal/store/sqlite"; "tengram/internal/web"; "tengram/internal/clinic")`}, nil},
		{"the use cases may import the kernel and the standard library",
			made{"internal/clinic/a.go": `package clinic; import ("context"; "log/slog"; "tengram/internal/kernel/exam"; "tengram/internal/clinic/words")`}, nil},
		{"a test may cross the walls",
			made{"internal/web/a_test.go": `package web; import ("tengram/internal/store/sqlite"; "tengram/internal/testdata")`}, nil},

		{"the pages do not know the store",
			made{"internal/web/a.go": `package web; import "tengram/internal/store/sqlite"`},
			[]string{"internal/web may not import internal/store/sqlite: only the programs in cmd"}},
		{"a part of an adapter does not know another adapter",
			made{"internal/hooks/cards/a.go": `package cards; import "tengram/internal/publish/fhir"`},
			[]string{"internal/hooks may not import internal/publish/fhir"}},
		{"a room that is no adapter does not know one either",
			made{"internal/jobs/a.go": `package jobs; import "tengram/internal/store"`},
			[]string{"internal/jobs may not import internal/store"}},
		{"the use cases do not know an adapter",
			made{"internal/clinic/a.go": `package clinic; import "tengram/internal/access"`},
			[]string{"internal/clinic may import only the kernel"}},
		{"the use cases do not know a room that is no adapter",
			made{"internal/clinic/a.go": `package clinic; import "tengram/internal/jobs"`},
			[]string{"internal/clinic may import only the kernel"}},
		{"the use cases do not know a library",
			made{"internal/clinic/a.go": `package clinic; import "golang.org/x/text/language"`},
			[]string{"not golang.org/x/text/language"}},
		{"no program file leans on the test data",
			made{"internal/intake/a.go": `package intake; import "tengram/internal/testdata"`},
			[]string{"internal/testdata is for tests"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			expect(t, Rooms(c.sources.tree(t)), c.want...)
		})
	}
}

// Every adapter is walled off from every other, and from nothing in itself.
func TestEveryPairOfAdapters(t *testing.T) {
	for _, from := range adapters {
		for _, to := range adapters {
			sources := made{"internal/" + from + "/a.go": `package a; import "tengram/internal/` + to + `/part"`}
			if from == to {
				expect(t, Rooms(sources.tree(t)))
			} else {
				expect(t, Rooms(sources.tree(t)), "internal/"+from+" may not import internal/"+to+"/part")
			}
		}
	}
}
