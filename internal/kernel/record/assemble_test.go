package record

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"pgregory.net/rapid"

	"tengram/internal/kernel/when"
)

// told is one thing that an Assembler is given, in words: "person a",
// "person a>b" (a was replaced by b), "person b<a" (b replaces a),
// "a Kind key start text" or "remove key"; "@7" at the end of a person or of a
// fact's key is a version.
func tell(a *Assembler, told string) {
	words := strings.Fields(told)
	var version Version
	for i, word := range words {
		if rest, at, ok := strings.Cut(word, "@"); ok {
			words[i], version = rest, VersionOf("", at)
		}
	}
	switch words[0] {
	case "person":
		p := Person{Identifiers: []string{"mrn|" + strings.Trim(words[1][:1], "<>")}}
		var ok bool
		if p.ID, p.ReplacedBy, ok = strings.Cut(words[1], ">"); !ok {
			id, old, ok := strings.Cut(words[1], "<")
			if p.ID = id; ok {
				p.Replaces = []string{old}
			}
		}
		p.Version = version
		_ = a.Person(p) // never fails
	case "remove":
		_ = a.Remove(words[1]) // never fails
	default:
		f := Fact{Kind: Condition, Key: words[2], Version: version}
		if words[1] == "observation" {
			f.Kind = Observation
		}
		if len(words) > 3 && words[3] != "-" {
			f.Start = when.MustMoment(words[3])
		}
		if len(words) > 4 {
			f.Text = words[4]
		}
		_ = a.Fact(words[0], f) // never fails
	}
}

// shown is the records and orphans in words.
func shown(a *Assembler) (lines []string) {
	for _, r := range a.Records() {
		line := r.Person.ID + ":"
		for _, f := range r.Facts {
			line += " " + f.Key
			if f.Text != "" {
				line += "=" + f.Text
			}
		}
		lines = append(lines, line)
	}
	for _, o := range a.Orphans() {
		lines = append(lines, fmt.Sprintf("orphan %s %d", o.Person, o.Facts))
	}
	return lines
}

func TestRecordsArePutTogether(t *testing.T) {
	for _, c := range []struct {
		says string
		told []string
		want []string
	}{
		{"nothing", nil, nil},
		{"people by id", []string{"person b", "person a"}, []string{"a:", "b:"}},
		{"facts before and after their person", []string{"a condition c/1", "person a", "a condition c/2"}, []string{"a: c/1 c/2"}},
		{"facts by kind, then start, then key", []string{"person a", "a observation o/1 2001", "a condition c/3 2010-01-02", "a condition c/2 2010-01-02", "a condition c/4 2009", "a condition c/1"},
			[]string{"a: c/1 c/4 c/2 c/3 o/1"}},
		{"the last of one key", []string{"person a", "a condition c/1 2010 old", "a condition c/2", "a condition c/1 2011 new"}, []string{"a: c/2 c/1=new"}},
		{"a newer version before an older", []string{"person a", "a condition c/1@2 2010 new", "a condition c/1@1 2011 old"}, []string{"a: c/1=new"}},
		{"a newer version after an older", []string{"person a", "a condition c/1@1 2010 old", "a condition c/1@2 2011 new"}, []string{"a: c/1=new"}},
		{"one version among others without", []string{"person a", "a condition c/1@2 2010 old", "a condition c/1 2011 new"}, []string{"a: c/1=new"}},
		{"a newer person before an older", []string{"person a@2", "person a>b@1", "person b"}, []string{"a:", "b:"}},
		{"the parts of the newer version alone", []string{"person a", "a observation o/1@2", "a observation o/1#1@2 - new", "a observation o/1@1", "a observation o/1#1@1 - old", "a observation o/1#2@1 - old"},
			[]string{"a: o/1 o/1#1=new"}},
		{"a newer version on the old side of a merge", []string{"person a>b", "person b", "b condition c/1@1 2010 old", "a condition c/1@2 2010 new"}, []string{"b: c/1=new"}},
		{"an older version on the old side of a merge", []string{"person a>b", "person b", "b condition c/1@2 2010 new", "a condition c/1@1 2010 old", "a condition c/1#1@1 2010 old"}, []string{"b: c/1=new"}},
		{"the same fact twice", []string{"person a", "a condition c/1 2010 x", "a condition c/1 2010 x"}, []string{"a: c/1=x"}},
		{"one key of two people", []string{"person a", "person b", "a condition c/1", "b condition c/1"}, []string{"a: c/1", "b: c/1"}},
		{"the last of one person", []string{"person a>b", "person a"}, []string{"a:"}},
		{"parts that an amended whole no longer has", []string{"person a", "a observation o/1", "a observation o/1#1", "a observation o/1#2", "a observation o/1", "a observation o/1#1 - new"},
			[]string{"a: o/1 o/1#1=new"}},
		{"nobody's facts", []string{"person a", "z condition c/1", "y condition c/2", "z condition c/1"}, []string{"a:", "orphan y 1", "orphan z 1"}},

		{"somebody who was replaced", []string{"person a>b", "person b", "a condition c/1", "b condition c/2"}, []string{"b: c/1 c/2"}},
		{"somebody who replaces", []string{"person a", "person b<a", "a condition c/1"}, []string{"b: c/1"}},
		{"somebody who replaces a person who is gone", []string{"person b<a", "a condition c/1"}, []string{"b: c/1"}},
		{"a chain of replacements", []string{"person a>b", "person b>c", "person c", "a condition c/1", "b condition c/2"}, []string{"c: c/1 c/2"}},
		{"one fact of both sides of a merge", []string{"person a>b", "person b", "a condition c/1 2010 x", "b condition c/1 2010 x"}, []string{"b: c/1=x"}},
		{"a replacement who never came", []string{"person a>b", "a condition c/1"}, []string{"a: c/1"}},
		{"replacements in a circle", []string{"person a>b", "person b>a", "a condition c/1", "b condition c/2"}, []string{"a: c/1", "b: c/2"}},
		{"a replacement by somebody in a circle", []string{"person a>b", "person b>c", "person c>b", "a condition c/1"}, []string{"a: c/1", "b:", "c:"}},

		{"a fact taken back", []string{"person a", "a condition c/1", "remove c/1", "a condition c/2"}, []string{"a: c/2"}},
		{"a fact taken back before it came", []string{"remove c/1", "person a", "a condition c/1"}, []string{"a:"}},
		{"a fact taken back with its parts", []string{"person a", "a observation o/1", "a observation o/1#1", "remove o/1"}, []string{"a:"}},
		{"a person taken back", []string{"person a", "a condition c/1", "remove Patient/a"}, []string{"orphan a 1"}},
		{"a replacement who was taken back", []string{"person a>b", "person b", "a condition c/1", "remove Patient/b"}, []string{"a: c/1"}},
	} {
		t.Run(c.says, func(t *testing.T) {
			var a Assembler
			for _, told := range c.told {
				tell(&a, told)
			}
			if diff := cmp.Diff(c.want, shown(&a)); diff != "" {
				t.Error(diff)
			}
			if diff := cmp.Diff(c.want, shown(&a)); diff != "" {
				t.Errorf("asked again: %s", diff)
			}
			for _, told := range c.told {
				tell(&a, told)
			}
			if diff := cmp.Diff(c.want, shown(&a)); diff != "" {
				t.Errorf("told again: %s", diff)
			}
		})
	}
}

