package risk

import "tengram/internal/kernel/source"

// UlcerFree is the share, in per cent, of people without a new ulcer some years
// after healing: 40 % recur in 1 year, almost 60 % in 3, 65 % in 5 (second
// hand). ok is false for other years: nothing is read between the lines.
func UlcerFree(years int) (percent int, src *source.Source, ok bool) {
	src = source.Recurrence2017.At("recurrence after healing", source.Secondary)
	switch years {
	case 0:
		return 100, src, true
	case 1:
		return 60, src, true
	case 3:
		return 40, src, true
	case 5:
		return 35, src, true
	}
	return 0, nil, false
}

// Recurrence is the probability that somebody who is free of a new ulcer after
// one number of years has one by a later number.
func Recurrence(free, by int) (p float64, ok bool) {
	a, _, okA := UlcerFree(free)
	b, _, okB := UlcerFree(by)
	if !okA || !okB || by < free {
		return 0, false
	}
	return 1 - float64(b)/float64(a), true
}
