package risk

import (
	"math/bits"

	"tengram/internal/kernel/source"
)

// scotland2016 counts six factors. A past ulcer, amputation or consolidated
// Charcot foot is "in remission": managed as high and never rated down. The
// high level is not screened again; its podiatry plan is reviewed at least
// yearly, which is the interval here.
func scotland2016() System {
	chart := source.Scotland2016.At("risk stratification", source.Secondary)
	counted := []Factor{LOPS, PAD, Callus, Deformity, SelfCareDifficulty, EGFRBelow30}
	history := setOf(UlcerHistory, Amputation, CharcotHistory)
	s := System{
		ID: "scotland-2016", Name: "Scotland 2016", Source: chart,
		Factors: append(counted[:6:6], UlcerHistory, Amputation, CharcotHistory),
		Categories: []Category{
			{Rank: 0, Code: "low", Name: "low risk", Recall: Interval{24, 24}},
			{Rank: 1, Code: "moderate", Name: "moderate risk", Recall: Interval{12, 12}},
			{Rank: 2, Code: "high", Name: "high risk", Recall: Interval{12, 12}},
			{Rank: 3, Code: "in remission", Name: "managed as high risk", Recall: Interval{12, 12}},
		},
	}
	six := setOf(counted...)
	count := func(x Set) int { return bits.OnesCount32(uint32(x & six)) }
	return s.finish([]row{
		{
			rank: 3, rests: history, source: chart,
			holds: func(x Set) bool { return x.hasAny(history) },
			says:  "In remission: a past foot ulcer, an amputation or a consolidated Charcot foot; managed as high risk.",
		},
		{
			rank: 2, rests: six, source: chart,
			holds: func(x Set) bool { return count(x) > 1 },
			says:  "High: more than one of the six risk factors; a podiatry plan, reviewed at least yearly.",
		},
		{
			rank: 1, rests: six, source: chart,
			holds: func(x Set) bool { return count(x) == 1 },
			says:  "Moderate: one of the six risk factors.",
		},
		{
			rank: 0, rests: six, source: chart,
			holds: func(x Set) bool { return count(x) == 0 },
			says:  "Low: none of loss of protective sensation, peripheral artery disease, callus, deformity, difficulty with self-care and eGFR below 30.",
		},
	}, nil)
}
