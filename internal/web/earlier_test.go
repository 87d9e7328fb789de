package web

import (
	"slices"
	"testing"

	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/foot"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/wound"
)

func TestEarlierSizesStandInThePanelOfTheUlcer(t *testing.T) {
	at := func(on, id string, side foot.Side, change func(*wound.Ulcer)) exam.PastUlcer {
		u := wound.Ulcer{ID: id, Side: side, Place: foot.Heel}
		change(&u)
		return exam.PastUlcer{On: on, Ulcer: u}
	}
	ruler := func(l, w int) func(*wound.Ulcer) {
		return func(u *wound.Ulcer) {
			u.Size = wound.Size{LengthMM: known.Value(l), WidthMM: known.Value(w), Method: wound.Rectangle}
		}
	}
	bg := exam.Background{Ulcers: []exam.PastUlcer{
		at("2026-09-01", "u1", foot.Left, ruler(20, 10)),
		at("2026-09-01", "u2", foot.Right, ruler(5, 5)),
		at("2026-10-01", "u1", foot.Left, func(*wound.Ulcer) {}),
		at("2026-11-01", "u1", foot.Left, func(u *wound.Ulcer) { u.Healed = known.AnswerYes }),
	}}
	want := []string{"u1, heel, 1 Sep 2026: 200 mm², rectangle", "u1, heel, 1 Oct 2026: size not recorded", "u1, heel, 1 Nov 2026: healed"}
	if got := earlierSizes(bg, func(u wound.Ulcer) bool { return u.ID == "u1" }); !slices.Equal(got, want) {
		t.Errorf("got %q", got)
	}
	if got := earlierSizes(bg, func(u wound.Ulcer) bool { return u.Side == foot.Right }); len(got) != 1 {
		t.Errorf("of the right foot: %q", got)
	}
	if got := earlierSizes(exam.Background{}, func(wound.Ulcer) bool { return true }); got != nil {
		t.Errorf("without a record: %q", got)
	}
}
