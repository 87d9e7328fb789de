package heat_test

import (
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"pgregory.net/rapid"

	"tengram/internal/kernel/foot"
	"tengram/internal/kernel/heat"
	"tengram/internal/kernel/known"
)

const yes, no, unknown = known.Yes, known.No, known.Unknown

// even is one temperature, in tenths, at all six spots.
func even(tenths int) (t heat.Temperatures) {
	for s := range heat.SpotCount {
		t[s] = known.TenthsOf(tenths)
	}
	return t
}

// but changes one spot of a copy.
func but(t heat.Temperatures, s heat.Spot, tenths int) heat.Temperatures {
	t[s] = known.TenthsOf(tenths)
	return t
}

var (
	none       = [2]known.Tri{}
	bothNo     = [2]known.Tri{no, no}
	lops       = [2]known.Tri{yes, yes}
	rightYes   = [2]known.Tri{yes, no}
	belowKnee  = foot.Loss{Level: foot.BelowKnee}
	lostHallux = foot.Loss{Level: foot.ToesOnly, Toes: foot.ToesOf(1)}
)

// The cases are those of tests-and-wounds.md 4 (difference) and 3 (Charcot),
// and our own where nothing is tagged.
func TestJudge(t *testing.T) {
	for _, c := range []struct {
		name        string
		in          heat.Input
		hot         known.Tri
		spots       []heat.HotSpot
		notCompared []string
		charcot     known.Tri
		sides       []foot.Side
		because     string
	}{
		{name: "33.1 against 30.9 is 2.2, not more (4)", in: heat.Input{Right: but(even(310), heat.SpotHallux, 331), Left: but(even(310), heat.SpotHallux, 309), Unit: heat.Celsius}, hot: no},
		{name: "33.2 against 30.9 is more (4)", in: heat.Input{Right: but(even(310), heat.SpotHallux, 332), Left: but(even(310), heat.SpotHallux, 309), Unit: heat.Celsius}, hot: yes,
			spots: []heat.HotSpot{{Spot: "hallux", Warmer: foot.Right, Difference: known.TenthsOf(23), Unit: heat.Celsius}}, because: "Right foot: the great toe is warmer than the other foot"},
		{name: "91.6 against 87.6 F is 4.0 F, not more, though it is 2.22 C (4)", in: heat.Input{Right: even(916), Left: even(876), Unit: heat.Fahrenheit}, hot: no},
		{name: "91.7 against 87.6 F is more", in: heat.Input{Right: even(876), Left: but(even(876), heat.SpotHeel, 917), Unit: heat.Fahrenheit}, hot: yes,
			spots: []heat.HotSpot{{Spot: "heel", Warmer: foot.Left, Difference: known.TenthsOf(41), Unit: heat.Fahrenheit}}},
		{name: "a spot lost on one side is not compared (4)", in: heat.Input{Right: func() heat.Temperatures {
			f := even(310)
			f[heat.SpotHallux] = known.Tenths{}
			return f
		}(), Left: even(310), Unit: heat.Celsius, Loss: [2]foot.Loss{lostHallux, {}}}, hot: no, notCompared: []string{"hallux"}},
		{name: "a spot measured on one side only leaves it open", in: heat.Input{Right: heat.Temperatures{heat.SpotHeel: known.TenthsOf(300)}, Left: even(300), Unit: heat.Celsius},
			hot: unknown, notCompared: []string{"hallux", "mth1", "mth3", "mth5", "midfoot"}},
		{name: "one hot pair is enough though others are missing", in: heat.Input{Right: heat.Temperatures{heat.SpotHeel: known.TenthsOf(340)}, Left: heat.Temperatures{heat.SpotHeel: known.TenthsOf(300)}, Unit: heat.Celsius}, hot: yes,
			spots: []heat.HotSpot{{Spot: "heel", Warmer: foot.Right, Difference: known.TenthsOf(40), Unit: heat.Celsius}}},
		{name: "nothing measured", in: heat.Input{}, hot: unknown, because: "Skin temperatures were not measured."},
		{name: "no unit, no comparison", in: heat.Input{Right: even(400), Left: even(300)}, hot: unknown, because: "The unit of the skin temperatures was not recorded"},

		{name: "LOPS, one foot 2.6 warmer and swollen: suspect (3)", in: heat.Input{Right: even(336), Left: even(310), Unit: heat.Celsius, LOPS: lops, Swollen: rightYes, Red: bothNo, OpenUlcer: bothNo},
			hot: yes, spots: allSpots(26), charcot: yes, sides: []foot.Side{foot.Right}, because: "take the load off at once"},
		{name: "LOPS, red warm swollen foot with an ulcer: both possible, infection first (3)", in: heat.Input{LOPS: lops, Warm: rightYes, Swollen: rightYes, Red: rightYes, OpenUlcer: rightYes},
			charcot: yes, sides: []foot.Side{foot.Right}, because: "the path of infection comes first"},
		{name: "no neuropathy, hot red toe joint: not the Charcot rule (3)", in: heat.Input{LOPS: bothNo, Warm: rightYes, Red: rightYes, Swollen: bothNo},
			charcot: no, because: "look for other causes"},
		{name: "1.9 warmer with swelling and redness: still suspect (3)", in: heat.Input{Right: even(329), Left: even(310), Unit: heat.Celsius, LOPS: lops, Swollen: rightYes, Red: rightYes},
			hot: no, charcot: yes, sides: []foot.Side{foot.Right}, because: "does not exclude disease"},
		{name: "the other leg is gone: no comparison, not normal (3)", in: heat.Input{Right: even(330), Unit: heat.Celsius, LOPS: [2]known.Tri{yes, unknown}, Warm: bothNo, Swollen: bothNo, Red: bothNo, Loss: [2]foot.Loss{{}, belowKnee}},
			hot: unknown, notCompared: []string{"hallux", "mth1", "mth3", "mth5", "midfoot", "heel"}, charcot: no, because: "there is no side to compare with"},
		{name: "0.8 warmer, neither swollen nor red: quiet (3)", in: heat.Input{Right: even(318), Left: even(310), Unit: heat.Celsius, LOPS: lops, Warm: bothNo, Swollen: bothNo, Red: bothNo}, hot: no, charcot: no},
		{name: "2.0 warmer is no hot spot, but supports Charcot (3, second hand)", in: heat.Input{Right: even(330), Left: even(310), Unit: heat.Celsius, LOPS: lops, Warm: bothNo, Swollen: bothNo, Red: bothNo},
			hot: no, charcot: yes, sides: []foot.Side{foot.Right}, because: "supports an active Charcot foot"},
		{name: "1.9 warmer, neither swollen nor red: quiet", in: heat.Input{Right: even(329), Left: even(310), Unit: heat.Celsius, LOPS: lops, Warm: bothNo, Swollen: bothNo, Red: bothNo}, hot: no, charcot: no},
		{name: "3.6 F warmer supports Charcot, 3.5 F does not: the warmer", in: heat.Input{Right: even(876), Left: even(912), Unit: heat.Fahrenheit, LOPS: lops, Warm: bothNo, Swollen: bothNo, Red: bothNo},
			hot: no, charcot: yes, sides: []foot.Side{foot.Left}},
		{name: "3.6 F warmer supports Charcot, 3.5 F does not: the cooler", in: heat.Input{Right: even(876), Left: even(911), Unit: heat.Fahrenheit, LOPS: lops, Warm: bothNo, Swollen: bothNo, Red: bothNo}, hot: no, charcot: no},
		{name: "the hand was not laid on, but the thermometer was", in: heat.Input{Right: even(318), Left: even(310), Unit: heat.Celsius, LOPS: lops, Swollen: bothNo, Red: bothNo}, hot: no, charcot: no},
		{name: "neither hand nor thermometer: open", in: heat.Input{LOPS: lops, Swollen: bothNo, Red: bothNo}, charcot: unknown},
		{name: "a warm foot with sensation unknown: open, test it", in: heat.Input{Warm: rightYes, Swollen: bothNo, Red: bothNo}, charcot: unknown, because: "test it"},
		{name: "the other foot's LOPS speaks for a foot that was not tested", in: heat.Input{LOPS: [2]known.Tri{unknown, yes}, Swollen: rightYes}, charcot: yes, sides: []foot.Side{foot.Right}},
		{name: "both feet swollen: both", in: heat.Input{LOPS: lops, Swollen: [2]known.Tri{yes, yes}}, charcot: yes, sides: []foot.Side{foot.Right, foot.Left}},
		{name: "no foot left: open", in: heat.Input{LOPS: none, Loss: [2]foot.Loss{belowKnee, belowKnee}}, charcot: unknown},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := heat.Judge(c.in)
			if got.Hot != c.hot {
				t.Errorf("hot is %v, want %v", got.Hot, c.hot)
			}
			if got.CharcotSuspected != c.charcot {
				t.Errorf("Charcot is %v, want %v", got.CharcotSuspected, c.charcot)
			}
			if diff := cmp.Diff(c.spots, got.Spots, cmpopts.EquateEmpty()); diff != "" {
				t.Errorf("spots (-want +got):\n%s", diff)
			}
			if diff := cmp.Diff(c.notCompared, got.NotCompared, cmpopts.EquateEmpty()); diff != "" {
				t.Errorf("not compared (-want +got):\n%s", diff)
			}
			if diff := cmp.Diff(c.sides, got.CharcotSides, cmpopts.EquateEmpty()); diff != "" {
				t.Errorf("sides (-want +got):\n%s", diff)
			}
			found := c.because == ""
			for _, r := range got.Because {
				found = found || strings.Contains(r.Says, c.because)
			}
			if !found {
				t.Errorf("no reason says %q in %+v", c.because, got.Because)
			}
		})
	}
}

