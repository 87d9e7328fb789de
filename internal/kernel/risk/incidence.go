package risk

import "tengram/internal/kernel/source"

// peters2001Doc: Peters EJG, Lavery LA, Diabetes Care 2001;24(8):1442-1447.
var peters2001Doc = source.Source{
	ID: "peters-2001", Title: "Effectiveness of the diabetic foot risk classification system of the IWGDF",
	Edition: "2001", Link: "https://utsouthwestern.pure.elsevier.com/en/publications/effectiveness-of-the-diabetic-foot-risk-classification-system-of-",
}

// recurrenceDoc: Armstrong DG, Boulton AJM, Bus SA, N Engl J Med
// 2017;376:2367-2375, read second hand.
var recurrenceDoc = source.Source{
	ID: "nejm-2017-recurrence", Title: "Diabetic foot ulcers and their recurrence", Edition: "2017",
	Link: "https://pmc.ncbi.nlm.nih.gov/articles/PMC7919962",
}

// UlcerFree is the share, in per cent, of people without a new ulcer some years
// after healing: 40 % recur in 1 year, almost 60 % in 3, 65 % in 5 (second
// hand). ok is false for other years: nothing is read between the lines.
func UlcerFree(years int) (percent int, src *source.Source, ok bool) {
	src = recurrenceDoc.At("recurrence after healing", source.Secondary)
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
