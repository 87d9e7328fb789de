package wound

import (
	"strconv"

	"tengram/internal/kernel/known"
	"tengram/internal/kernel/source"
)

var (
	texasWords  = source.Texas1998.At("grade and stage", source.Secondary)
	texasABI    = source.Texas1998.At("ischaemia threshold, ABI below 0.80", source.Memory)
	texasSigns  = own("what counts as ischaemia for the University of Texas stage")
	texasStudy  = source.Texas1998.At("abstract: outcomes of 360 people", source.Confirmed)
	texasStages = [2][2]string{{"A", "C"}, {"B", "D"}} // [infected][ischaemic]
)

var texasGrades = [...]string{
	0: "closed", 1: "superficial", 2: "to tendon or capsule", 3: "to bone or joint",
}

// texasGrade is the grade of a depth: 0 closed (before or after an ulcer), 1
// superficial, 2 to tendon or capsule, 3 to bone or joint (second hand).
func texasGrade(d Depth) int {
	switch d {
	case Closed:
		return 0
	case SkinOnly, Subcutis:
		return 1
	case TendonOrMuscle:
		return 2
	}
	return 3
}

// TexasStage is the letter of the stage: A neither, B infected, C ischaemic, D
// both (second hand).
func TexasStage(infected, ischaemic bool) string {
	i, j := 0, 0
	if infected {
		i = 1
	}
	if ischaemic {
		j = 1
	}
	return texasStages[i][j]
}

// Texas classes an ulcer of a depth. Where infection or ischaemia is not known,
// Low takes it for absent and High for present.
func Texas(least, most Depth, infected, ischaemic known.Tri) Class {
	low, high := texasGrade(least), texasGrade(most)
	return Class{
		ID: "texas", Name: "University of Texas",
		Low:   strconv.Itoa(low) + TexasStage(infected == known.Yes, ischaemic == known.Yes),
		High:  strconv.Itoa(high) + TexasStage(infected != known.No, ischaemic != known.No),
		Words: between(texasGrades[low], texasGrades[high]) + ", " + texasInfection[infected] + ", " + texasIschaemia[ischaemic],
		Because: source.Because{
			reason("The grade is the depth, the letter whether there is infection, ischaemia or both.", "", texasWords),
		},
	}
}

var (
	texasInfection = [...]string{known.Unknown: "infection not known", known.No: "not infected", known.Yes: "infected"}
	texasIschaemia = [...]string{known.Unknown: "ischaemia not known", known.No: "not ischaemic", known.Yes: "ischaemic"}
)

func (f *findings) texas(g InfectionGrade) Class {
	ischaemic := f.ischaemic()
	c := Texas(f.shallow, f.deep, f.infected, ischaemic)
	if f.in.Ulcer.ProbeToBone == known.AnswerYes && f.shallow == BoneOrJoint {
		c.Because = append(c.Because, reason("Bone is felt with a probe: grade 3. In the published series 18 % of such ulcers came to an amputation at the midfoot or higher, against 2 % of the others.", f.at+".probe-to-bone", texasStudy))
	}
	if ischaemic.Known() {
		src := texasSigns
		if f.in.Perfusion.ABI.Known {
			src = texasABI
		}
		c.Because = append(c.Because, reason("The leg is "+texasIschaemia[ischaemic]+" by its pulses and pressures.", f.leg, src))
	} else {
		c.Missing = append(c.Missing, f.leg)
	}
	c.Missing = f.missingDepth(c.Missing)
	c.Missing = f.missingInfection(c.Missing, g)
	return c
}
