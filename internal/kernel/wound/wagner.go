package wound

import (
	"strconv"

	"tengram/internal/kernel/known"
	"tengram/internal/kernel/source"
)

var (
	wagnerWords = source.Wagner1981.At("grades 0 to 5", source.Secondary)
	wagnerBone  = own("an ulcer to bone without infection of it is grade 2; versions differ, so the depth is shown apart")
)

var wagnerGrades = [...]string{
	"no open ulcer", "superficial ulcer", "deep ulcer without abscess or bone infection",
	"deep ulcer with abscess, or infection of bone or joint", "gangrene of toes or forefoot", "gangrene of the whole foot",
}

// Wagner is the Meggitt-Wagner grade, 0 to 5 (second hand): 0 closed, 1
// superficial, 2 to tendon, ligament or muscle, 3 with abscess, osteomyelitis or
// joint sepsis, 4 gangrene of toes or forefoot, 5 of the whole foot. Versions
// differ on bone without infection; here it is grade 2.
//
// Each unknown is tried both ways.
func Wagner(least, most Depth, deepInfection known.Tri, g Gangrene) Class {
	low := wagnerGrade(least, deepInfection == known.Yes, g)
	worst := g
	if g == GangreneNotRecorded {
		worst = WholeFootGangrene
	}
	high := wagnerGrade(most, deepInfection != known.No, worst)
	c := Class{
		ID: "wagner", Name: "Meggitt-Wagner", Low: strconv.Itoa(low), High: strconv.Itoa(high),
		Words:   between(wagnerGrades[low], wagnerGrades[high]),
		Because: source.Because{reason("The grade is the depth, then deep infection, then gangrene, whichever is worst.", "", wagnerWords)},
	}
	if most == BoneOrJoint && deepInfection != known.Yes && low < 4 {
		c.Because = append(c.Because, reason("Bone in the ulcer alone is not grade 3 here; depth: "+depthWords(least, most)+".", "", wagnerBone))
	}
	return c
}

func wagnerGrade(d Depth, deepInfection bool, g Gangrene) int {
	switch {
	case g == WholeFootGangrene:
		return 5
	case g == ToeGangrene || g == ForefootGangrene:
		return 4
	case deepInfection:
		return 3
	case d >= TendonOrMuscle:
		return 2
	case d >= SkinOnly:
		return 1
	}
	return 0
}

func depthWords(least, most Depth) string {
	words := [...]string{"not recorded", "closed", "skin", "subcutis", "tendon or muscle", "bone or joint"}
	return between(words[least], words[most])
}

func (f *findings) wagner() Class {
	u, g := &f.in.Ulcer, f.in.Gangrene
	c := Wagner(f.shallow, f.deep, f.deepInfection, g)
	if g > NoGangrene {
		c.Because = append(c.Because, reason("There is gangrene: "+g.String()+".", gangreneAt[u.Side&1], wagnerWords))
	}
	if c.Low == c.High {
		return c
	}
	c.Missing = missing(c.Missing, gangreneAt[u.Side&1], g.Any())
	if g.Any() == known.Yes {
		return c
	}
	if f.deepInfection == known.Unknown {
		c.Missing = missing(c.Missing, f.at+".infection.deep", u.Infection.Deep.Tri())
		c.Missing = missing(c.Missing, f.at+".infection.bone", u.Infection.Bone.Tri())
		c.Missing = missing(c.Missing, f.at+".infection.crepitus", u.Infection.Crepitus.Tri())
	}
	if f.deepInfection != known.Yes {
		c.Missing = f.missingDepth(c.Missing)
	}
	return c
}
