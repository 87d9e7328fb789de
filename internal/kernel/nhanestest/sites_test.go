package nhanestest

import (
	"strconv"
	"testing"

	"tengram/internal/kernel/known"
	"tengram/internal/kernel/neuro"
)

// TestTheCountOfInsensateSitesOnEveryFoot applies the rule of the answers to
// all 18,290 feet and wants the survey's own count on each, or none where it
// has none: number of feet and differences from expected.json, "site_rule". Of
// them 15,853 have a count; the others were not examined, or not to the end.
func TestTheCountOfInsensateSitesOnEveryFoot(t *testing.T) {
	expected := readExpected(t)
	all, counted := 0, 0
	for _, cycle := range cycles {
		feet, differ := 0, 0
		for _, p := range read(t, cycle) {
			for side := range 2 {
				feet++
				want := p.count[side]
				if want == "" {
					want = "-1" // the foot was not examined
				}
				if want != "-1" {
					counted++
				}
				if got := countOf(&p, side); got != want {
					differ++
					if differ < 5 {
						t.Errorf("%s, participant %s, side %d: %s insensate sites, the survey has %s", cycle, p.seqn, side, got, want)
					}
				}
			}
		}
		want := expected.SiteRule[cycle]
		if feet != want.Agree || differ != want.Differ {
			t.Errorf("%s: %d feet with %d differences, want %d with %d", cycle, feet, differ, want.Agree, want.Differ)
		}
		all += feet
	}
	if all != 18290 {
		t.Errorf("%d feet in all, want 18290 (README of the data)", all)
	}
	if counted != 15853 {
		t.Errorf("%d feet with a count, want 15853 (counted from the files)", counted)
	}
}

// countOf is the number of insensate sites as the survey writes it: -1 where
// any of the three is undecided.
func countOf(p *person, side int) string {
	insensate := 0
	for s := range sites {
		switch neuro.SiteFromTrials(neuro.FirstOrTwoOfThree, p.trials[side][s]) {
		case known.Abnormal:
			insensate++
		case known.NotDone:
			return "-1"
		}
	}
	return strconv.Itoa(insensate)
}

// TestTheDefinitionOfThreeSitesAgreesWithTheSurvey judges every person by the
// IWGDF definition, whose three sites are the survey's. With both feet counted
// the answers are the same. With a foot that has no count ours never says no
// where one foot alone was counted: that foot was not looked at.
func TestTheDefinitionOfThreeSitesAgreesWithTheSurvey(t *testing.T) {
	definition, ok := neuro.ByID("lops-iwgdf-2023")
	if !ok {
		t.Fatal("no definition")
	}
	both, one := 0, 0
	for _, cycle := range cycles {
		for _, p := range read(t, cycle) {
			got := definition.Judge(p.tests())
			counted, lost := 0, false
			for side := range 2 {
				if p.count[side] != "-1" && p.count[side] != "" {
					counted++
					lost = lost || p.count[side] != "0"
				}
			}
			switch {
			case counted == 2:
				both++
				if got.LOPS != known.Of(lost) {
					t.Fatalf("participant %s: LOPS is %v, the survey counts %v", p.seqn, got.LOPS, p.count)
				}
			case counted == 1:
				one++
				if got.LOPS == known.No || lost && got.LOPS != known.Yes {
					t.Fatalf("participant %s: LOPS is %v, the survey counts %v", p.seqn, got.LOPS, p.count)
				}
			default:
				if got.LOPS == known.No {
					t.Fatalf("participant %s: LOPS is no, the survey has no count", p.seqn)
				}
			}
		}
	}
	if both == 0 || one == 0 {
		t.Fatalf("%d people with both feet counted and %d with one: the files are not what they were", both, one)
	}
	t.Logf("%d people with both feet counted, %d with one", both, one)
}
