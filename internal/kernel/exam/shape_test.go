package exam

import (
	"testing"

	"tengram/internal/kernel/known"
	"tengram/internal/kernel/source"
)

// tests-and-wounds 10.2 and 10.4: hammer confirmed, claw and mallet second hand.
func TestAToeIsNamedByItsJoints(t *testing.T) {
	const yes, no, unknown = known.Yes, known.No, known.Unknown
	for _, tc := range []struct {
		name              string
		base, middle, end known.Tri
		want              Deformity
		ok                bool
	}{
		{"base up, middle and end down: claw", yes, yes, yes, ClawToe, true},
		{"middle down only: hammer", no, yes, no, HammerToe, true},
		{"a hammer toe often has its base up", yes, yes, no, HammerToe, true},
		{"the base of a hammer toe need not be known", unknown, yes, no, HammerToe, true},
		{"end down only: mallet", no, no, yes, MalletToe, true},
		{"middle and end down, base not: no name", no, yes, yes, OtherDeformity, true},
		{"nothing bent", no, no, no, NoDeformity, true},
		{"base up alone is none of the three", yes, no, no, NoDeformity, true},
		{"end not known: hammer or claw", yes, yes, unknown, NoDeformity, false},
		{"base not known: claw or not", unknown, yes, yes, NoDeformity, false},
	} {
		got, because, ok := ToeShape(tc.base, tc.middle, tc.end)
		if got != tc.want || ok != tc.ok || ok && (len(because) == 0 || because[0].Source == nil) {
			t.Errorf("%s: %v, %v, because %+v", tc.name, got, ok, because)
		}
	}
}

// tests-and-wounds 10.4: 29 degrees is equinus, 30 is not (Searle 2018,
// confirmed).
func TestEquinusIsALungeBelowThirtyDegrees(t *testing.T) {
	for degrees, want := range map[int]known.Tri{29: known.Yes, 30: known.No, 0: known.Yes, 45: known.No} {
		if got, because := LungeEquinus(known.Value(degrees)); got != want || len(because) == 0 {
			t.Errorf("%d degrees: %v", degrees, got)
		}
	}
	if got, _ := LungeEquinus(known.Reading{}); got != known.Unknown {
		t.Errorf("not measured: %v", got)
	}
}

// tests-and-wounds 10.4: foot 26.0 cm; the span from memory, its edges ours.
func TestAShoeHasOneToTwoCentimetresOfRoom(t *testing.T) {
	for _, tc := range []struct {
		name               string
		inner, right, left int // mm; 0 is not measured
		room               int
		want               ShoeFit
		ok                 bool
	}{
		{"27.0 cm fits", 270, 260, 258, 10, ShoeFits, true},
		{"28.0 cm fits", 280, 260, 258, 20, ShoeFits, true},
		{"26.9 cm is too short", 269, 260, 258, 9, ShoeTooShort, true},
		{"28.1 cm is too long", 281, 260, 258, 21, ShoeTooLong, true},
		{"the longer foot decides", 270, 258, 261, 9, ShoeTooShort, true},
		{"one foot is enough", 275, 0, 260, 15, ShoeFits, true},
		{"no foot measured", 275, 0, 0, 0, "", false},
		{"no shoe measured", 0, 260, 260, 0, "", false},
	} {
		read := func(mm int) known.Reading {
			if mm == 0 {
				return known.Reading{}
			}
			return known.Value(mm)
		}
		room, fit, because, ok := ShoeLength(read(tc.inner), read(tc.right), read(tc.left))
		if room != tc.room || fit != tc.want || ok != tc.ok {
			t.Errorf("%s: %d mm, %q, %v", tc.name, room, fit, ok)
		}
		if ok && because[0].Source.Standing != source.Memory {
			t.Errorf("%s: the span is from memory and says %q", tc.name, because[0].Source.Standing)
		}
	}
}
