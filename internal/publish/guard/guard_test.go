package guard

import (
	"regexp"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

func TestWithoutAKeyIdsStayAsTheyAre(t *testing.T) {
	var p Pseudonym
	if p.On() || p.Of("person", "p1") != "p1" {
		t.Errorf("on %v, %q", p.On(), p.Of("person", "p1"))
	}
}

func TestAShortKeyIsRefused(t *testing.T) {
	if _, err := NewPseudonym([]byte("fifteen bytes..")); err == nil {
		t.Error("a key of 15 bytes was taken")
	}
}

func TestPseudonymsAreStableAndApart(t *testing.T) {
	form := regexp.MustCompile(`^[0-9a-f]{8}-[0-9a-f]{4}-8[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$`)
	rapid.Check(t, func(t *rapid.T) {
		keys := rapid.SliceOfNDistinct(rapid.SliceOfN(rapid.Byte(), 16, 32), 2, 2, func(b []byte) string { return string(b) }).Draw(t, "keys")
		ids := rapid.SliceOfNDistinct(rapid.StringN(1, 20, -1), 2, 2, rapid.ID).Draw(t, "ids")
		a, err := NewPseudonym(keys[0])
		if err != nil {
			t.Fatal(err)
		}
		b, err := NewPseudonym(keys[1])
		if err != nil {
			t.Fatal(err)
		}
		one := a.Of("person", ids[0])
		if !form.MatchString(one) || one != a.Of("person", ids[0]) {
			t.Errorf("%q is no stable UUID", one)
		}
		if one == a.Of("person", ids[1]) || one == a.Of("exam", ids[0]) || one == b.Of("person", ids[0]) {
			t.Errorf("%q stands for two things", one)
		}
	})
}

func TestChangingTheKeyAfterwardsChangesNothing(t *testing.T) {
	key := []byte("sixteen bytes of")
	p, err := NewPseudonym(key)
	if err != nil {
		t.Fatal(err)
	}
	before := p.Of("person", "p1")
	key[0] = 'S'
	if after := p.Of("person", "p1"); after != before {
		t.Errorf("%q became %q", before, after)
	}
}

// The limit is 11 (measures reference, section 6.3).
func TestSmallCountsAreLeftOut(t *testing.T) {
	for _, c := range []struct {
		says   string
		counts []int
		want   []bool
	}{
		{"nothing is small", []int{11, 400, 0}, []bool{false, false, false}},
		{"two are small and hide each other", []int{10, 1, 90}, []bool{true, true, false}},
		{"a single one takes the smallest other with it", []int{10, 90, 40}, []bool{true, false, true}},
		{"nought hides nothing", []int{10, 0, 90}, []bool{true, false, true}},
		{"a single one alone", []int{3, 0}, []bool{true, false}},
		{"nobody", nil, []bool{}},
	} {
		if diff := cmp.Diff(c.want, Masked(c.counts)); diff != "" {
			t.Errorf("%s: %s", c.says, diff)
		}
	}
}

func TestNoMaskedCountCanBeFoundFromTheTotal(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		counts := rapid.SliceOfN(rapid.IntRange(0, 60), 0, 8).Draw(t, "counts")
		masked, hidden, others := Masked(counts), 0, 0
		for i, c := range counts {
			if Small(c) && !masked[i] {
				t.Errorf("%d is shown", c)
			}
			if masked[i] {
				hidden++
			} else if c > 0 {
				others++
			}
		}
		if hidden == 1 && others > 0 {
			t.Errorf("a single count of %v is hidden, and the total gives it away", counts)
		}
	})
}
