package risk

import (
	"strings"
	"testing"

	"tengram/internal/kernel/known"
	"tengram/internal/kernel/source"
)

// Appendix A of the risk reference: ADA 2008 by L, P, D, U, A, E (rule second
// hand, rows derived); "-" is a combination that the text leaves out.
const adaOracle = "00333333--333333 2233333322333333 1133333311333333 2233333322333333"

func TestADA2008FollowsItsTableAndMarksTheRowItLeavesOut(t *testing.T) {
	want := oracle(adaOracle)
	if len(want) != 64 {
		t.Fatalf("the oracle has %d entries", len(want))
	}
	s := system(t, "ada-2008")
	count := map[byte]int{}
	for index := range 64 {
		r := Judge(s, factsAt(index))
		got := byte('0' + r.Low.Rank)
		if r.Undefined {
			got = '-'
			if r.Low.Rank != 0 || !r.Settled() {
				t.Errorf("index %d: the nearest row is %d..%d, want 0", index, r.Low.Rank, r.High.Rank)
			}
			if why := r.Because[0]; why.Source == nil || why.Source.Standing != source.Proposal {
				t.Errorf("index %d: the missing row is not explained as our proposal: %+v", index, why)
			}
		}
		if got != want[index] || !r.Settled() {
			t.Errorf("index %d: %c, want %c", index, got, want[index])
		}
		if index%2 == 0 { // ESRD is no input: 32 combinations of L, P, D, U, A
			count[got]++
		}
	}
	// Section 2.3: "cat 3: 24, cat 2: 4, cat 1: 2, cat 0: 1, undefined: 1".
	for category, n := range map[byte]int{'3': 24, '2': 4, '1': 2, '0': 1, '-': 1} {
		if count[category] != n {
			t.Errorf("category %c: %d of 32 combinations, want %d", category, count[category], n)
		}
	}
}

// with answers everything no but the factors given.
func with(fs ...Factor) *Facts {
	f := allNo()
	for _, factor := range fs {
		f.Is[factor] = known.Yes
	}
	return f
}

// Section 5.5 of the risk reference (derived from the published rules): one
// person, the systems side by side. On dialysis is end-stage kidney disease,
// renal replacement and an eGFR below 30; PAD is an absent pulse; LOPS is a
// monofilament not felt.
func TestTheSamePersonBySixSystems(t *testing.T) {
	l := []Factor{LOPS, FilamentInsensate}
	p := []Factor{PAD, PulseAbsent}
	dialysis := []Factor{ESRD, KidneyReplacement, EGFRBelow30}
	join := func(lists ...[]Factor) (all []Factor) {
		for _, list := range lists {
			all = append(all, list...)
		}
		return all
	}
	d, c, u, a := []Factor{Deformity}, []Factor{Callus}, []Factor{UlcerHistory}, []Factor{Amputation}
	for _, tc := range []struct {
		person                                         string
		facts                                          []Factor
		literal, cautious, ada, nice, scotland, points string
	}{
		{"none", nil, "0", "0", "0", "low", "low", "0"},
		{"deformity only", d, "0", "0", "undefined", "moderate", "moderate", "0"},
		{"callus only", c, "0", "0", "0", "low", "moderate", "0"},
		{"LOPS only", l, "1", "1", "1", "moderate", "moderate", "1"},
		{"PAD only", p, "1", "1", "2", "moderate", "moderate", "1"},
		{"LOPS and callus", join(l, c), "1", "1", "1", "high", "high", "1"},
		{"LOPS and deformity", join(l, d), "2", "2", "1", "high", "high", "1"},
		{"PAD and deformity", join(p, d), "2", "2", "2", "high", "high", "1"},
		{"LOPS and PAD", join(l, p), "2", "2", "2", "high", "high", "2"},
		{"past ulcer only", u, "0", "3", "3", "high", "in remission", "2"},
		{"amputation only", a, "0", "3", "3", "high", "in remission", "2"},
		{"on dialysis only", dialysis, "0", "3", "0", "high", "moderate", "0"},
		{"LOPS and on dialysis", join(l, dialysis), "3", "3", "1", "high", "high", "1"},
		{"LOPS, PAD and a past ulcer", join(l, p, u), "3", "3", "3", "high", "in remission", "4"},
	} {
		f := with(tc.facts...)
		for id, want := range map[string]string{
			"iwgdf-2023": tc.literal, "iwgdf-2019": tc.literal, "ada-2008": tc.ada, "nice-ng19": tc.nice,
			"scotland-2016": tc.scotland, "podus-2020": tc.points,
		} {
			r := Judge(system(t, id), f)
			got := r.Low.Code
			if r.Undefined {
				got = "undefined"
			}
			if got != want || !r.Settled() {
				t.Errorf("%s: %s gives %s, want %s", tc.person, id, got, want)
			}
		}
		if low, _ := Judge(system(t, "iwgdf-2023"), f).ForPlan(); low.Code != tc.cautious {
			t.Errorf("%s: cautious %s, want %s", tc.person, low.Code, tc.cautious)
		}
	}
}

