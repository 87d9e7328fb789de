// Package foot is the anatomy that everything else points at: sides, toes,
// places, and what an amputation takes away.
package foot

import "tengram/internal/kernel/known"

// Side is a side of the body. The zero value is the right side, so a Side is
// only meaningful where a side is known.
type Side uint8

// The two sides, in the order in which they are examined and shown.
const (
	Right Side = iota
	Left
)

// Sides lists both sides in order.
var Sides = [2]Side{Right, Left}

var sideNames = []string{"right", "left"}

// Other returns the opposite side.
func (s Side) Other() Side { return 1 - s }

// String returns "right" or "left".
func (s Side) String() string { return sideNames[s&1] }

// MarshalText writes "right" or "left".
func (s Side) MarshalText() ([]byte, error) { return known.Word(sideNames, int(s), "side") }

// UnmarshalText reads "right" or "left".
func (s *Side) UnmarshalText(b []byte) error {
	i, err := known.Index(sideNames, b, "side")
	*s = Side(i)
	return err
}

// Place is a named place on a foot, the vocabulary of the drawing and of every
// lesion and ulcer.
type Place uint8

// The places. Toes without a suffix are their plantar side and tip; Top is
// their dorsal side.
const (
	NoPlace Place = iota
	Hallux
	Toe2
	Toe3
	Toe4
	Toe5
	HalluxTop
	Toe2Top
	Toe3Top
	Toe4Top
	Toe5Top
	Web1
	Web2
	Web3
	Web4
	MTH1
	MTH2
	MTH3
	MTH4
	MTH5
	MidfootMedial
	MidfootLateral
	Heel
	HeelBack
	Dorsum
	AnkleMedial
	AnkleLateral
	Stump
	placeCount
)

var placeNames = []string{
	"", "hallux", "toe2", "toe3", "toe4", "toe5",
	"hallux-top", "toe2-top", "toe3-top", "toe4-top", "toe5-top",
	"web1", "web2", "web3", "web4",
	"mth1", "mth2", "mth3", "mth4", "mth5",
	"midfoot-medial", "midfoot-lateral", "heel", "heel-back", "dorsum",
	"ankle-medial", "ankle-lateral", "stump",
}

var placeWords = []string{
	"", "great toe", "second toe", "third toe", "fourth toe", "little toe",
	"top of the great toe", "top of the second toe", "top of the third toe", "top of the fourth toe", "top of the little toe",
	"between great and second toe", "between second and third toe", "between third and fourth toe", "between fourth and little toe",
	"ball of the foot, first metatarsal head", "ball of the foot, second metatarsal head", "ball of the foot, third metatarsal head",
	"ball of the foot, fourth metatarsal head", "ball of the foot, fifth metatarsal head",
	"arch of the foot", "outer midfoot", "heel", "back of the heel", "top of the foot",
	"inner ankle", "outer ankle", "stump",
}

// Places lists every place in order.
func Places() []Place {
	ps := make([]Place, 0, placeCount-1)
	for p := Hallux; p < placeCount; p++ {
		ps = append(ps, p)
	}
	return ps
}

// IsZero reports no place.
func (p Place) IsZero() bool { return p == NoPlace }

// Words names the place in plain words.
func (p Place) Words() string {
	if p < placeCount {
		return placeWords[p]
	}
	return "unknown place"
}

// String returns the JSON word of the place.
func (p Place) String() string {
	if p < placeCount {
		return placeNames[p]
	}
	return "invalid"
}

// MarshalText writes the JSON word of the place.
func (p Place) MarshalText() ([]byte, error) { return known.Word(placeNames, int(p), "place") }

// UnmarshalText reads the JSON word of the place.
func (p *Place) UnmarshalText(b []byte) error {
	i, err := known.Index(placeNames, b, "place")
	*p = Place(i)
	return err
}

// Forefoot reports whether the place lies on the toes, the webs or the
// metatarsal heads; SINBAD's site item gives these no point.
func (p Place) Forefoot() bool { return p >= Hallux && p <= MTH5 }

// Toe returns the number of the toe that the place is on, 1 for the hallux, or
// 0 where the place is not on a toe.
func (p Place) Toe() int {
	switch {
	case p >= Hallux && p <= Toe5:
		return int(p-Hallux) + 1
	case p >= HalluxTop && p <= Toe5Top:
		return int(p-HalluxTop) + 1
	}
	return 0
}
