package risk

import "tengram/internal/kernel/source"

// ada2008 has a hole: deformity alone is in no row. Judge gives the nearest
// row, 0, and marks the result undefined; footwear advice belongs to it (our
// proposal).
func ada2008() System {
	table := source.ADA2008FootExam.At("risk classification table", source.Secondary)
	s := System{
		ID: "ada-2008", Name: "ADA 2008", Source: table,
		Factors: []Factor{LOPS, PAD, Deformity, UlcerHistory, Amputation},
		Categories: []Category{
			{Rank: 0, Code: "0", Name: "no risk finding", Recall: Interval{12, 12}},
			{Rank: 1, Code: "1", Name: "loss of protective sensation", Recall: Interval{3, 6}},
			{Rank: 2, Code: "2", Name: "peripheral artery disease", Recall: Interval{2, 3}},
			{Rank: 3, Code: "3", Name: "past ulcer or amputation", Recall: Interval{1, 2}},
		},
		noRow: source.Reason{
			Says:   "The text has no row for a deformity alone. The nearest row is category 0; add footwear advice.",
			Source: source.ADA2008FootExam.At("no row for deformity alone", source.Proposal),
		},
	}
	history := setOf(UlcerHistory, Amputation)
	return s.finish([]row{
		{
			rank: 3, rests: history, source: table,
			holds: func(x Set) bool { return x.hasAny(history) },
			says:  "Category 3: a past foot ulcer or amputation.",
		},
		{
			rank: 2, rests: setOf(PAD), source: table,
			holds: func(x Set) bool { return x.Has(PAD) },
			says:  "Category 2: peripheral artery disease, with or without loss of protective sensation.",
		},
		{
			rank: 1, rests: setOf(LOPS), source: table,
			holds: func(x Set) bool { return x.Has(LOPS) },
			says:  "Category 1: loss of protective sensation, with or without deformity.",
		},
		{
			rank: 0, rests: setOf(LOPS, PAD, Deformity), source: table,
			holds: func(x Set) bool { return !x.Has(Deformity) },
			says:  "Category 0: no loss of protective sensation, no peripheral artery disease, no deformity.",
		},
	}, nil)
}
