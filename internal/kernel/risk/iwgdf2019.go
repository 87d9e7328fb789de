package risk

import "tengram/internal/kernel/source"

// iwgdf2019: table 1 was read in the publication.
func iwgdf2019() System {
	return iwgdf("iwgdf-2019", "IWGDF 2019", source.IWGDF2019Practical.At("table 1", source.Confirmed))
}

// iwgdf is the table that the editions of 2019 and 2023 share. Its recall
// intervals rest on expert opinion, as its own footnote says (2019, table 1,
// confirmed).
//
// Loss of protective sensation and peripheral artery disease are the gate:
// without one of them nothing else moves a person out of category 0. That is
// what the text yields for a person with a past ulcer and no such finding, and
// why there is a cautious reading.
func iwgdf(id, name string, table *source.Source) System {
	gate := setOf(LOPS, PAD)
	history := setOf(UlcerHistory, Amputation, ESRD)
	s := System{
		ID: id, Name: name, Source: table,
		Factors: []Factor{LOPS, PAD, Deformity, UlcerHistory, Amputation, ESRD},
		Categories: []Category{
			{Rank: 0, Code: "0", Name: "very low risk", Recall: Interval{12, 12}},
			{Rank: 1, Code: "1", Name: "low risk", Recall: Interval{6, 12}},
			{Rank: 2, Code: "2", Name: "moderate risk", Recall: Interval{3, 6}},
			{Rank: 3, Code: "3", Name: "high risk", Recall: Interval{1, 3}},
		},
	}
	rows := []row{
		{
			rank: 3, rests: gate | history, source: table,
			holds: func(x Set) bool { return x.hasAny(gate) && x.hasAny(history) },
			says:  "Category 3: loss of protective sensation or peripheral artery disease, with a past foot ulcer, an amputation or end-stage kidney disease.",
		},
		{
			rank: 2, rests: gate | setOf(Deformity), source: table,
			holds: func(x Set) bool {
				l, p, d := x.Has(LOPS), x.Has(PAD), x.Has(Deformity)
				return l && p || l && d || p && d
			},
			says: "Category 2: two of loss of protective sensation, peripheral artery disease and deformity.",
		},
		{
			rank: 1, rests: gate, source: table,
			holds: func(x Set) bool { return x.hasAny(gate) },
			says:  "Category 1: loss of protective sensation or peripheral artery disease, not both, and no deformity or history.",
		},
		{
			rank: 0, rests: gate, source: table,
			holds: func(x Set) bool { return !x.hasAny(gate) },
			says:  "Category 0: neither loss of protective sensation nor peripheral artery disease.",
		},
	}
	cautious := append([]row{historyAlone(history, gate, table)}, rows...)
	return s.finish(rows, cautious)
}

// historyAlone rates a past ulcer, an amputation or kidney failure as category
// 3 also where sensation and circulation are found normal. It is our proposal:
// the table has no such row, and a clinician must approve it.
func historyAlone(history, gate Set, table *source.Source) row {
	return row{
		rank: 3, rests: history,
		holds: func(x Set) bool { return x.hasAny(history) && !x.hasAny(gate) },
		says: "A past foot ulcer, an amputation or end-stage kidney disease without loss of protective sensation and without peripheral artery disease: " +
			"the table's text gives category 0; the plan follows category 3. Test sensation and circulation again.",
		source: table.At("no row for history without loss of protective sensation or peripheral artery disease", source.Proposal),
		also: source.Because{
			{
				Says:   "In the older form of the table a past ulcer or amputation put a person in the top group on its own; 55.8 % of that group had a new ulcer in follow-up.",
				Source: source.Peters2001.At("abstract", source.Confirmed),
			},
			{
				Says:   "ADA 2008 puts a past ulcer or amputation in its top category on its own.",
				Source: source.ADA2008FootExam.At("risk classification table", source.Secondary),
			},
			{
				Says:   "NICE NG19 rates a past ulcer, a past amputation or renal replacement therapy as high risk on its own.",
				Source: source.NICENG19.At("risk of developing a diabetic foot problem", source.Secondary),
			},
			{
				Says:   "Scotland manages a past ulcer or amputation as high risk and never rates it down.",
				Source: source.Scotland2016.At("risk stratification", source.Secondary),
			},
		},
	}
}
