package guard

import (
	"regexp"
	"testing"

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
func TestSmallCountsMayPointAtAPerson(t *testing.T) {
	for n, want := range map[int]bool{0: false, 1: true, 10: true, 11: false, 400: false} {
		if got := Small(n); got != want {
			t.Errorf("%d: %v", n, got)
		}
	}
}