// Sections 1.8, 2.4, 5.3, 5.6 and 6.3 of the risk reference.
func TestPublishedCheckCases(t *testing.T) {
	twelve, sixTwelve, threeSix, oneThree := Interval{12, 12}, Interval{6, 12}, Interval{3, 6}, Interval{1, 3}
	for _, tc := range []struct {
		id     string
		system string
		facts  *Facts
		code   string
		recall Interval
	}{
		{"IWG-1", "iwgdf-2023", with(), "0", twelve},
		{"IWG-2", "iwgdf-2023", with(Deformity), "0", twelve},
		{"IWG-3", "iwgdf-2023", with(PAD), "1", sixTwelve},
		{"IWG-4a", "iwgdf-2023", with(LOPS, Deformity), "2", threeSix},
		{"IWG-4b", "iwgdf-2023", with(PAD, Deformity), "2", threeSix},
		{"IWG-4c", "iwgdf-2023", with(LOPS, PAD), "2", threeSix},
		{"IWG-4d", "iwgdf-2023", with(LOPS, PAD, Deformity), "2", threeSix},
		{"IWG-5a", "iwgdf-2023", with(LOPS, UlcerHistory), "3", oneThree},
		{"IWG-5b", "iwgdf-2023", with(PAD, Amputation), "3", oneThree},
		{"IWG-5c", "iwgdf-2023", with(LOPS, ESRD), "3", oneThree},
		{"IWG-8a", "iwgdf-2015", with(PAD), "0", twelve},
		{"IWG-8b", "iwgdf-2015", with(LOPS, PAD), "2", threeSix},
		{"IWG-8c", "iwgdf-2015", with(LOPS, UlcerHistory), "3", oneThree},
		{"IWG-8d", "iwgdf-2015", with(LOPS, ESRD), "1", Interval{6, 6}},
		{"1.6: PAD and deformity were 0 in 2015", "iwgdf-2015", with(PAD, Deformity), "0", twelve},
		{"ADA-5", "ada-2008", with(LOPS, Deformity), "1", threeSix},
		{"ADA-6", "ada-2008", with(PAD, LOPS), "2", Interval{2, 3}},
		{"ADA-7", "ada-2008", with(UlcerHistory), "3", Interval{1, 2}},
		{"NG-1", "nice-ng19", with(Callus), "low", twelve},
		{"NG-2", "nice-ng19", with(LOPS), "moderate", threeSix},
		{"NG-3", "nice-ng19", with(LOPS, Callus), "high", Interval{1, 2}},
		{"NG-4", "nice-ng19", with(Deformity, Callus), "moderate", threeSix},
		{"NG-5", "nice-ng19", with(KidneyReplacement), "high", Interval{1, 2}},
		{"kidney failure without replacement is no NICE factor (5.2)", "nice-ng19", with(ESRD), "low", twelve},
		{"5.4 low, screened every 2 years", "scotland-2016", with(), "low", Interval{24, 24}},
		{"5.4 a consolidated Charcot foot is in remission", "scotland-2016", with(CharcotHistory), "in remission", twelve},
		{"5.4 two of six are high", "scotland-2016", with(SelfCareDifficulty, EGFRBelow30), "high", twelve},
		{"POD-1", "podus-2020", with(), "0", Interval{}},
		{"POD-2a", "podus-2020", with(FilamentInsensate), "1", Interval{}},
		{"POD-2b", "podus-2020", with(PulseAbsent), "1", Interval{}},
		{"POD-3a", "podus-2020", with(FilamentInsensate, PulseAbsent), "2", Interval{}},
		{"POD-3b", "podus-2020", with(UlcerHistory), "2", Interval{}},
		{"POD-4", "podus-2020", with(UlcerHistory, FilamentInsensate), "3", Interval{}},
		{"POD-5", "podus-2020", with(UlcerHistory, FilamentInsensate, PulseAbsent), "4", Interval{}},
		{"POD-6", "podus-2020", with(UlcerHistory, Amputation), "2", Interval{}},
	} {
		t.Run(tc.id, func(t *testing.T) {
			r := Judge(system(t, tc.system), tc.facts)
			if r.Low.Code != tc.code || !r.Settled() || r.Low.Recall != tc.recall {
				t.Errorf("%s..%s, months %v; want %s, %v", r.Low.Code, r.High.Code, r.Low.Recall, tc.code, tc.recall)
			}
		})
	}
}

