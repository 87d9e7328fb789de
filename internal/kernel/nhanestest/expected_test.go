package nhanestest

import (
	"encoding/json"
	"os"
	"testing"

	"tengram/internal/testdata"
)

// expected is what the reference computation beside the data gives.
type expected struct {
	SiteRule map[string]struct {
		Agree  int `json:"feet_agree"`
		Differ int `json:"feet_differ"`
	} `json:"site_rule"`
	ABIRule map[string]struct {
		Legs  int `json:"legs"`
		Equal int `json:"equal_after_rounding_half_up_2dp"`
		Same  int `json:"same_side_of_0_9"`
	} `json:"abi_rule"`
	Prevalence []rate `json:"prevalence"`
}

// rate is one weighted rate, in per cent, with the published figure where
// there is one.
type rate struct {
	Years       string   `json:"years"`
	Population  string   `json:"population"`
	Measure     string   `json:"measure"`
	N           int      `json:"n"`
	Events      int      `json:"events"`
	Pct         float64  `json:"pct"`
	SE          float64  `json:"se"`
	Low         float64  `json:"lo"`
	High        float64  `json:"hi"`
	DF          int      `json:"df"`
	Weights     float64  `json:"wsum"`
	Published   *float64 `json:"published_pct"`
	PublishedCI string   `json:"published_ci"`
	Source      string   `json:"source"`
}

func readExpected(t testing.TB) expected {
	t.Helper()
	b, err := os.ReadFile(testdata.Shared(t, "nhanes-lower-extremity", "expected.json"))
	if err != nil {
		t.Fatal(err)
	}
	var e expected
	if err := json.Unmarshal(b, &e); err != nil {
		t.Fatal(err)
	}
	if len(e.Prevalence) == 0 || len(e.SiteRule) != len(cycles) || len(e.ABIRule) != len(cycles) {
		t.Fatalf("expected.json holds %d rates and %d cycles", len(e.Prevalence), len(e.SiteRule))
	}
	return e
}
