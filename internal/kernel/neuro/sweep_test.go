package neuro_test

import (
	"testing"

	"pgregory.net/rapid"

	"tengram/internal/kernel/foot"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/neuro"
)

// TestEveryCombinationOfTheThreeSites compares the IWGDF definition on one foot
// with the rule written another way, over all results of three sites, the fork
// and the other foot: 6^4 combinations.
func TestEveryCombinationOfTheThreeSites(t *testing.T) {
	judge := definition(t, iwgdf).Judge
	findings := []known.Finding{known.NotDone, known.Normal, known.Abnormal, known.Absent, known.NotPossible, known.Refused}
	left := written(t, three)
	for _, hallux := range findings {
		for _, mth1 := range findings {
			for _, mth5 := range findings {
				for _, fork := range findings {
					var right neuro.Foot
					right.Filament[neuro.SiteHallux], right.Filament[neuro.SiteMTH1], right.Filament[neuro.SiteMTH5] = hallux, mth1, mth5
					right.Vibration = fork
					want := sayThree([3]known.Finding{hallux, mth1, mth5}, fork)
					got := judge(neuro.Tests{Feet: [2]neuro.Foot{right, left}})
					if got.LOPS != want {
						t.Errorf("%v %v %v, fork %v: LOPS is %v, want %v", hallux, mth1, mth5, fork, got.LOPS, want)
					}
					mirrored := judge(neuro.Tests{Feet: [2]neuro.Foot{left, right}})
					if mirrored.LOPS != got.LOPS {
						t.Errorf("%v %v %v, fork %v: LOPS is %v on the right and %v on the left", hallux, mth1, mth5, fork, got.LOPS, mirrored.LOPS)
					}
				}
			}
		}
	}
}

func sayThree(sites [3]known.Finding, fork known.Finding) known.Tri {
	felt, unfelt, untested := 0, 0, 0
	for _, s := range sites {
		switch {
		case s == known.Normal:
			felt++
		case s == known.Abnormal:
			unfelt++
		case s != known.Absent:
			untested++
		}
	}
	switch {
	case unfelt > 0 || fork == known.Abnormal:
		return known.Yes
	case felt > 0 && untested == 0, felt == 0 && fork == known.Normal:
		return known.No
	}
	return known.Unknown
}

// TestEveryCombinationOfTheTenSites runs the two definitions with a cut-off
// over 4^10 results of one foot.
func TestEveryCombinationOfTheTenSites(t *testing.T) {
	findings := [4]known.Finding{known.NotDone, known.Normal, known.Abnormal, known.Absent}
	for _, c := range []struct {
		id    string
		sites []neuro.Site
		cut   int
	}{
		{armstrong, neuro.TenSites.Sites(), 4},
		{medicare, neuro.FiveSites.Sites(), 2},
	} {
		judge := definition(t, c.id).Judge
		left := written(t, "sites+")
		for i := range 1 << (2 * len(c.sites)) {
			var right neuro.Foot
			felt, unfelt, untested := 0, 0, 0
			for n, s := range c.sites {
				f := findings[i>>(2*n)&3]
				right.Filament[s] = f
				felt += count(f == known.Normal)
				unfelt += count(f == known.Abnormal)
				untested += count(f == known.NotDone)
			}
			want := known.Unknown
			switch {
			case unfelt >= c.cut:
				want = known.Yes
			case felt > 0 && unfelt+untested < c.cut:
				want = known.No
			}
			if got := judge(neuro.Tests{Feet: [2]neuro.Foot{right, left}}); got.LOPS != want {
				t.Fatalf("%s: %d felt, %d not felt, %d untested: LOPS is %v, want %v", c.id, felt, unfelt, untested, got.LOPS, want)
			}
		}
	}
}

func count(b bool) int {
	if b {
		return 1
	}
	return 0
}

// drawn is a random person of whom some things were tested.
func drawn(t *rapid.T) neuro.Tests {
	var tests neuro.Tests
	tests.Protocol = rapid.SampledFrom([]neuro.Protocol{neuro.NoProtocol, neuro.ThreeSites, neuro.FourSites, neuro.FiveSites, neuro.TenSites}).Draw(t, "protocol")
	results := rapid.SampledFrom([]known.Finding{known.NotDone, known.Normal, known.Normal, known.Abnormal, known.NotPossible, known.Absent})
	losses := rapid.SampledFrom([]foot.Loss{{}, {Level: foot.Whole}, {Level: foot.Whole}, {Level: foot.ToesOnly, Toes: foot.ToesOf(1)},
		{Level: foot.ToesOnly, Rays: foot.ToesOf(5)}, {Level: foot.Transmetatarsal}, {Level: foot.BelowKnee}})
	for side := range tests.Feet {
		tests.Loss[side] = losses.Draw(t, "loss")
		// A foot with few unknowns is drawn as often as one with many.
		share := rapid.IntRange(0, 10).Draw(t, "share tested")
		for _, name := range fields() {
			if rapid.IntRange(0, 9).Draw(t, "tested") < share {
				put(&tests.Feet[side], name, results.Draw(t, name))
			}
		}
	}
	return tests
}

