package neuro

import (
	"tengram/internal/kernel/foot"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/source"
)

var (
	srcMNSIItems    = source.MNSI.At("scoring of the 15 questions", source.Secondary)
	srcMNSICuts     = source.Herman2012.At("7 or more in the original, 4 or more studied in 2012", source.Confirmed)
	srcMNSIExam     = source.MNSI.At("points of the examination, abnormal from 2.5", source.Secondary)
	srcMNSIFilament = source.MNSI.At("version with the monofilament, 10 points", source.Memory)
)

// mnsiQuestions is the number of questions of the instrument.
const mnsiQuestions = 15

// MNSIQuestions holds the answers to questions 1 to 15, at index 0 to 14.
type MNSIQuestions [mnsiQuestions]known.Tri

// MNSIQuestionnaire scores the 15 questions, 0 to 13: questions 7 and 13 score
// for no, 4 and 10 are not scored, the others score for yes (the instrument's
// own instructions, second hand). Positive is the original cut-off of 7; four
// was studied in 2012, and From4 answers it.
//
// One research page scores every yes; that turns questions 7 and 13 round and
// is not followed.
func MNSIQuestionnaire(q MNSIQuestions) Score {
	s := mnsiSum(q)
	out := s.score("MNSI questionnaire")
	out.Positive, out.Cut = s.from(7*point), "positive from 7 of 13"
	out.Because = source.Because{
		{Says: "Questions 7 and 13 score for no, 4 and 10 are not scored, the others score for yes.", Source: srcMNSIItems},
		{Says: "The original cut-off is 7; 4 was studied in 2012.", Source: srcMNSICuts},
	}
	return out
}

// MNSIFrom4 answers the questionnaire by the cut-off of 4 (Herman 2012).
func MNSIFrom4(q MNSIQuestions) known.Tri {
	s := mnsiSum(q)
	return s.from(4 * point)
}

func mnsiSum(q MNSIQuestions) sum {
	var s sum
	for i, answer := range q {
		switch i + 1 {
		case 4, 10:
		case 7, 13:
			s.yes(answer.Not(), point)
		default:
			s.yes(answer, point)
		}
	}
	return s
}

// MNSIFoot is the examination of one foot.
type MNSIFoot struct {
	// Appearance: Yes when abnormal (deformity, dry skin, callus, fissure,
	// infection, amputation).
	Appearance known.Tri
	Ulcer      known.Tri
	Reflex     Reflex
	Vibration  Sense
	// FilamentFelt is how often of ten the monofilament was felt; only the
	// 10-point version reads it.
	FilamentFelt known.Reading
}

// MNSIExam scores the examination, 0 to 8: for each foot an abnormal appearance
// 1, an ulcer 1, the ankle reflex 0.5 with reinforcement or 1 absent, vibration
// 0.5 decreased or 1 absent. Abnormal from 2.5 (second hand).
func MNSIExam(feet [2]MNSIFoot) Score {
	s := mnsiExam(feet)
	out := s.score("MNSI examination")
	out.Positive, out.Cut = s.from(5), "abnormal from 2.5 of 8"
	out.Because = source.Because{{Says: "Each foot: appearance 1, ulcer 1, ankle reflex 0.5 or 1, vibration 0.5 or 1; abnormal from 2.5.", Source: srcMNSIExam}}
	return out
}

// MNSIExamWithFilament adds the monofilament, 0 to 10: felt 8 or more times of
// ten 0, 1 to 7 times 0.5, never 1 (from memory). It gives no cut-off.
func MNSIExamWithFilament(feet [2]MNSIFoot) Score {
	s := mnsiExam(feet)
	for _, side := range foot.Sides {
		switch felt := feet[side].FilamentFelt; {
		case !felt.Known():
			s.open(point)
		case felt.Value == 0:
			s.add(point)
		case felt.Value < 8:
			s.add(point / 2)
		}
	}
	out := s.score("MNSI examination with monofilament")
	out.Because = source.Because{{Says: "As the examination, and for each foot the monofilament 0, 0.5 or 1.", Source: srcMNSIFilament}}
	return out
}

func mnsiExam(feet [2]MNSIFoot) sum {
	var s sum
	for _, side := range foot.Sides {
		f := feet[side]
		s.yes(f.Appearance, point)
		s.yes(f.Ulcer, point)
		s.reflex(f.Reflex, point/2, point)
		s.sense(f.Vibration, point/2, point)
	}
	return s
}
