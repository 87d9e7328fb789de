package assess

import "tengram/internal/kernel/when"

import "tengram/internal/kernel/exam"

// Input is everything that an assessment depends on.
type Input struct {
	Exam       *exam.Draft
	Background exam.Background
	Edition    Edition
	// On is the day from which deadlines and the recall are counted, in the
	// practice's calendar: the day of the exam.
	On when.Day
}

// Edition names the rules in force: which definition of LOPS, which risk
// system leads, which plan.
type Edition struct {
	// ID is stable and stays with the signed exam, such as "us-2024".
	ID   string
	Name string
	// LOPS, Risk and Plan are ids in packages neuro, risk and plan.
	LOPS string
	Risk string
	Plan string
	// RecallChoice is the practice's choice inside a recall interval: "min",
	// "middle" or "max".
	RecallChoice string
}