func allSpots(tenths int) (spots []heat.HotSpot) {
	for s := range heat.SpotCount {
		spots = append(spots, heat.HotSpot{Spot: s.String(), Warmer: foot.Right, Difference: known.TenthsOf(tenths), Unit: heat.Celsius})
	}
	return spots
}

// TestTheEdgeOverAllTenths runs every difference up to 10 degrees: over the
// limit is over, and the side follows the sign.
func TestTheEdgeOverAllTenths(t *testing.T) {
	for unit, limit := range map[heat.Unit]int{heat.Celsius: 22, heat.Fahrenheit: 40} {
		for d := -100; d <= 100; d++ {
			got := heat.Judge(heat.Input{Right: even(300 + d), Left: even(300), Unit: unit})
			want := known.Of(d > limit || -d > limit)
			if got.Hot != want {
				t.Fatalf("%d tenths of %v: hot is %v, want %v", d, unit, got.Hot, want)
			}
			for _, s := range got.Spots {
				if (s.Warmer == foot.Right) != (d > 0) || s.Difference.Value != max(d, -d) {
					t.Fatalf("%d tenths of %v: %+v", d, unit, s)
				}
			}
		}
	}
}

func drawn(t *rapid.T) heat.Input {
	tri := rapid.SampledFrom([]known.Tri{unknown, no, no, yes})
	temperature := rapid.SampledFrom([]known.Tenths{{}, known.TenthsOf(300), known.TenthsOf(310), known.TenthsOf(322), known.TenthsOf(323), {State: known.CannotMeasure}})
	losses := rapid.SampledFrom([]foot.Loss{{}, {}, lostHallux, belowKnee})
	in := heat.Input{Unit: rapid.SampledFrom([]heat.Unit{heat.UnitUnknown, heat.Celsius, heat.Celsius, heat.Fahrenheit}).Draw(t, "unit")}
	for i := range 2 {
		in.LOPS[i], in.Warm[i], in.Swollen[i], in.Red[i] = tri.Draw(t, "lops"), tri.Draw(t, "warm"), tri.Draw(t, "swollen"), tri.Draw(t, "red")
		in.OpenUlcer[i], in.Loss[i] = tri.Draw(t, "ulcer"), losses.Draw(t, "loss")
	}
	for s := range heat.SpotCount {
		in.Right[s], in.Left[s] = temperature.Draw(t, "right"), temperature.Draw(t, "left")
	}
	return in
}

