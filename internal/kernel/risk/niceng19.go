package risk

import "tengram/internal/kernel/source"

// niceNG19 reads renal replacement therapy, which is narrower than end-stage
// kidney disease. Callus alone is no risk factor.
func niceNG19() System {
	text := source.NICENG19.At("risk of developing a diabetic foot problem", source.Secondary)
	s := System{
		ID: "nice-ng19", Name: "NICE NG19", Source: text,
		Factors: []Factor{LOPS, PAD, Deformity, Callus, UlcerHistory, Amputation, KidneyReplacement},
		Categories: []Category{
			{Rank: 0, Code: "low", Name: "low risk", Recall: Interval{12, 12}},
			{Rank: 1, Code: "moderate", Name: "moderate risk", Recall: Interval{3, 6}},
			{Rank: 2, Code: "high", Name: "high risk", Recall: Interval{1, 2}},
		},
	}
	history := setOf(UlcerHistory, Amputation, KidneyReplacement)
	gate := setOf(LOPS, PAD)
	shape := setOf(Deformity, Callus)
	one := setOf(LOPS, PAD, Deformity)
	return s.finish([]row{
		{
			rank: 2, rests: history, source: text,
			holds: func(x Set) bool { return x.hasAny(history) },
			says:  "High: a past foot ulcer, a past amputation or renal replacement therapy.",
		},
		{
			rank: 2, rests: gate | shape, source: text,
			holds: func(x Set) bool { return x.Has(LOPS) && x.Has(PAD) || x.hasAny(gate) && x.hasAny(shape) },
			says:  "High: neuropathy with limb ischaemia, or one of them with callus or deformity.",
		},
		{
			rank: 1, rests: one, source: text,
			holds: func(x Set) bool { return x.hasAny(one) },
			says:  "Moderate: one of neuropathy, limb ischaemia and deformity.",
		},
		{
			rank: 0, rests: one | history, source: text,
			holds: func(Set) bool { return true },
			says:  "Low: no risk factor, or callus alone.",
		},
	}, nil)
}
