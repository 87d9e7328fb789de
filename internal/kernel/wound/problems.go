package wound

import "tengram/internal/kernel/known"

// Problem is something in what was recorded of an ulcer that cannot be so.
type Problem struct {
	// Field is the path in the exam, such as "ulcers.u1.size".
	Field string `json:"field"`
	// Says what is wrong and what to do.
	Says string `json:"says"`
}

// Problems lists what cannot be so in one ulcer, in the order of its fields.
func Problems(u Ulcer) []Problem {
	var ps []Problem
	at := func(field, says string) { ps = append(ps, Problem{Field: "ulcers." + u.ID + "." + field, Says: says}) }
	if _, _, problem := Area(u.Size); problem != "" {
		at("size", problem)
	}
	switch {
	case u.Healed == known.AnswerYes && u.Depth > Closed:
		at("depth", "the ulcer is recorded as healed and as open with a depth: correct one of them")
	case u.Healed == known.AnswerNo && u.Depth == Closed:
		at("depth", "the ulcer is recorded as closed and as not healed: correct one of them")
	}
	if u.Open() == known.No && u.ProbeToBone == known.AnswerYes {
		at("probe-to-bone", "bone cannot be felt in a closed ulcer: correct one of them")
	} else if u.ProbeToBone == known.AnswerYes && u.Depth > Closed && u.Depth < BoneOrJoint {
		at("probe-to-bone", "bone is felt, so the depth is bone or joint: correct one of them")
	}
	if mm := u.Infection.ErythemaMM; mm.Known() && (mm.Value < 0 || mm.Value > maxMM) {
		at("infection.erythema-mm", "redness is measured in whole millimetres from 0 to 500: check the number and its unit")
	}
	return ps
}