func TestAMergeKeepsTheIdentifiersOfBoth(t *testing.T) {
	var a Assembler
	for _, told := range []string{"person a>b", "person b", "person c"} {
		tell(&a, told)
	}
	records := a.Records()
	if diff := cmp.Diff([]string{"mrn|b", "mrn|a"}, records[0].Person.Identifiers); diff != "" {
		t.Error(diff)
	}
	if diff := cmp.Diff([]string{"mrn|c"}, records[1].Person.Identifiers); diff != "" {
		t.Error(diff)
	}
}

// Starts of all precisions, among them two instants whose order by clock and by
// day as written differ.
var starts = []string{"-", "2018", "2018-05", "2018-05-10", "2018-05-10T09:00:00Z", "2018-05-11T00:30:00+14:00", "2018-05-10T23:00:00Z", "2018-05-10T09:00", "2018-04/2018-05-10"}

func TestTheOrderOfArrivalChangesNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var told []string
		ids := []string{"a", "b", "c", "d"}
		for i, id := range ids {
			to := rapid.IntRange(0, 3).Draw(t, "link")
			switch {
			case to < i:
				told = append(told, "person "+id+">"+ids[to])
			case rapid.Bool().Draw(t, "comes"):
				told = append(told, "person "+id)
			}
		}
		for i := range rapid.IntRange(0, 12).Draw(t, "facts") {
			told = append(told, fmt.Sprintf("%s %s k/%d %s", rapid.SampledFrom(ids).Draw(t, "of"),
				rapid.SampledFrom([]string{"condition", "observation"}).Draw(t, "kind"), i, rapid.SampledFrom(starts).Draw(t, "start")))
		}
		if rapid.Bool().Draw(t, "removal") {
			told = append(told, "remove k/0")
		}
		other := rapid.Permutation(told).Draw(t, "other order")
		var a, b Assembler
		for i := range told {
			tell(&a, told[i])
			tell(&b, other[i])
		}
		if diff := cmp.Diff(a.Records(), b.Records(), cmpopts.EquateComparable(when.Moment{})); diff != "" {
			t.Fatal(diff)
		}
		if diff := cmp.Diff(a.Orphans(), b.Orphans()); diff != "" {
			t.Fatal(diff)
		}
		n := 0
		for _, r := range a.Records() {
			n += len(r.Facts)
		}
		for _, o := range a.Orphans() {
			n += o.Facts
		}
		want := strings.Count(strings.Join(told, "\n"), " k/")
		if slices.Contains(told, "remove k/0") && want > 0 {
			want-- // the removal's own line
			if want > 0 {
				want--
			}
		}
		if n != want {
			t.Fatalf("%d facts of %d in records and orphans", n, want)
		}
	})
}
