package risk

import (
	"math"

	"tengram/internal/kernel/known"
	"tengram/internal/kernel/source"
)

// BoykoInput is what the Seattle score reads.
type BoykoInput struct {
	// A1c is the HbA1c in per cent (NGSP); without it there is no score.
	A1c known.Tenths
	// FilamentInsensate: the monofilament is not felt.
	FilamentInsensate known.Tri
	// LowVision: worse than 20/40.
	LowVision      known.Tri
	TineaPedis     known.Tri
	Onychomycosis  known.Tri
	UlcerHistory   known.Tri
	AmputationPast known.Tri
}

// BoykoScore is the score between the values that the unknown answers leave
// open.
type BoykoScore struct {
	// Low and High are in hundred-thousandths: 149010 is 1.4901.
	Low, High int
	// LowQuartile and HighQuartile are 1 (lowest) to 4 of the study's cohort.
	LowQuartile, HighQuartile int
	// Outside: a bound lies outside the scores of the cohort, 0.61 to 5.07.
	Outside bool
	// Missing names the unknown answers.
	Missing []string
	Because source.Because
}

// boykoTerm is one coefficient in hundred-thousandths.
type boykoTerm struct {
	name        string
	coefficient int
	answer      func(*BoykoInput) known.Tri
}

// boykoA1c is the coefficient of one tenth of a per cent of HbA1c: 0.0975 per
// per cent. All coefficients: Kaka 2023 table 6, second hand; they agree with
// the hazard ratios published in 2006.
const boykoA1c = 975

var boykoTerms = []boykoTerm{
	{"filament-insensate", 71010, func(in *BoykoInput) known.Tri { return in.FilamentInsensate }},
	{"low-vision", 38880, func(in *BoykoInput) known.Tri { return in.LowVision }},
	{"tinea-pedis", -32060, func(in *BoykoInput) known.Tri { return in.TineaPedis }},
	{"onychomycosis", 45790, func(in *BoykoInput) known.Tri { return in.Onychomycosis }},
	{"ulcer-history", 77840, func(in *BoykoInput) known.Tri { return in.UlcerHistory }},
	{"amputation", 94300, func(in *BoykoInput) known.Tri { return in.AmputationPast }},
}

// boykoTop are the highest scores of the first three quartiles, and of the
// cohort, in hundredths (Kaka 2023 table 6, second hand).
var boykoTop = [4]int{147, 199, 261, 507}

const boykoLowest = 61

// Boyko2006 adds up the Seattle score. Each unknown answer widens it. The score
// orders people; it gives no absolute risk, since the baseline survival of the
// model could not be confirmed. ok is false without an HbA1c.
func Boyko2006(in BoykoInput) (score BoykoScore, ok bool) {
	if !in.A1c.Known() {
		return BoykoScore{}, false
	}
	s := BoykoScore{Low: boykoA1c * in.A1c.Value}
	s.High = s.Low
	for _, t := range boykoTerms {
		switch t.answer(&in) {
		case known.Yes:
			s.Low += t.coefficient
			s.High += t.coefficient
		case known.Unknown:
			s.Low += min(0, t.coefficient)
			s.High += max(0, t.coefficient)
			s.Missing = append(s.Missing, t.name)
		}
	}
	low, high := boykoRound(s.Low), boykoRound(s.High)
	s.LowQuartile, s.HighQuartile = boykoQuartile(low), boykoQuartile(high)
	s.Outside = low < boykoLowest || high > boykoTop[3]
	s.Because = source.Because{
		{
			Says:   "Score = 0.0975 per % of HbA1c + 0.7101 monofilament + 0.3888 vision + 0.4579 onychomycosis - 0.3206 tinea pedis + 0.7784 past ulcer + 0.943 past amputation; quartiles end at 1.47, 1.99, 2.61 and 5.07.",
			Source: source.Kaka2023.At("table 6", source.Secondary),
		},
		{
			Says:   "The score orders people by hazard. It gives no risk in per cent: the model's baseline survival was not confirmed.",
			Source: source.Boyko2006.At("abstract", source.Confirmed),
		},
	}
	return s, true
}

// boykoRound rounds hundred-thousandths to hundredths, halves up, before the
// quartile is looked up: the printed quartiles have two decimals.
func boykoRound(score int) int { return int(math.Floor(float64(score)/1000 + 0.5)) }

func boykoQuartile(hundredths int) int {
	for q, top := range boykoTop {
		if hundredths <= top {
			return q + 1
		}
	}
	return 4
}

// BoykoTimes is how many times the hazard of one score is that of another, both
// in hundred-thousandths.
func BoykoTimes(score, other int) float64 { return math.Exp(float64(score-other) / 100000) }
