package trend

import (
	"fmt"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"pgregory.net/rapid"
)

func TestGuardedTables(t *testing.T) {
	show := func(g GuardedGroup) string {
		of, met := fmt.Sprint(g.Of), fmt.Sprint(g.Met)
		if g.OfHidden {
			of = "-"
		}
		if g.MetHidden {
			met = "-"
		}
		return g.Name + " " + met + "/" + of
	}
	for _, c := range []struct {
		name   string
		groups []Group
		want   []string
	}{
		{"large numbers are shown", []Group{{"a", Share{40, 60}}, {"b", Share{50, 90}}}, []string{"a 40/60", "b 50/90", "all 90/150"}},
		{"a small group is hidden, and the smallest other with it: the total would tell",
			[]Group{{"a", Share{5, 8}}, {"b", Share{50, 90}}, {"c", Share{20, 40}}}, []string{"a -/-", "b 50/90", "c -/-", "all 75/138"}},
		{"few who are missing are hidden like few who met", []Group{{"a", Share{57, 60}}, {"b", Share{50, 90}}, {"c", Share{100, 200}}},
			[]string{"a -/60", "b -/90", "c 100/200", "all 207/350"}},
		{"none and all are shown", []Group{{"a", Share{0, 20}}, {"b", Share{30, 30}}, {"c", Share{50, 90}}},
			[]string{"a 0/20", "b 30/30", "c 50/90", "all 80/140"}},
		{"a table of few people is hidden whole", []Group{{"a", Share{2, 5}}, {"b", Share{1, 3}}}, []string{"a -/-", "b -/-", "all -/-"}},
		{"two groups that cannot hide each other take the total along", []Group{{"a", Share{3, 6}}, {"b", Share{3, 5}}}, []string{"a -/-", "b -/-", "all -/-"}},
		{"one group stands for itself", []Group{{"a", Share{40, 60}}}, []string{"a 40/60", "all 40/60"}},
		{"nobody", []Group{{"a", Share{}}}, []string{"a 0/0", "all 0/0"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			g := Guard(c.groups, LeastShown)
			var got []string
			for _, r := range append(g.Groups, g.Total) {
				got = append(got, show(r))
				if r.OfHidden && (r.Of != 0 || r.Met != 0) || r.MetHidden && r.Met != 0 {
					t.Errorf("a hidden number is still there: %+v", r)
				}
			}
			if diff := cmp.Diff(c.want, got, cmpopts.EquateEmpty()); diff != "" {
				t.Error(diff)
			}
		})
	}
}

// An attacker who lists every table that fits what is shown. With a small
// threshold this can be done outright.
func TestNoHiddenNumberCanBePinnedDown(t *testing.T) {
	const least = 3
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 4).Draw(t, "groups")
		var groups []Group
		for i := range n {
			of := rapid.IntRange(0, 7).Draw(t, "of")
			groups = append(groups, Group{fmt.Sprint("g", i), Share{rapid.IntRange(0, of).Draw(t, "met"), of}})
		}
		g := Guard(groups, least)
		for i, r := range g.Groups {
			if !r.OfHidden && few(r.Of, least) || !r.MetHidden && (few(r.Met, least) || few(r.Of-r.Met, least)) {
				t.Fatalf("small number shown: %+v", r)
			}
			if !r.OfHidden && r.Of != groups[i].Of || !r.MetHidden && r.Met != groups[i].Met {
				t.Fatalf("a shown number was changed: %+v", r)
			}
		}
		sizes, mets := make([]map[int]bool, n), make([]map[int]bool, n)
		for i := range n {
			sizes[i], mets[i] = map[int]bool{}, map[int]bool{}
		}
		var try func(i int, chosen []Share, sum Share)
		try = func(i int, chosen []Share, sum Share) {
			if i == n {
				if !g.Total.OfHidden && sum.Of != g.Total.Of || !g.Total.MetHidden && sum.Met != g.Total.Met {
					return
				}
				for j, s := range chosen {
					sizes[j][s.Of], mets[j][s.Met] = true, true
				}
				return
			}
			r := g.Groups[i]
			// A group without anybody would be shown as such.
			lowOf, highOf := 1, 12
			if !r.OfHidden {
				lowOf, highOf = r.Of, r.Of
			}
			for of := lowOf; of <= highOf; of++ {
				lowMet, highMet := 0, of
				if !r.MetHidden {
					lowMet, highMet = r.Met, r.Met
				}
				for met := lowMet; met <= highMet; met++ {
					try(i+1, append(chosen, Share{met, of}), sum.Plus(Share{met, of}))
				}
			}
		}
		try(0, nil, Share{})
		for i, r := range g.Groups {
			if r.OfHidden && len(sizes[i]) < least {
				t.Fatalf("size of %s is one of %v: %+v", r.Name, sizes[i], g)
			}
			if r.MetHidden && len(mets[i]) < least {
				t.Fatalf("met of %s is one of %v: %+v", r.Name, mets[i], g)
			}
		}
	})
}

func few(n, least int) bool { return n > 0 && n < least }
