package nhanestest

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"tengram/internal/kernel/neuro"
	"tengram/internal/kernel/perfusion"
)

// outcome is what the kernel's rules and the survey's answers say of a person,
// with whether it is known.
type outcome struct{ known, yes bool }

func (o outcome) or(others ...outcome) outcome {
	for _, x := range others {
		o.yes = o.yes || x.known && x.yes
	}
	return o
}

// outcomes of one person, by the names of expected.json.
func outcomes(t testing.TB, p *person, lops neuro.Definition) map[string]outcome {
	recorded, exact, pn, pnBoth, pnTwo := outcome{}, outcome{}, outcome{}, outcome{}, outcome{}
	judged := lops.Judge(p.tests())
	complete, insensate := 0, 0
	for _, f := range judged.Feet {
		if f.Tested == len(sites) {
			complete++
			insensate += f.Insensate
			pn.known, pn.yes = true, pn.yes || f.Insensate > 0
		}
	}
	pnBoth = outcome{complete == 2 || pn.yes, pn.yes}
	pnTwo = outcome{pn.known, insensate >= 2}
	for side := range 2 {
		if p.index[side] == "" {
			continue
		}
		recorded.known, exact.known = true, true
		recorded.yes = recorded.yes || hundredths(t, p.index[side]) < 90
		exact.yes = exact.yes || p.ankle[side]/p.arm < 0.9
	}
	ulcer := outcome{p.ulcerEver == "1" || p.ulcerEver == "2", p.ulcerEver == "1"}
	lost := eitherSide(p.lost, func(c string) bool { return c >= "2" && c <= "6" }, func(c string) bool { return c == "1" })
	lesion := eitherSide(p.lesion, func(c string) bool { return c == "1" }, func(c string) bool { return c == "2" })
	any := outcome{recorded.known && pn.known, recorded.yes || pn.yes}.or(ulcer, lost)
	return map[string]outcome{
		"PAD":                                 recorded,
		"PAD, ABI recomputed and not rounded": exact,
		"PN":                                  pn,
		"PN, a negative needs both feet complete": pnBoth,
		"PN, 2 or more insensate sites":           pnTwo,
		"ulcer history":                           ulcer,
		"amputation":                              lost,
		"current lesion":                          lesion,
		"any LED":                                 any,
		"any LED incl. current lesion":            any.or(lesion),
	}
}

// eitherSide is yes if one side is, and no only if both sides were seen.
func eitherSide(codes [2]string, yes, no func(string) bool) outcome {
	is := yes(codes[0]) || yes(codes[1])
	return outcome{is || no(codes[0]) && no(codes[1]), is}
}

func inPopulation(t testing.TB, p *person, name string) bool {
	switch name {
	case "all":
		return true
	case "diabetes":
		return p.toldDiabetes == "1"
	case "no diabetes":
		return p.toldDiabetes == "2" || p.toldDiabetes == "3"
	case "age 40-59":
		return p.age < 60
	case "age 60-74":
		return p.age >= 60 && p.age < 75
	case "age 75+":
		return p.age >= 75
	}
	t.Fatalf("population %q", name)
	return false
}

// weight of a person in a span of years, as the README of the data says.
func weight(t testing.TB, p *person, cycle, years string) float64 {
	switch years {
	case "1999-2000":
		return p.weight2
	case "1999-2002":
		return p.weight4
	case "1999-2004":
		if cycle == "2003-2004" {
			return p.weight2 / 3
		}
		return p.weight4 * 2 / 3
	}
	t.Fatalf("years %q", years)
	return 0
}

var cyclesOf = map[string][]string{"1999-2000": cycles[:1], "1999-2002": cycles[:2], "1999-2004": cycles}

