package risk

import (
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/source"
)

// podusRisk is the risk of an ulcer within 2 years for 0 to 4 points, with its
// 95 % interval, in tenths of a per cent (confirmed, result table).
var podusRisk = [5][3]int{{24, 15, 39}, {60, 35, 95}, {140, 85, 213}, {292, 192, 410}, {511, 379, 641}}

// podus2020 adds points (five cohorts, development n = 8,255, validation
// n = 3,324). That three yes-no items sum to 0 to 4 is second hand;
// that history carries 2 of them is from memory, and is the only arrangement
// that fits three items, a maximum of 4 and the published odds ratios. An ulcer
// and an amputation together count once. The source gives no recall interval.
func podus2020() System {
	sum := source.PODUS2020.At("points: monofilament 1, absent pulse 1, past ulcer or amputation 2", source.Memory)
	risk := source.PODUS2020.At("risk by score", source.Confirmed)
	s := System{
		ID: "podus-2020", Name: "PODUS 2020", Source: sum,
		Factors: []Factor{FilamentInsensate, PulseAbsent, UlcerHistory, Amputation},
	}
	all := setOf(s.Factors...)
	var rows []row
	for points, p := range podusRisk {
		chance := Probability{known.TenthsOf(p[0]), known.TenthsOf(p[1]), known.TenthsOf(p[2]), 2}
		name := string(rune('0'+points)) + " of 4 points"
		s.Categories = append(s.Categories, Category{Rank: points, Code: string(rune('0' + points)), Name: name, Probability: &chance})
		rows = append(rows, row{
			rank: points, rests: all, source: sum,
			holds: func(x Set) bool { return podusPoints(x) == points },
			says:  name + ": 1 for the monofilament not felt, 1 for an absent foot pulse, 2 for a past ulcer or amputation.",
			also: source.Because{{
				Says: "Risk of a foot ulcer within 2 years " + chance.Percent.String() + " % (95 % interval " + chance.Low.String() + " to " + chance.High.String() +
					"); in the validation cohort the rule said too much rather than too little.",
				Source: risk,
			}},
		})
	}
	return s.finish(rows, nil)
}

func podusPoints(x Set) int {
	points := 0
	if x.Has(FilamentInsensate) {
		points++
	}
	if x.Has(PulseAbsent) {
		points++
	}
	if x.hasAny(setOf(UlcerHistory, Amputation)) {
		points += 2
	}
	return points
}
