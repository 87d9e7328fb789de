package record

import (
	"fmt"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"pgregory.net/rapid"

	"tengram/internal/kernel/when"
)

func TestTheOlderOfTwoVersionsIsTold(t *testing.T) {
	type meta struct{ updated, id string }
	for _, c := range []struct {
		says       string
		older, one meta
	}{
		{"the earlier instant", meta{"2024-01-01T10:00:00Z", ""}, meta{"2024-01-01T10:00:01Z", ""}},
		{"the earlier instant with the later clock", meta{"2024-01-02T00:30:00+14:00", ""}, meta{"2024-01-01T23:00:00-05:00", ""}},
		{"the earlier by less than a thousandth of a second", meta{"2024-01-01T10:00:00.0000001Z", ""}, meta{"2024-01-01T10:00:00.0000002Z", ""}},
		{"the earlier instant whatever the numbers", meta{"2024-01-01T10:00:00Z", "9"}, meta{"2024-01-01T10:00:01Z", "2"}},
		{"the lower number where one has no instant", meta{"2024-01-01T10:00:00Z", "9"}, meta{"", "10"}},
		{"the lower number where one has a date alone", meta{"2025-01-01", "9"}, meta{"2024-01-01T10:00:00Z", "10"}},
		{"the lower number of one instant", meta{"2024-01-01T10:00:00Z", "0"}, meta{"2024-01-01T11:00:00+01:00", "1"}},
	} {
		t.Run(c.says, func(t *testing.T) {
			a, b := VersionOf(c.older.updated, c.older.id), VersionOf(c.one.updated, c.one.id)
			if !a.Before(b) || b.Before(a) {
				t.Errorf("%+v before %+v: %v, the other way round: %v", a, b, a.Before(b), b.Before(a))
			}
		})
	}
	for _, c := range []struct {
		says   string
		one, o meta
	}{
		{"nothing told", meta{}, meta{}},
		{"one instant alone", meta{"2024-01-01T10:00:00Z", ""}, meta{}},
		{"an instant and a number", meta{"2024-01-01T10:00:00Z", ""}, meta{"", "1"}},
		{"the same instant", meta{"2024-01-01T10:00:00Z", ""}, meta{"2024-01-01T05:00:00-05:00", ""}},
		{"no offset", meta{"2024-01-01T10:00:00", ""}, meta{"2024-01-01T11:00:00", ""}},
		{"a year before all", meta{"0001-01-01T00:00:00Z", ""}, meta{"2024-01-01T11:00:00Z", ""}},
		{"no whole number", meta{"", "1.5"}, meta{"", "2"}},
		{"a number with a sign", meta{"", "+1"}, meta{"", "2"}},
		{"a number too long to be one", meta{"", "1"}, meta{"", "99999999999999999999"}},
		{"letters", meta{"", "a1"}, meta{"", "a2"}},
	} {
		t.Run(c.says, func(t *testing.T) {
			a, b := VersionOf(c.one.updated, c.one.id), VersionOf(c.o.updated, c.o.id)
			if a.Before(b) || b.Before(a) {
				t.Errorf("%+v and %+v are told apart", a, b)
			}
		})
	}
}

// Every version of a thing tells when it was changed: their order is nothing.
func TestTheOrderOfVersionsThatTellTheirTimeChangesNothing(t *testing.T) {
	var seen, olderSeen int
	rapid.Check(t, func(t *rapid.T) {
		type thing struct {
			person string
			key    string
			at     int64
		}
		things := []thing{{"a", "", 1}, {"b", "", 1}}
		for range rapid.IntRange(0, 15).Draw(t, "things") {
			things = append(things, thing{rapid.SampledFrom([]string{"a", "b"}).Draw(t, "person"),
				rapid.SampledFrom([]string{"", "Observation/1", "Observation/2"}).Draw(t, "key"), rapid.Int64Range(1, 4).Draw(t, "at")})
		}
		// The content of a version hangs on its time alone; b may be merged into a.
		merge := rapid.Int64Range(0, 5).Draw(t, "merge")
		assemble := func(list []thing) *Assembler {
			var a Assembler
			for _, x := range list {
				v := Version{Updated: x.at}
				if x.key == "" {
					p := Person{ID: x.person, Given: fmt.Sprint(x.at), Version: v}
					if x.person == "b" && x.at >= merge {
						p.ReplacedBy = "a"
					}
					_ = a.Person(p) // never fails
					continue
				}
				f := Fact{Kind: Observation, Key: x.key, Text: fmt.Sprint(x.at), Version: v, Standing: Standing(x.at % 2)}
				_ = a.Fact(x.person, f) // never fails
				for i := range x.at % 3 {
					f.Key = fmt.Sprintf("%s#%d", x.key, i+1)
					_ = a.Fact(x.person, f) // never fails
				}
			}
			return &a
		}
		one, other := assemble(things), assemble(rapid.Permutation(things).Draw(t, "other order"))
		records := one.Records()
		if diff := cmp.Diff(records, other.Records(), cmpopts.EquateComparable(when.Moment{})); diff != "" {
			t.Fatal(diff)
		}
		if one.Older() != other.Older() {
			t.Fatalf("%d older versions, and %d in another order", one.Older(), other.Older())
		}
		newest := map[string]int64{}
		for _, x := range things {
			newest[x.person+x.key] = max(newest[x.person+x.key], x.at)
		}
		for _, r := range records {
			if r.Person.Given != fmt.Sprint(newest[r.Person.ID]) {
				t.Fatalf("person %s is version %s", r.Person.ID, r.Person.Given)
			}
			for _, f := range r.Facts {
				whole, _ := f.Whole()
				want := newest[r.Person.ID+whole]
				if newest["b"] >= merge { // its newest version says that it was merged into a
					want = max(want, newest["b"+whole])
				}
				if f.Version.Updated != want {
					t.Fatalf("%s of %s is version %d, want %d", f.Key, r.Person.ID, f.Version.Updated, want)
				}
			}
		}
		seen, olderSeen = seen+1, olderSeen+one.Older()
	})
	if olderSeen < seen {
		t.Errorf("%d older versions in %d runs: that is no test", olderSeen, seen)
	}
}