// TestTheRatesOfTheSurvey computes every rate of expected.json from the rules
// of the kernel: the number of people and events exactly, the estimate, its
// error and interval to the printed digit. A rate with a published figure must
// also lie inside the published interval, or round to the published figure
// where the paper prints none: Gregg et al., Diabetes Care 2004;27:1591 and
// MMWR 2005;54:1158.
func TestTheRatesOfTheSurvey(t *testing.T) {
	lops, ok := neuro.ByID("lops-iwgdf-2023")
	if !ok {
		t.Fatal("no definition")
	}
	type row struct {
		p        person
		cycle    string
		outcomes map[string]outcome
	}
	var rows []row
	for _, cycle := range cycles {
		for _, p := range read(t, cycle) {
			rows = append(rows, row{p, cycle, outcomes(t, &p, lops)})
		}
	}
	published := 0
	for _, want := range readExpected(t).Prevalence {
		t.Run(fmt.Sprintf("%s %s %s", want.Years, want.Population, want.Measure), func(t *testing.T) {
			var all []observation
			for i := range rows {
				r := &rows[i]
				if !slices.Contains(cyclesOf[want.Years], r.cycle) {
					continue
				}
				o, ok := r.outcomes[want.Measure]
				if !ok {
					t.Fatalf("measure %q", want.Measure)
				}
				all = append(all, observation{r.p.stratum, r.p.psu, weight(t, &r.p, r.cycle, want.Years),
					o.known && inPopulation(t, &r.p, want.Population), o.yes})
			}
			got := proportion(t, all)
			if got.n != want.N || got.events != want.Events || got.df != want.DF {
				t.Errorf("%d of %d people, %d degrees of freedom; want %d of %d, %d", got.events, got.n, got.df, want.Events, want.N, want.DF)
			}
			if math.Abs(got.pct-want.Pct) > 0.0051 || math.Abs(got.se-want.SE) > 0.0051 || math.Abs(got.low-want.Low) > 0.051 || math.Abs(got.high-want.High) > 0.051 {
				t.Errorf("%.3f %% (%.2f to %.2f), se %.3f; want %.2f (%.1f to %.1f), %.2f", got.pct, got.low, got.high, got.se, want.Pct, want.Low, want.High, want.SE)
			}
			if want.Published != nil {
				published++
				checkPublished(t, got, want)
			}
		})
	}
	if published != 12 {
		t.Errorf("%d rates with a published figure, want 12 (README of the data)", published)
	}
}

func checkPublished(t *testing.T, got estimate, want rate) {
	t.Helper()
	if want.PublishedCI == "" {
		// MMWR prints no interval in the digest: within half a percentage point.
		if math.Abs(got.pct-*want.Published) > 0.5 {
			t.Errorf("%.2f %%, published %v %% (%s)", got.pct, *want.Published, want.Source)
		}
		return
	}
	var low, high float64
	if _, err := fmt.Sscanf(want.PublishedCI, "%f-%f", &low, &high); err != nil {
		t.Fatalf("interval %q: %v", want.PublishedCI, err)
	}
	if got.pct < low || got.pct > high {
		t.Errorf("%.2f %% lies outside the published %s (%s)", got.pct, want.PublishedCI, want.Source)
	}
	if math.Abs(got.pct-*want.Published) > 0.05 {
		t.Errorf("%.3f %% does not round to the published %v %% (%s)", got.pct, *want.Published, want.Source)
	}
}

// TestTheKernelsOwnEdgeFindsMorePAD says how the rule in force differs from the
// published one: an index of exactly 0.90 is abnormal here (AHA/ACC) and was
// not in the survey's papers, so nobody is lost and some are added.
func TestTheKernelsOwnEdgeFindsMorePAD(t *testing.T) {
	fewer, more, both := 0, 0, 0
	for _, p := range read(t, "1999-2000") {
		theirs, ours := false, false
		for side := range 2 {
			if p.index[side] == "" {
				continue
			}
			theirs = theirs || hundredths(t, p.index[side]) < 90
			ours = ours || perfusion.ACC2024.Band(indexOf(&p, side).Value) == "abnormal"
		}
		switch {
		case theirs && ours:
			both++
		case theirs:
			fewer++
		case ours:
			more++
		}
	}
	if fewer != 0 || more == 0 || both != 162 {
		t.Errorf("%d people by both rules, %d by the survey's alone, %d by ours alone; want 162, 0, and some", both, fewer, more)
	}
	t.Logf("%d people have PAD by both rules, %d more by 0.90 itself", both, more)
}