func TestAnUnknownWidensTheCategoryAndIsAskedFor(t *testing.T) {
	f := with(Deformity) // IWG-7: L unknown, P no, no history, D yes
	f.Is[LOPS] = known.Unknown
	r := Judge(system(t, "iwgdf-2023"), f)
	if r.Low.Rank != 0 || r.High.Rank != 2 || len(r.SettledBy) != 1 || r.SettledBy[0] != LOPS {
		t.Errorf("IWG-7: %d..%d settled by %v, want 0..2 by lops", r.Low.Rank, r.High.Rank, r.SettledBy)
	}
	g := with() // POD-8: monofilament not done, the rest negative
	g.Is[FilamentInsensate] = known.Unknown
	r = Judge(system(t, "podus-2020"), g)
	if r.Low.Rank != 0 || r.High.Rank != 1 || len(r.SettledBy) != 1 || r.SettledBy[0] != FilamentInsensate {
		t.Errorf("POD-8: %d..%d settled by %v, want 0..1 by the monofilament", r.Low.Rank, r.High.Rank, r.SettledBy)
	}
	h := with(Deformity) // ADA-8 with LOPS unknown: the hole, or category 1
	h.Is[LOPS] = known.Unknown
	r = Judge(system(t, "ada-2008"), h)
	if r.Low.Rank != 0 || r.High.Rank != 1 || r.Undefined || !strings.Contains(r.Because[len(r.Because)-1].Says, "no row") {
		t.Errorf("deformity with LOPS unknown: %d..%d undefined %v: %v", r.Low.Rank, r.High.Rank, r.Undefined, r.Because)
	}
}

// Section 6.2: 2-year risk with its 95 % interval (confirmed).
func TestPODUSGivesThePublishedProbabilities(t *testing.T) {
	want := []string{"2.4 (1.5 to 3.9)", "6.0 (3.5 to 9.5)", "14.0 (8.5 to 21.3)", "29.2 (19.2 to 41.0)", "51.1 (37.9 to 64.1)"}
	for points, c := range system(t, "podus-2020").Categories {
		p := c.Probability
		if got := p.Percent.String() + " (" + p.Low.String() + " to " + p.High.String() + ")"; got != want[points] || p.Years != 2 {
			t.Errorf("%d points: %s in %d years, want %s in 2", points, got, p.Years, want[points])
		}
	}
}

func TestEveryConclusionCarriesItsReasonsAndTheirSource(t *testing.T) {
	f := with(LOPS, UlcerHistory)
	f.Because[LOPS] = source.Because{{Says: "Not felt at the right great toe.", Fact: "right.test.filament.hallux"}}
	r := Judge(system(t, "iwgdf-2023"), f)
	if r.Because[0].Source == nil || r.Because[0].Source.ID != "iwgdf-2023-prevention" {
		t.Errorf("the first reason is no rule of the guideline: %+v", r.Because[0])
	}
	found := false
	for _, reason := range r.Because {
		found = found || reason.Fact == "right.test.filament.hallux"
		if strings.HasPrefix(reason.Says, "Foot deformity") {
			t.Errorf("deformity plays no part here: %+v", reason)
		}
	}
	if !found {
		t.Errorf("what LOPS rests on is not passed on: %+v", r.Because)
	}
	for _, s := range Systems() {
		for at := range 1 << len(s.Factors) {
			x := s.set(at)
			because := s.Explain(x, s.Judge(x))
			if len(because) == 0 || because[0].Says == "" || because[0].Source == nil {
				t.Errorf("%s does not explain assignment %b", s.ID, at)
			}
		}
		if r := Judge(s, &Facts{}); len(r.Because) < 2 || !strings.HasPrefix(r.Because[len(r.Because)-1].Says, "Not known: ") {
			t.Errorf("%s does not say what is not known: %+v", s.ID, r.Because)
		}
	}
}

func TestTheCautiousReadingSaysWhoThinksSo(t *testing.T) {
	r := Judge(system(t, "iwgdf-2023"), with(Amputation)) // IWG-6
	if r.Low.Rank != 0 || r.Cautious == nil || r.Cautious.Low.Rank != 3 || r.Cautious.High.Rank != 3 {
		t.Fatalf("amputation only: %+v", r)
	}
	standings := map[string]source.Standing{}
	for _, reason := range r.Cautious.Because {
		if reason.Source != nil {
			standings[reason.Source.ID] = reason.Source.Standing
		}
	}
	for id, want := range map[string]source.Standing{ // section 1.4
		"iwgdf-2023-prevention": source.Proposal, "peters-2001": source.Confirmed,
		"ada-2008-foot-exam": source.Secondary, "nice-ng19": source.Secondary, "scotland-2016": source.Secondary,
	} {
		if standings[id] != want {
			t.Errorf("%s stands as %q, want %q", id, standings[id], want)
		}
	}
}

func TestSystemsAreKnownByTheirIDs(t *testing.T) {
	ids := ""
	for _, s := range Systems() {
		ids += s.ID + " "
		for rank, c := range s.Categories {
			if c.Rank != rank || c.Code == "" || c.Name == "" {
				t.Errorf("%s: category %d is %+v", s.ID, rank, c)
			}
		}
	}
	if want := "iwgdf-2023 iwgdf-2019 iwgdf-2015 ada-2008 nice-ng19 scotland-2016 podus-2020 "; ids != want {
		t.Errorf("systems %s, want %s", ids, want)
	}
	if _, ok := ByID("iwgdf-2011"); ok {
		t.Error("an unknown id is found")
	}
}
