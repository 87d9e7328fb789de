package foot

import (
	"encoding/json"
	"testing"

	"tengram/internal/kernel/known"
)

func TestAmputationTakesPlacesAway(t *testing.T) {
	rows := []struct {
		name        string
		loss        Loss
		gone, there []Place
	}{
		{"nothing recorded keeps every place, so that it is asked for", Loss{}, nil, []Place{Hallux, MTH1, Heel}},
		{"a whole foot", Loss{Level: Whole}, []Place{Stump}, []Place{Hallux, Web1, MTH5, Heel, Dorsum}},
		{"the great toe alone leaves its metatarsal head", Loss{Level: ToesOnly, Toes: ToesOf(1)}, []Place{Hallux, HalluxTop, Web1}, []Place{Toe2, Web2, MTH1}},
		{"a fifth ray takes the toe and the head", Loss{Level: ToesOnly, Rays: ToesOf(5)}, []Place{Toe5, Web4, MTH5}, []Place{Toe4, MTH4}},
		{"transmetatarsal takes toes and heads", Loss{Level: Transmetatarsal}, []Place{Hallux, Toe5Top, Web3, MTH3}, []Place{MidfootMedial, Heel, Dorsum, Stump}},
		{"hindfoot leaves the heel", Loss{Level: Hindfoot}, []Place{MTH1, MidfootLateral, Dorsum}, []Place{Heel, HeelBack, AnkleMedial, Stump}},
		{"below the knee leaves only the stump", Loss{Level: BelowKnee}, []Place{Hallux, Heel, AnkleLateral}, []Place{Stump}},
	}
	for _, r := range rows {
		for _, p := range r.gone {
			if r.loss.Has(p) {
				t.Errorf("%s: %v should be gone", r.name, p)
			}
		}
		for _, p := range r.there {
			if !r.loss.Has(p) {
				t.Errorf("%s: %v should be there", r.name, p)
			}
		}
	}
}

func TestAHigherAmputationNeverGivesAPlaceBack(t *testing.T) {
	for _, p := range Places() {
		if p == Stump {
			continue
		}
		for l := Transmetatarsal; l < HipLevel; l++ {
			lower, higher := Loss{Level: l}, Loss{Level: l + 1}
			if !lower.Has(p) && higher.Has(p) {
				t.Errorf("%v is gone at %v and back at %v", p, l, l+1)
			}
		}
	}
}

func TestMinorAndMajor(t *testing.T) {
	// risk reference 1.7: minor is at or below the ankle, major above it.
	for l := LevelUnknown; l <= HipLevel; l++ {
		loss := Loss{Level: l}
		want := known.Of(l >= BelowKnee)
		if l == LevelUnknown {
			want = known.Unknown
		}
		if loss.Major() != want {
			t.Errorf("%v: major = %v, want %v", l, loss.Major(), want)
		}
		if (l == LevelUnknown) != (loss.Any() == known.Unknown) || (l == Whole) != (loss.Any() == known.No) {
			t.Errorf("%v: any = %v", l, loss.Any())
		}
	}
}

func TestEveryPlaceHasItsOwnWordAndComesBack(t *testing.T) {
	seen := map[string]bool{}
	for _, p := range Places() {
		b, err := p.MarshalText()
		if err != nil || seen[string(b)] || p.Words() == "" || seen[p.Words()] {
			t.Errorf("place %d: %q %q %v", p, b, p.Words(), err)
		}
		seen[string(b)], seen[p.Words()] = true, true
		var back Place
		if err := back.UnmarshalText(b); err != nil || back != p {
			t.Errorf("%s comes back as %v, %v", b, back, err)
		}
	}
	if len(placeNames) != int(placeCount) || len(placeWords) != int(placeCount) {
		t.Errorf("%d names and %d words for %d places", len(placeNames), len(placeWords), placeCount)
	}
}

func TestToesAreAListInJSON(t *testing.T) {
	for bits := range 32 {
		b, err := json.Marshal(Loss{Level: ToesOnly, Toes: Toes(bits)})
		if err != nil {
			t.Fatal(err)
		}
		var back Loss
		if err := json.Unmarshal(b, &back); err != nil || back.Toes != Toes(bits) {
			t.Errorf("toes %05b written %s come back as %05b, %v", bits, b, back.Toes, err)
		}
	}
	var l Loss
	if err := json.Unmarshal([]byte(`{"level":"toes","toes":[6]}`), &l); err == nil {
		t.Error("a sixth toe was taken")
	}
}
