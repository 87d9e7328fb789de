package calc

import (
	"encoding/json"
	"fmt"
	"strings"
	"testing"
)

func runRisk(t *testing.T, line string) (Output, error) {
	t.Helper()
	words := strings.Fields(line)
	c, err := Find(words[0])
	if err != nil {
		t.Fatal(err)
	}
	return c.Do(words[1:])
}

// The section names are those of the risk reference; the tables behind them are
// named in package risk.
func TestRiskCalculators(t *testing.T) {
	for _, tc := range []struct {
		line string
		want string // path=value, a slash between the names of a path
	}{
		// 1.8
		{"iwgdf lops=no pad=no deformity=no ulcer-history=no amputation=no esrd=no",
			"low=0 high=0 settledBy=[] recall/low/minMonths=12 recall/high/maxMonths=12 cautious/low=0 cautious/high=0 cautious/differs=false"},
		{"iwgdf lops=no pad=no deformity=no ulcer-history=yes amputation=no esrd=no",
			"low=0 high=0 cautious/low=3 cautious/high=3 cautious/differs=true cautious/recall/low/minMonths=1"},
		{"iwgdf lops=unknown pad=no deformity=yes ulcer-history=no amputation=no esrd=no",
			"low=0 high=2 settledBy=[lops] cautious/low=0 cautious/high=2 cautious/differs=false cautious/settledBy=[lops]"},
		{"iwgdf lops=yes pad=no deformity=yes ulcer-history=no amputation=no",
			"low=2 high=3 settledBy=[esrd] recall/low/maxMonths=6 recall/high/minMonths=1"},
		{"iwgdf", "low=0 high=3 cautious/low=0 cautious/high=3 cautious/differs=false"},
		{"iwgdf lops=no pad=no deformity=unknown", "low=0 high=0 settledBy=[] cautious/low=0 cautious/high=3 cautious/differs=true"},
		{"iwgdf-2019 lops=yes pad=yes deformity=no ulcer-history=no amputation=no esrd=no", "low=2 high=2"},
		{"iwgdf-2015 lops=no pad=yes deformity=no ulcer-history=no amputation=no", "low=0 high=0 cautious=<nil>"},
		// 2.4
		{"ada lops=no pad=no deformity=yes ulcer-history=no amputation=no", "low=0 high=0 undefined=true"},
		{"ada lops=yes pad=no deformity=yes ulcer-history=no amputation=no", "low=1 high=1 undefined=false recall/low/minMonths=3"},
		// 5.6
		{"nice lops=yes pad=no deformity=no callus=yes ulcer-history=no amputation=no kidney-replacement=no", "low=high high=high recall/low/maxMonths=2"},
		{"nice lops=no pad=no deformity=no callus=yes ulcer-history=no amputation=no kidney-replacement=unknown", "low=low high=high settledBy=[kidney-replacement]"},
		{"scotland lops=no pad=no callus=no deformity=no self-care-difficulty=no egfr-below-30=no ulcer-history=no amputation=no charcot-history=yes", "low=in_remission"},
		// 6.3
		{"podus filament-insensate=yes pulse-absent=no ulcer-history=yes amputation=yes",
			"low=3 high=3 ulcerRisk/low/percent=29.2 ulcerRisk/low/lowPercent=19.2 ulcerRisk/high/highPercent=41.0 ulcerRisk/years=2 recall=<nil>"},
		// 7
		{"boyko a1c-percent=8.0 filament-insensate=yes low-vision=no tinea-pedis=no onychomycosis=no ulcer-history=no amputation=no",
			"low=1.49010 high=1.49010 lowQuartile=2 highQuartile=2 missing=[] outsideCohort=false"},
		// 9.1, 9.2
		{"martins-mendes complications=3 physical-impairment=yes pad-history=yes ulcer-history=yes", "ulcerOriginal/lowPercent=62.48 ulcerOriginal/highPercent=62.48 years=3"},
		{"martins-mendes complications=0 ulcer-history=no", "ulcerSimplified/lowPercent=5.42 amputationSimplified/highPercent=0.47 ulcerOriginal/lowPercent=3.59"},
		{"diafora points=25", "band=medium"},
		// 10.5, 8.5, 6.3
		{"visits category-0=600 category-1=200 category-2=150 category-3=50", "lowest=1300 highest=2200"},
		{"nnt baseline-percent=40 relative-risk=0.53", "nnt=5.3 people=6"},
		{"nnt baseline-percent=50 relative-risk=0.5", "nnt=4.0 people=4"},
		{"yearly-risk percent=51.1 years=2", "yearlyPercent=30.07"},
		{"risk-over-years yearly-percent=1 years=41", "percent=33.8"},
		{"podus-panel points-0=700 points-1=150 points-2=80 points-3=50 points-4=20", "expected=61.82"},
		{"recurrence free-years=1 by-years=3", "percent=33.3"},
	} {
		out, err := runRisk(t, tc.line)
		if err != nil {
			t.Errorf("%s: %v", tc.line, err)
			continue
		}
		for _, w := range strings.Fields(tc.want) {
			path, want, _ := strings.Cut(w, "=")
			got := strings.ReplaceAll(fmt.Sprint(out.Result.Get(strings.Split(path, "/")...)), " ", "_")
			if got != want {
				t.Errorf("%s: %s is %s, want %s", tc.line, path, got, want)
			}
		}
		if len(out.Steps) == 0 || len(out.Sources) == 0 {
			t.Errorf("%s: %d steps and %d sources", tc.line, len(out.Steps), len(out.Sources))
		}
	}
}

