package risk

import "tengram/internal/kernel/source"

// iwgdf2015 is kept for regrading old records. Neuropathy was its only gate:
// peripheral artery disease alone was category 0, and kidney disease was no
// input. The names very low to high came with the edition of 2019; the words
// here name the row.
func iwgdf2015() System {
	table := source.IWGDF2015Prevention.At("risk classification table", source.Secondary)
	s := System{
		ID: "iwgdf-2015", Name: "IWGDF 2015", Source: table,
		Factors: []Factor{LOPS, PAD, Deformity, UlcerHistory, Amputation},
		Categories: []Category{
			{Rank: 0, Code: "0", Name: "no neuropathy", Recall: Interval{12, 12}},
			{Rank: 1, Code: "1", Name: "neuropathy", Recall: Interval{6, 6}},
			{Rank: 2, Code: "2", Name: "neuropathy with artery disease or deformity", Recall: Interval{3, 6}},
			{Rank: 3, Code: "3", Name: "neuropathy with a past ulcer or amputation", Recall: Interval{1, 3}},
		},
	}
	history := setOf(UlcerHistory, Amputation)
	second := setOf(PAD, Deformity)
	return s.finish([]row{
		{
			rank: 3, rests: setOf(LOPS) | history, source: table,
			holds: func(x Set) bool { return x.Has(LOPS) && x.hasAny(history) },
			says:  "Category 3: neuropathy with a past foot ulcer or amputation.",
		},
		{
			rank: 2, rests: setOf(LOPS) | second, source: table,
			holds: func(x Set) bool { return x.Has(LOPS) && x.hasAny(second) },
			says:  "Category 2: neuropathy with peripheral artery disease, deformity or both.",
		},
		{
			rank: 1, rests: setOf(LOPS), source: table,
			holds: func(x Set) bool { return x.Has(LOPS) },
			says:  "Category 1: neuropathy.",
		},
		{
			rank: 0, rests: setOf(LOPS), source: table,
			holds: func(x Set) bool { return !x.Has(LOPS) },
			says:  "Category 0: no peripheral neuropathy.",
		},
	}, nil)
}
