package neuro_test

import (
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"tengram/internal/kernel/foot"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/neuro"
)

// person is one written case: two feet, what they lost, and what is expected.
type person struct {
	name        string
	source      string // where the case stands
	right, left string
	loss        [2]foot.Loss
	definition  string
	want        known.Tri
	// wantFeet, wantIncomplete and wantSettled are compared where given.
	wantFeet       *[2]known.Tri
	wantIncomplete [2]bool
	wantSettled    []string
}

func (p person) tests(t *testing.T) neuro.Tests {
	return neuro.Tests{
		Protocol: neuro.FourSites,
		Feet:     [2]neuro.Foot{written(t, p.right), written(t, p.left)},
		Loss:     p.loss,
	}
}

const (
	iwgdf     = "lops-iwgdf-2023"
	ada2008   = "lops-ada-2008"
	ada2024   = "lops-ada-2024"
	armstrong = "lops-armstrong-1998"
	medicare  = "lops-medicare-70.2.1"
	ipswich   = "lops-ipswich-2011"
)

const (
	three = "hallux+ mth1+ mth5+"
	four  = "hallux+ mth1+ mth3+ mth5+"
	five  = "hallux+ mth1+ mth3+ mth5+ heel+"
)

func TestTheCheckCasesOfTheReference(t *testing.T) {
	lostHallux := foot.Loss{Level: foot.ToesOnly, Toes: foot.ToesOf(1)}
	cases := []person{
		// risk.md 2.4
		{name: "monofilament and fork normal rule it out", source: "ADA-1", right: four + " vibration+", left: four + " vibration+", definition: ada2008, want: known.No},
		{name: "a lone absent reflex is enough in 2008", source: "ADA-2", right: four + " ankle-reflex-", left: four + " vibration+", definition: ada2008, want: known.Yes},
		{name: "a normal monofilament alone leaves it open", source: "ADA-3", right: four, left: four, definition: ada2008, want: known.Unknown,
			wantSettled: []string{"right.test.vibration", "left.test.vibration"}},
		{name: "one unfelt site of one foot is enough", source: "ADA-4", right: four, left: "hallux+ mth1+ mth3- mth5+", definition: ada2008, want: known.Yes},
		// risk.md 2.5
		{name: "one of five on each foot is none for Medicare", source: "CMS-1", right: "hallux- mth1+ mth3+ mth5+ heel+", left: "hallux- mth1+ mth3+ mth5+ heel+", definition: medicare, want: known.No},
		{name: "though it is by the ADA", source: "CMS-1", right: "hallux- mth1+ mth3+ mth5+ heel+", left: "hallux- mth1+ mth3+ mth5+ heel+", definition: ada2008, want: known.Yes},
		{name: "two of five on the left are enough for Medicare", source: "CMS-2", right: five, left: "hallux- mth1- mth3+ mth5+ heel+", definition: medicare, want: known.Yes,
			wantFeet: &[2]known.Tri{known.No, known.Yes}},
		// tests-and-wounds.md 2.12
		{name: "three of ten unfelt are below the cut-off of 1998", source: "2.12", right: "sites+ toe3- toe5- heel-", left: "sites+", definition: armstrong, want: known.No},
		{name: "four of ten reach it", source: "2.12", right: "sites+ toe3- toe5- heel- dorsum-", left: "sites+", definition: armstrong, want: known.Yes},
		{name: "none of those three is a site of the ADA", source: "2.12", right: "sites+ toe3- toe5- heel- vibration+", left: "sites+ vibration+", definition: ada2008, want: known.No},
		{name: "but the fifth metatarsal head is", source: "2.12", right: "sites+ toe3- mth5- heel-", left: "sites+", definition: ada2008, want: known.Yes},
		{name: "one missed toe of six is not at risk", source: "2.12", right: "toes+ touch.toe5-", left: "toes+", definition: ipswich, want: known.No},
		{name: "two missed toes of six are at risk", source: "2.12", right: "toes+ touch.toe5-", left: "toes+ touch.toe1-", definition: ipswich, want: known.Yes,
			wantFeet: &[2]known.Tri{known.Yes, known.Yes}},
		{name: "two missed toes on one foot leave the other clear", source: "2.12", right: "toes+", left: "toes- touch.toe3+", definition: ipswich, want: known.Yes,
			wantFeet: &[2]known.Tri{known.No, known.Yes}},
		// tests-and-wounds.md 8
		{name: "a lost great toe leaves two sites, felt: none, incomplete", source: "8", right: "mth1+ mth5+", left: three, loss: [2]foot.Loss{lostHallux, {}}, definition: iwgdf, want: known.No,
			wantIncomplete: [2]bool{true, false}},
		{name: "the same when the site itself was marked as lost", source: "8", right: "halluxx mth1+ mth5+", left: three, definition: iwgdf, want: known.No,
			wantIncomplete: [2]bool{true, false}},
		{name: "a lost great toe does not hide an unfelt site", source: "8", right: "mth1+ mth5-", left: three, loss: [2]foot.Loss{lostHallux, {}}, definition: iwgdf, want: known.Yes,
			wantIncomplete: [2]bool{true, false}},
		{name: "three sites under dressings decide nothing", source: "8", right: "hallux? mth1? mth5?", left: three, definition: iwgdf, want: known.Unknown,
			wantSettled: []string{"right.test.filament.hallux", "right.test.filament.mth1", "right.test.filament.mth5", "right.test.vibration"}},
		{name: "a lost toe and one missed of five are below the touch cut-off", source: "8", right: "touch.toe3+ touch.toe5-", left: "toes+", loss: [2]foot.Loss{lostHallux, {}}, definition: ipswich, want: known.No,
			wantIncomplete: [2]bool{true, false}},
	}
	for _, p := range cases {
		t.Run(p.source+" "+p.name, func(t *testing.T) { p.check(t) })
	}
}