func put(f *neuro.Foot, name string, v known.Finding) {
	if v == known.Absent && name == "ankle-reflex" {
		v = known.NotPossible
	}
	set(nil, f, name, v)
}

// TestAWorseFindingNeverLowersTheAnswer holds for every definition: turning one
// normal or unknown result into an abnormal one never moves LOPS from yes to
// unknown or no, nor from unknown to no.
func TestAWorseFindingNeverLowersTheAnswer(t *testing.T) {
	for _, d := range neuro.Definitions() {
		t.Run(d.ID, func(t *testing.T) {
			rapid.Check(t, func(t *rapid.T) {
				before := drawn(t)
				after := before
				side := rapid.IntRange(0, 1).Draw(t, "side")
				name := rapid.SampledFrom(fields()).Draw(t, "field")
				if isNormalOrUnknown(before.Feet[side], name) {
					put(&after.Feet[side], name, known.Abnormal)
				}
				was, is := d.Judge(before), d.Judge(after)
				if rank(is.LOPS) < rank(was.LOPS) {
					t.Fatalf("%v became %v when %s of foot %d became abnormal: %+v", was.LOPS, is.LOPS, name, side, before)
				}
				for i := range was.Feet {
					if rank(is.Feet[i].LOPS) < rank(was.Feet[i].LOPS) {
						t.Fatalf("foot %d: %v became %v when %s of foot %d became abnormal: %+v", i, was.Feet[i].LOPS, is.Feet[i].LOPS, name, side, before)
					}
				}
			})
		})
	}
}

func rank(t known.Tri) int { return map[known.Tri]int{known.No: 0, known.Unknown: 1, known.Yes: 2}[t] }

// isNormalOrUnknown is false for lost parts and for what is abnormal already.
func isNormalOrUnknown(f neuro.Foot, name string) bool {
	for _, v := range []known.Finding{known.Abnormal, known.Absent} {
		probe := f
		put(&probe, name, v)
		if probe == f {
			return false
		}
	}
	return true
}

// TestLearningNeverTakesBackAYes holds for every definition: a result learned
// where there was none leaves a yes a yes, and a normal one never makes a yes.
func TestLearningNeverTakesBackAYes(t *testing.T) {
	for _, d := range neuro.Definitions() {
		t.Run(d.ID, func(t *testing.T) {
			rapid.Check(t, func(t *rapid.T) {
				before := drawn(t)
				after := before
				side := rapid.IntRange(0, 1).Draw(t, "side")
				name := rapid.SampledFrom(fields()).Draw(t, "field")
				learned := rapid.SampledFrom([]known.Finding{known.Normal, known.Abnormal}).Draw(t, "learned")
				if !isUnknown(before.Feet[side], name) {
					return
				}
				put(&after.Feet[side], name, learned)
				was, is := d.Judge(before), d.Judge(after)
				if was.LOPS == known.Yes && is.LOPS != known.Yes {
					t.Fatalf("a yes became %v by learning %s %v", is.LOPS, name, learned)
				}
				if learned == known.Normal && was.LOPS != known.Yes && is.LOPS == known.Yes {
					t.Fatalf("%v became yes by learning that %s is normal", was.LOPS, name)
				}
			})
		})
	}
}

func isUnknown(f neuro.Foot, name string) bool {
	probe := f
	put(&probe, name, known.NotDone)
	return probe == f
}

