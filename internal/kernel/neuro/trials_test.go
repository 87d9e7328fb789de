package neuro_test

import (
	"testing"

	"tengram/internal/kernel/known"
	"tengram/internal/kernel/neuro"
)

func TestASiteIsJudgedByItsThreeAnswers(t *testing.T) {
	const right, wrong, unable, none = neuro.TrialRight, neuro.TrialWrong, neuro.TrialUnable, neuro.NoTrial
	for _, c := range []struct {
		name    string
		rule    neuro.TrialRule
		answers [3]neuro.Trial
		want    known.Finding
	}{
		{"right, right, wrong is present (tests-and-wounds 2.12)", neuro.TwoOfThree, [3]neuro.Trial{right, right, wrong}, known.Normal},
		{"right, wrong, wrong is absent (tests-and-wounds 2.12)", neuro.TwoOfThree, [3]neuro.Trial{right, wrong, wrong}, known.Abnormal},
		{"one right answer alone decides nothing", neuro.TwoOfThree, [3]neuro.Trial{right, none, none}, known.NotDone},
		{"one right first answer is enough for the survey", neuro.FirstOrTwoOfThree, [3]neuro.Trial{right, none, none}, known.Normal},
		{"a right second answer is not", neuro.FirstOrTwoOfThree, [3]neuro.Trial{none, right, none}, known.NotDone},
		{"unable to tell counts as wrong", neuro.FirstOrTwoOfThree, [3]neuro.Trial{wrong, unable, none}, known.Abnormal},
		{"right, wrong, untested is open", neuro.TwoOfThree, [3]neuro.Trial{right, wrong, none}, known.NotDone},
		{"nothing asked is open", neuro.TwoOfThree, [3]neuro.Trial{}, known.NotDone},
	} {
		t.Run(c.name, func(t *testing.T) {
			if got := neuro.SiteFromTrials(c.rule, c.answers); got != c.want {
				t.Errorf("got %v, want %v", got, c.want)
			}
		})
	}
}

// TestTheRulesOfTheAnswersOverAll64 holds for every three answers: the two
// rules differ only where the first answer is right, a result needs two answers
// or a right first one, and the order of the other answers does not matter.
func TestTheRulesOfTheAnswersOverAll64(t *testing.T) {
	for i := range 64 {
		a := [3]neuro.Trial{neuro.Trial(i & 3), neuro.Trial(i >> 2 & 3), neuro.Trial(i >> 4 & 3)}
		two, first := neuro.SiteFromTrials(neuro.TwoOfThree, a), neuro.SiteFromTrials(neuro.FirstOrTwoOfThree, a)
		if two != first && a[0] != neuro.TrialRight {
			t.Errorf("%v: %v by two of three, %v by the survey, though the first answer is not right", a, two, first)
		}
		if a[0] == neuro.TrialRight && first != known.Normal {
			t.Errorf("%v: %v by the survey, though the first answer is right", a, first)
		}
		swapped := [3]neuro.Trial{a[0], a[2], a[1]}
		if neuro.SiteFromTrials(neuro.TwoOfThree, swapped) != two {
			t.Errorf("%v: the order of the second and third answer matters", a)
		}
		answered := 0
		for _, x := range a {
			if x != neuro.NoTrial {
				answered++
			}
		}
		if two.Tested() != (answered == 3 || answered == 2 && sameSide(a)) {
			t.Errorf("%v: %v by two of three with %d answers", a, two, answered)
		}
	}
}

// sameSide reports that the two answers given agree, right or not right.
func sameSide(a [3]neuro.Trial) bool {
	right, wrong := 0, 0
	for _, x := range a {
		switch x {
		case neuro.TrialRight:
			right++
		case neuro.TrialWrong, neuro.TrialUnable:
			wrong++
		}
	}
	return right == 0 || wrong == 0
}

// The figures are those of tests-and-wounds.md 2.4, derived there.
func TestAFilamentRestsAfterAHundredCompressions(t *testing.T) {
	for _, c := range []struct {
		name                string
		sites, applications int
		each, people        int
	}{
		{"three sites, two real applications", 3, 2, 12, 8},
		{"ten sites, one application", 10, 1, 20, 5},
		{"the four sites of the ADA, one application", 4, 1, 8, 12},
	} {
		t.Run(c.name, func(t *testing.T) {
			each := neuro.Compressions(c.sites, c.applications, 2)
			if each != c.each {
				t.Errorf("%d compressions a person, want %d", each, c.each)
			}
			if people := neuro.PeopleBeforeRest(0, each); people != c.people {
				t.Errorf("%d people before the rest, want %d", people, c.people)
			}
		})
	}
	for _, c := range []struct{ used, each, want int }{{100, 12, 0}, {130, 12, 0}, {88, 12, 1}, {89, 12, 0}, {0, 0, 0}} {
		if got := neuro.PeopleBeforeRest(c.used, c.each); got != c.want {
			t.Errorf("%d used, %d each: %d people, want %d", c.used, c.each, got, c.want)
		}
	}
}

func TestThePODUSItemIsTheMonofilamentAlone(t *testing.T) {
	for _, c := range []struct {
		name        string
		protocol    neuro.Protocol
		right, left string
		want        known.Tri
	}{
		{"nothing tested", neuro.FourSites, "", "", known.Unknown},
		{"all planned sites felt", neuro.FourSites, four, four, known.No},
		{"one planned site untested", neuro.FourSites, three, four, known.Unknown},
		{"without a plan the three sites are enough", neuro.NoProtocol, three, three, known.No},
		{"one site not felt", neuro.FourSites, "mth3-", "", known.Yes},
		{"a site outside the plan not felt", neuro.ThreeSites, three + " heel-", three, known.Yes},
		{"an unfelt fork is another test", neuro.ThreeSites, three + " vibration-", three, known.No},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := neuro.FilamentNotFelt(neuro.Tests{Protocol: c.protocol, Feet: [2]neuro.Foot{written(t, c.right), written(t, c.left)}})
			if got != c.want {
				t.Errorf("got %v, want %v", got, c.want)
			}
		})
	}
	tests := neuro.Tests{}
	tests.Loss[0], tests.Loss[1] = gone(), gone()
	if got := neuro.FilamentNotFelt(tests); got != known.Unknown {
		t.Errorf("two feet gone: got %v, want unknown", got)
	}
}

func TestTheVibrationThresholdHasTwoEdges(t *testing.T) {
	for _, c := range []struct {
		volts           known.Tenths
		above25, from25 known.Tri
	}{
		{known.TenthsOf(249), known.No, known.No},
		{known.TenthsOf(250), known.No, known.Yes}, // tests-and-wounds 2.12: 25.0 V
		{known.TenthsOf(251), known.Yes, known.Yes},
		{known.Tenths{State: known.TooHigh}, known.Yes, known.Yes},
		{known.Tenths{}, known.Unknown, known.Unknown},
		{known.Tenths{State: known.CannotMeasure}, known.Unknown, known.Unknown},
	} {
		if a, f := neuro.VPTAbove25(c.volts), neuro.VPTFrom25(c.volts); a != c.above25 || f != c.from25 {
			t.Errorf("%v V: %v and %v, want %v and %v", c.volts, a, f, c.above25, c.from25)
		}
	}
}