func (p person) check(t *testing.T) {
	t.Helper()
	got := definition(t, p.definition).Judge(p.tests(t))
	if got.LOPS != p.want {
		t.Errorf("LOPS is %v, want %v: %+v", got.LOPS, p.want, got.Because)
	}
	if p.wantFeet != nil {
		if feet := [2]known.Tri{got.Feet[0].LOPS, got.Feet[1].LOPS}; feet != *p.wantFeet {
			t.Errorf("feet are %v, want %v", feet, *p.wantFeet)
		}
	}
	if incomplete := [2]bool{got.Feet[0].Incomplete, got.Feet[1].Incomplete}; incomplete != p.wantIncomplete && p.want.Known() {
		t.Errorf("incomplete is %v, want %v", incomplete, p.wantIncomplete)
	}
	if p.wantSettled != nil {
		if diff := cmp.Diff(p.wantSettled, got.SettledBy, cmpopts.EquateEmpty()); diff != "" {
			t.Errorf("settled by (-want +got):\n%s", diff)
		}
	}
}

func TestWhatTheReferenceLeavesToUs(t *testing.T) {
	transmetatarsal := foot.Loss{Level: foot.Transmetatarsal}
	cases := []person{
		{name: "nothing tested says nothing", definition: iwgdf, want: known.Unknown},
		{name: "one foot felt and one untested says nothing", right: three, definition: iwgdf, want: known.Unknown,
			wantSettled: []string{"left.test.filament.hallux", "left.test.filament.mth1", "left.test.filament.mth5"}},
		{name: "one unfelt site settles it though the rest is untested", right: "mth5-", definition: iwgdf, want: known.Yes, wantIncomplete: [2]bool{true, false}},
		{name: "two of three sites felt and the third untested say nothing", right: "hallux+ mth1+", left: three, definition: iwgdf, want: known.Unknown,
			wantSettled: []string{"right.test.filament.mth5"}},
		{name: "a fork alone clears a foot, incomplete", right: "vibration+", left: "vibration+", definition: iwgdf, want: known.No, wantIncomplete: [2]bool{true, true}},
		{name: "an unfelt fork stands against a felt monofilament", right: three + " vibration-", left: three, definition: iwgdf, want: known.Yes},
		{name: "light touch stands in where nothing else was tested", right: "toes+", left: "toes+", definition: iwgdf, want: known.No, wantIncomplete: [2]bool{true, true}},
		{name: "two missed toes count where nothing else was tested", right: "toes-", left: "toes+", definition: iwgdf, want: known.Yes, wantIncomplete: [2]bool{true, true}},
		{name: "a foot that is gone is not judged, the other decides: clear", right: three, loss: [2]foot.Loss{{}, gone()}, definition: iwgdf, want: known.No,
			wantFeet: &[2]known.Tri{known.No, known.Unknown}},
		{name: "a foot that is gone is not judged, the other decides: lost", right: "hallux- mth1+ mth5+", loss: [2]foot.Loss{{}, gone()}, definition: iwgdf, want: known.Yes},
		{name: "two feet that are gone leave it open", loss: [2]foot.Loss{gone(), gone()}, definition: iwgdf, want: known.Unknown, wantSettled: []string{}},
		{name: "no site left on a forefoot stump: only the fork can settle", left: three, loss: [2]foot.Loss{transmetatarsal, {}}, definition: iwgdf, want: known.Unknown,
			wantSettled: []string{"right.test.vibration"}},
		{name: "a finding at a lost site does not count", right: "hallux- mth1+ mth5+", left: three,
			loss: [2]foot.Loss{{Level: foot.ToesOnly, Toes: foot.ToesOf(1)}, {}}, definition: iwgdf, want: known.No, wantIncomplete: [2]bool{true, false}},

		{name: "two normal tests without the monofilament rule it out in 2008", right: "vibration+ pinprick+", left: "vibration+ ankle-reflex+", definition: ada2008, want: known.No, wantIncomplete: [2]bool{true, true}},
		{name: "three of the four sites felt are not yet a normal test", right: three + " vibration+", left: four + " vibration+", definition: ada2008, want: known.Unknown,
			wantSettled: []string{"right.test.filament.mth3"}},
		{name: "warm and cold is none of the five tests of 2008", right: four + " warm-cold-", left: four + " vibration+", definition: ada2008, want: known.Unknown,
			wantSettled: []string{"right.test.vibration"}},

		{name: "only the monofilament suggests LOPS in 2024", right: four + " vibration-", left: four + " vibration+", definition: ada2024, want: known.Unknown, wantSettled: []string{}},
		{name: "an unfelt site does", right: "hallux+ mth1- mth3+ mth5+ vibration+", left: four + " vibration+", definition: ada2024, want: known.Yes},
		{name: "a normal monofilament wants a second normal test", right: four, left: four + " pinprick+", definition: ada2024, want: known.Unknown,
			wantSettled: []string{"right.test.vibration"}},
		{name: "warm and cold is such a second test", right: four + " warm-cold+", left: four + " pinprick+", definition: ada2024, want: known.No},
		{name: "two normal tests without the monofilament do not do", right: "vibration+ pinprick+", left: four + " vibration+", definition: ada2024, want: known.Unknown},
		{name: "a normal reflex is not in the sentence of 2024", right: four + " ankle-reflex+", left: four + " vibration+", definition: ada2024, want: known.Unknown},
		{name: "an absent reflex still asks for more", right: four + " vibration+ ankle-reflex-", left: four + " vibration+", definition: ada2024, want: known.Unknown},

		{name: "a ten-site cut-off can be out of reach of untested sites", right: "sites+ heel? dorsum?", left: "sites+", definition: armstrong, want: known.No, wantIncomplete: [2]bool{true, false}},
		{name: "or within it", right: "sites? hallux+ mth1-", left: "sites+", definition: armstrong, want: known.Unknown},
		{name: "lost sites never reach a cut-off", right: "midfoot-medial+ midfoot-lateral- heel+ dorsum+", left: "sites+", loss: [2]foot.Loss{transmetatarsal, {}}, definition: armstrong, want: known.No, wantIncomplete: [2]bool{true, false}},
		{name: "nothing felt at the only site left clears nobody", right: "heel-", left: five, loss: [2]foot.Loss{transmetatarsal, {}}, definition: medicare, want: known.Unknown, wantSettled: []string{}},
		{name: "the one site left, felt, clears the foot, incomplete", right: "heel+", left: five, loss: [2]foot.Loss{transmetatarsal, {}}, definition: medicare, want: known.No, wantIncomplete: [2]bool{true, false}},

		{name: "an untested foot is not cleared by five felt toes", right: "toes+", definition: ipswich, want: known.Unknown,
			wantSettled: []string{"left.test.touch.toe1", "left.test.touch.toe3", "left.test.touch.toe5"}},
		{name: "five felt toes and one untested cannot reach two", right: "toes+", left: "touch.toe1+ touch.toe3+", definition: ipswich, want: known.No, wantIncomplete: [2]bool{false, true}},
		{name: "two missed toes count on one foot with the other gone", right: "toes-", loss: [2]foot.Loss{{}, gone()}, definition: ipswich, want: known.Yes},
	}
	for _, p := range cases {
		t.Run(p.definition+" "+p.name, func(t *testing.T) { p.check(t) })
	}
}

