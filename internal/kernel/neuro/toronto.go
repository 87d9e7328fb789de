package neuro

import (
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/source"
)

var (
	srcTorontoItems = source.Toronto2002.At("6 symptoms, 4 reflexes, 5 sensory tests", source.Secondary)
	srcTorontoBands = source.Toronto2002.At("bands", source.Memory)
	srcTorontoMax   = source.Toronto2002.At("6 + 8 + 5 = 19", source.Derived)

	srcPerkins = source.Perkins2001.At("eight stimuli: 5 or more wrong abnormal, 0-1 normal, 2-4 indeterminate", source.Confirmed)
)

var torontoBands = []band{{5 * point, "none"}, {8 * point, "mild"}, {11 * point, "moderate"}, {19 * point, "severe"}}

// Toronto holds the items of the Toronto clinical score.
type Toronto struct {
	// Symptoms are six, one point each.
	Symptoms [6]known.Tri
	// Reflexes are knee right, knee left, ankle right, ankle left: reduced 1,
	// absent 2.
	Reflexes [4]Sense
	// Senses are five tests, Yes when abnormal, one point each.
	Senses [5]known.Tri
}

// Score adds the Toronto clinical score, 0 to 19. The items are second hand;
// the bands (0-5 none, 6-8 mild, 9-11 moderate, 12 or more severe) are from
// memory.
func (t Toronto) Score() Score {
	var s sum
	for _, symptom := range t.Symptoms {
		s.yes(symptom, point)
	}
	for _, reflex := range t.Reflexes {
		s.sense(reflex, point, 2*point)
	}
	for _, sense := range t.Senses {
		s.yes(sense, point)
	}
	out := s.score("Toronto clinical score")
	out.Band, out.Positive, out.Cut = s.band(torontoBands), s.from(6*point), "neuropathy from 6 of 19"
	out.Because = source.Because{
		{Says: "Six symptoms 1 point each, four reflexes 1 reduced or 2 absent, five sensory tests 1 each.", Source: srcTorontoItems},
		{Says: "The most is 19 points.", Source: srcTorontoMax},
		{Says: "0-5 none, 6-8 mild, 9-11 moderate, 12 or more severe.", Source: srcTorontoBands},
	}
	return out
}

// Perkins judges eight monofilament stimuli, four on the back of each great
// toe, by the number answered wrong: 5 or more abnormal, 0 or 1 normal, 2 to 4
// indeterminate (Perkins 2001, confirmed). unanswered stimuli leave a range.
func Perkins(wrong, unanswered int) Score {
	s := sum{low: half(wrong) * point, high: half(wrong+unanswered) * point, unknown: unanswered}
	out := s.score("eight monofilament stimuli")
	out.Band = s.band([]band{{1 * point, "normal"}, {4 * point, "indeterminate"}, {8 * point, "abnormal"}})
	switch out.Band {
	case "abnormal":
		out.Positive = known.Yes
	case "normal":
		out.Positive = known.No
	}
	out.Cut = "abnormal from 5 of 8, normal up to 1"
	out.Because = source.Because{{Says: "5 or more wrong answers of eight are abnormal, 0 or 1 normal, 2 to 4 decide nothing.", Source: srcPerkins}}
	return out
}