func rank(t known.Tri) int { return map[known.Tri]int{no: 0, unknown: 1, yes: 2}[t] }

// TestAWorseSignNeverLowersTheSuspicion moves one sign from no or unknown to
// yes.
func TestAWorseSignNeverLowersTheSuspicion(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := drawn(t)
		was := heat.Judge(in)
		side := rapid.IntRange(0, 1).Draw(t, "side")
		sign := rapid.SampledFrom([]*[2]known.Tri{&in.LOPS, &in.Warm, &in.Swollen, &in.Red}).Draw(t, "sign")
		sign[side] = yes
		if is := heat.Judge(in); rank(is.CharcotSuspected) < rank(was.CharcotSuspected) || is.Hot != was.Hot {
			t.Fatalf("%v became %v, hot %v became %v: %+v", was.CharcotSuspected, is.CharcotSuspected, was.Hot, is.Hot, in)
		}
	})
}

// TestLeftAndRightAreMirrorImages holds for every input.
func TestLeftAndRightAreMirrorImages(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := drawn(t)
		mirror := in
		mirror.Right, mirror.Left = in.Left, in.Right
		for _, pair := range []*[2]known.Tri{&mirror.LOPS, &mirror.Warm, &mirror.Swollen, &mirror.Red, &mirror.OpenUlcer} {
			pair[0], pair[1] = pair[1], pair[0]
		}
		mirror.Loss[0], mirror.Loss[1] = in.Loss[1], in.Loss[0]
		a, b := heat.Judge(in), heat.Judge(mirror)
		if a.Hot != b.Hot || a.CharcotSuspected != b.CharcotSuspected || len(a.Spots) != len(b.Spots) || len(a.CharcotSides) != len(b.CharcotSides) {
			t.Fatalf("%+v, mirrored %+v", a, b)
		}
		for i := range a.Spots {
			a.Spots[i].Warmer = a.Spots[i].Warmer.Other()
		}
		if diff := cmp.Diff(a.Spots, b.Spots, cmpopts.EquateEmpty()); diff != "" {
			t.Fatal(diff)
		}
	})
}

func TestJudgingAllocatesLittle(t *testing.T) {
	in := heat.Input{LOPS: lops, Warm: rightYes, Swollen: rightYes, Red: bothNo}
	if n := testing.AllocsPerRun(100, func() { heat.Judge(in) }); n > 3 {
		t.Errorf("judging allocates %v times", n)
	}
}

func BenchmarkJudge(b *testing.B) {
	in := heat.Input{Right: even(310), Left: even(312), Unit: heat.Celsius, LOPS: lops, Warm: bothNo, Swollen: bothNo, Red: bothNo}
	b.ReportAllocs()
	for b.Loop() {
		heat.Judge(in)
	}
}
