package risk

import "tengram/internal/kernel/source"

// diaforaDoc: Monteiro-Soares M, Dinis-Ribeiro M, Diabetes Metab Res Rev
// 2016;32(4):429-435; the bands were read second hand.
var diaforaDoc = source.Source{
	ID: "diafora-2016", Title: "DIAFORA, risk of amputation in people who have a foot ulcer",
	Edition: "2016", Link: "https://doi.org/10.1002/dmrr.2785",
}

// DiaforaBand is the band of a total of points: "low" below 15, "medium" 15 to
// 25, "high" above 25 (second hand). The points of each variable were not
// confirmed, so the total must come from elsewhere. It is no screening score:
// it is for people who have an ulcer.
func DiaforaBand(points int) (band string, src *source.Source) {
	src = diaforaDoc.At("bands", source.Secondary)
	switch {
	case points < 15:
		return "low", src
	case points <= 25:
		return "medium", src
	}
	return "high", src
}
