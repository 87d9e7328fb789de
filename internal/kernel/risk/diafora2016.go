package risk

import "tengram/internal/kernel/source"

// DiaforaBand is the band of a total of points: "low" below 15, "medium" 15 to
// 25, "high" above 25 (second hand). The points of each variable were not
// confirmed, so the total must come from elsewhere. It is no screening score:
// it is for people who have an ulcer.
func DiaforaBand(points int) (band string, src *source.Source) {
	src = source.DIAFORA2016.At("bands", source.Secondary)
	switch {
	case points < 15:
		return "low", src
	case points <= 25:
		return "medium", src
	}
	return "high", src
}