// TestWhatIsNamedSettlesTheAnswer holds for every definition: the named tests
// have no result yet; a foot whose tests are named is cleared if they all come
// out normal, or marked if they all come out abnormal; and a known answer names
// none.
func TestWhatIsNamedSettlesTheAnswer(t *testing.T) {
	for _, d := range neuro.Definitions() {
		t.Run(d.ID, func(t *testing.T) {
			rapid.Check(t, func(t *rapid.T) {
				tests := drawn(t)
				got := d.Judge(tests)
				if got.LOPS.Known() && len(got.SettledBy) > 0 {
					t.Fatalf("the answer is %v, and yet %q would settle it", got.LOPS, got.SettledBy)
				}
				normal, abnormal := tests, tests
				var named [2]bool
				for _, path := range got.SettledBy {
					side, name := splitPath(t, path)
					named[side] = true
					if !unfilled(tests.Feet[side], name) {
						t.Fatalf("%s has a result already", path)
					}
					put(&normal.Feet[side], name, known.Normal)
					put(&abnormal.Feet[side], name, known.Abnormal)
				}
				cleared, marked := d.Judge(normal), d.Judge(abnormal)
				for side := range named {
					if named[side] && cleared.Feet[side].LOPS != known.No && marked.Feet[side].LOPS != known.Yes {
						t.Fatalf("%q settle nothing on foot %d: normal gives %v, abnormal %v; %+v",
							got.SettledBy, side, cleared.Feet[side].LOPS, marked.Feet[side].LOPS, tests)
					}
				}
			})
		})
	}
}

func splitPath(t *rapid.T, path string) (foot.Side, string) {
	for _, side := range foot.Sides {
		prefix := side.String() + ".test."
		if len(path) > len(prefix) && path[:len(prefix)] == prefix {
			return side, path[len(prefix):]
		}
	}
	t.Fatalf("%q is no path of a nerve test", path)
	return 0, ""
}

// unfilled reports that the field has no result: not done, or not possible
// today.
func unfilled(f neuro.Foot, name string) bool {
	for _, v := range []known.Finding{known.NotDone, known.NotPossible, known.Refused} {
		probe := f
		put(&probe, name, v)
		if probe == f {
			return true
		}
	}
	return false
}

// TestLeftAndRightAreMirrorImages holds for every definition.
func TestLeftAndRightAreMirrorImages(t *testing.T) {
	for _, d := range neuro.Definitions() {
		t.Run(d.ID, func(t *testing.T) {
			rapid.Check(t, func(t *rapid.T) {
				tests := drawn(t)
				mirror := tests
				mirror.Feet[0], mirror.Feet[1] = tests.Feet[1], tests.Feet[0]
				mirror.Loss[0], mirror.Loss[1] = tests.Loss[1], tests.Loss[0]
				got, other := d.Judge(tests), d.Judge(mirror)
				if got.LOPS != other.LOPS {
					t.Fatalf("LOPS is %v, mirrored %v", got.LOPS, other.LOPS)
				}
				for side := range got.Feet {
					a, b := got.Feet[side], other.Feet[1-side]
					a.Side, b.Side = 0, 0
					if a != b {
						t.Fatalf("foot %d is %+v, mirrored %+v", side, a, b)
					}
				}
			})
		})
	}
}

// TestEveryAnswerHasAReasonWithASource holds for every definition and person.
func TestEveryAnswerHasAReasonWithASource(t *testing.T) {
	for _, d := range neuro.Definitions() {
		t.Run(d.ID, func(t *testing.T) {
			if d.Source == nil || d.Source.Standing == "" || d.Source.Place == "" {
				t.Fatalf("the definition has no whole source: %+v", d.Source)
			}
			rapid.Check(t, func(t *rapid.T) {
				got := d.Judge(drawn(t))
				sourced := 0
				for _, r := range got.Because {
					if r.Says == "" {
						t.Fatalf("an empty reason in %+v", got.Because)
					}
					if r.Source != nil {
						sourced++
					}
				}
				if sourced == 0 || got.Definition != d.ID {
					t.Fatalf("%q has no reason with a source: %+v", got.Definition, got.Because)
				}
			})
		})
	}
}

func TestIdsAreKnownAndDiffer(t *testing.T) {
	seen := map[string]bool{}
	for _, d := range neuro.Definitions() {
		if seen[d.ID] {
			t.Errorf("%s stands twice", d.ID)
		}
		seen[d.ID] = true
		if got, ok := neuro.ByID(d.ID); !ok || got.Name != d.Name {
			t.Errorf("%s is not found by its id", d.ID)
		}
	}
	for _, id := range []string{iwgdf, ada2008, ada2024, armstrong, medicare, ipswich} {
		if !seen[id] {
			t.Errorf("there is no definition %s", id)
		}
	}
	if _, ok := neuro.ByID("lops-nobody-1900"); ok {
		t.Error("a definition that does not exist was found")
	}
	neuro.Definitions()[0].Name = "changed"
	if d := definition(t, iwgdf); d.Name == "changed" {
		t.Error("a caller can change the list of definitions")
	}
}