func TestIWGDFCategoriesAreJSONIntegers(t *testing.T) {
	out, err := runRisk(t, "iwgdf lops=yes pad=no deformity=no ulcer-history=no amputation=no esrd=no")
	if err != nil {
		t.Fatal(err)
	}
	b, err := json.Marshal(out.Result)
	if err != nil {
		t.Fatal(err)
	}
	want := `{"low":1,"high":1,"lowName":"low risk","highName":"low risk","settledBy":[],` +
		`"recall":{"low":{"minMonths":6,"maxMonths":12},"high":{"minMonths":6,"maxMonths":12}},` +
		`"cautious":{"low":1,"high":1,"lowName":"low risk","highName":"low risk","settledBy":[],` +
		`"recall":{"low":{"minMonths":6,"maxMonths":12},"high":{"minMonths":6,"maxMonths":12}},"differs":false}}`
	if string(b) != want {
		t.Errorf("got  %s\nwant %s", b, want)
	}
}

func TestTheExamplesOfTheRiskCalculatorsRun(t *testing.T) {
	for _, c := range riskCalculators() {
		out, err := c.Do(strings.Fields(c.Example))
		if err != nil || len(out.Result) == 0 {
			t.Errorf("%s %s: %v", c.Name, c.Example, err)
		}
	}
}

func TestRiskCalculatorsRefuseBadInput(t *testing.T) {
	for _, tc := range []struct{ line, says string }{
		{"iwgdf lops=maybe", "yes, no or unknown"},
		{"iwgdf callus=yes", "has no input"},
		{"boyko", "input a1c-percent is missing"},
		{"boyko a1c-percent=2.9", "from 3.0 to 20.0"},
		{"boyko a1c-percent=8.05", "at most one decimal"},
		{"boyko a1c-percent=unknown", "needs a number"},
		{"martins-mendes complications=8", "from 0 to 7"},
		{"diafora points=-1", "from 0 to 100"},
		{"visits category-0=1 category-1=1 category-2=1", "input category-3 is missing"},
		{"visits category-0=1 category-1=1 category-2=1 category-3=unknown", "a number of people is needed"},
		{"nnt baseline-percent=40 relative-risk=1", "nobody is spared"},
		{"nnt baseline-percent=0 relative-risk=0.5", "from 0.001 to 100"},
		{"nnt baseline-percent=unknown relative-risk=0.5", "a number is needed"},
		{"yearly-risk percent=101 years=2", "from 0 to 100"},
		{"recurrence free-years=3 by-years=1", "must not be before"},
		{"recurrence free-years=2 by-years=3", "not one of"},
		{"podus-panel points-0=-5 points-1=0 points-2=0 points-3=0 points-4=0", "from 0 to 100000000"},
	} {
		if _, err := runRisk(t, tc.line); err == nil || !strings.Contains(err.Error(), tc.says) {
			t.Errorf("%s: %v, want an error with %q", tc.line, err, tc.says)
		}
	}
}
