package neuro_test

import (
	"strings"
	"testing"

	"tengram/internal/kernel/foot"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/neuro"
)

// A foot is written in tests as words of site and mark: "hallux+ mth1- mth5x".
// Marks: + felt or normal, - not felt or abnormal, x lost to amputation,
// ? could not be tested, ! refused. Beside the ten sites there are vibration,
// pinprick, warm-cold, ankle-reflex, vpt-volts, touch.toe1, touch.toe3 and
// touch.toe5; "sites" and "toes" stand for all of them.
func written(t testing.TB, spec string) neuro.Foot {
	t.Helper()
	var f neuro.Foot
	for _, word := range strings.Fields(spec) {
		name, mark := word[:len(word)-1], word[len(word)-1:]
		finding, ok := map[string]known.Finding{
			"+": known.Normal, "-": known.Abnormal, "x": known.Absent, "?": known.NotPossible, "!": known.Refused,
		}[mark]
		if !ok {
			t.Fatalf("%q ends with no known mark", word)
		}
		set(t, &f, name, finding)
	}
	return f
}

// set writes one finding at a path below "test". A nil t is for names that are
// known to be right.
func set(t testing.TB, f *neuro.Foot, name string, v known.Finding) {
	switch name {
	case "sites":
		for s := range neuro.SiteCount {
			f.Filament[s] = v
		}
	case "toes":
		f.Touch = neuro.Touch{Toe1: v, Toe3: v, Toe5: v}
	case "vibration":
		f.Vibration = v
	case "pinprick":
		f.Pinprick = v
	case "warm-cold":
		f.WarmCold = v
	case "ankle-reflex":
		f.Reflex = map[known.Finding]neuro.Reflex{known.Normal: neuro.ReflexPresent, known.Abnormal: neuro.ReflexAbsent, known.NotPossible: neuro.ReflexNotPossible}[v]
	case "vpt-volts":
		f.VPT = map[known.Finding]known.Tenths{known.Normal: known.TenthsOf(150), known.Abnormal: known.TenthsOf(300)}[v]
	case "touch.toe1":
		f.Touch.Toe1 = v
	case "touch.toe3":
		f.Touch.Toe3 = v
	case "touch.toe5":
		f.Touch.Toe5 = v
	default:
		for s := range neuro.SiteCount {
			if s.String() == strings.TrimPrefix(name, "filament.") {
				f.Filament[s] = v
				return
			}
		}
		t.Fatalf("there is no nerve test %q", name)
	}
}

// fields are the paths below "test" of everything that can be tested.
func fields() []string {
	names := []string{"vibration", "pinprick", "warm-cold", "ankle-reflex", "vpt-volts", "touch.toe1", "touch.toe3", "touch.toe5"}
	for s := range neuro.SiteCount {
		names = append(names, "filament."+s.String())
	}
	return names
}

func definition(t testing.TB, id string) neuro.Definition {
	t.Helper()
	d, ok := neuro.ByID(id)
	if !ok {
		t.Fatalf("no definition %q", id)
	}
	return d
}

func gone() foot.Loss { return foot.Loss{Level: foot.BelowKnee} }