func TestASiteOutsideTheDefinitionIsNamedAndNotCounted(t *testing.T) {
	p := person{right: three + " heel-", left: three, definition: iwgdf}
	got := definition(t, iwgdf).Judge(p.tests(t))
	if got.LOPS != known.No {
		t.Fatalf("LOPS is %v, want no: the heel is none of the three sites", got.LOPS)
	}
	const says = "Right foot: the 10 g monofilament was not felt at the heel, a site that this definition does not count."
	for _, r := range got.Because {
		if r.Says == says && r.Fact == "right.test.filament.heel" {
			return
		}
	}
	t.Errorf("no reason names the heel: %+v", got.Because)
}

func TestTheProtocolStandsInTheReasons(t *testing.T) {
	for _, c := range []struct {
		protocol neuro.Protocol
		says     string
	}{
		{neuro.ThreeSites, "The monofilament was tested by the plan of three sites a foot."},
		{neuro.TenSites, "The monofilament was tested by the plan of ten sites a foot."},
		{neuro.NoProtocol, "Which plan of monofilament sites was followed was not recorded."},
	} {
		tests := neuro.Tests{Protocol: c.protocol, Feet: [2]neuro.Foot{written(t, "hallux-"), {}}}
		got := definition(t, iwgdf).Judge(tests)
		found := false
		for _, r := range got.Because {
			found = found || r.Says == c.says && r.Fact == "protocol"
		}
		if !found {
			t.Errorf("protocol %v: no reason says %q in %+v", c.protocol, c.says, got.Because)
		}
	}
}
