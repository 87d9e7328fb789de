package exam

import (
	"strconv"

	"tengram/internal/kernel/known"
	"tengram/internal/kernel/source"
)

var (
	hammerRule  = source.AAOSHammerToe.At("middle joint of the toe flexed", source.Confirmed)
	clawRule    = source.LesserToes.At("claw toe: base joint extended, both toe joints flexed; mallet toe: end joint alone", source.Secondary)
	equinusRule = source.Searle2018.At("lunge with the knee straight below 30 degrees", source.Confirmed)
	roomRule    = source.IWGDF2023Practical.At("shoe 1 to 2 cm longer than the foot", source.Memory)
	roomStudies = source.ToeGaps2020.At("abstract: minimum 1.0 to 1.6 cm, maximum 1.5 to 2.0 cm across 8 studies", source.Confirmed)
	roomEdges   = source.OurProposal.At("shoe length: exactly 10 and exactly 20 mm of room both fit; the longer foot decides", source.Proposal)
)

// ToeShape names the deformity of a lesser toe from its joints: the base joint
// (metatarsophalangeal) bent up, the middle and the end joint bent down. It is
// NoDeformity where no joint is bent so, and OtherDeformity for a picture
// without a name; ok is false as long as an unknown joint could change the
// name.
func ToeShape(baseUp, middleDown, endDown known.Tri) (d Deformity, because source.Because, ok bool) {
	middle, end := middleDown == known.Yes, endDown == known.Yes
	switch {
	case !middleDown.Known() || !endDown.Known(), middle && end && !baseUp.Known():
		return NoDeformity, nil, false
	case middle && end && baseUp == known.Yes:
		return ClawToe, source.Because{{Says: "Base joint up, middle and end joint down: claw toe.", Source: clawRule}}, true
	case middle && !end:
		return HammerToe, source.Because{{Says: "Middle joint down, end joint not: hammer toe.", Source: hammerRule}}, true
	case !middle && end:
		return MalletToe, source.Because{{Says: "End joint alone down: mallet toe.", Source: clawRule}}, true
	case middle && end:
		return OtherDeformity, source.Because{{Says: "Middle and end joint down without the base joint up has no name of its own here.", Source: clawRule}}, true
	}
	return NoDeformity, source.Because{{Says: "Neither the middle nor the end joint is bent down.", Source: clawRule}}, true
}

// LungeEquinus answers "is there equinus?" by the weight-bearing lunge with the
// knee straight, in whole degrees: below 30.
func LungeEquinus(degrees known.Reading) (is known.Tri, because source.Because) {
	if !degrees.Known() {
		return known.Unknown, nil
	}
	return known.Of(degrees.Value < 30), source.Because{{
		Says: "Lunge with the knee straight " + strconv.Itoa(degrees.Value) + " degrees; below 30 is equinus.", Source: equinusRule,
	}}
}

// ShoeFit is how the length of a shoe suits the feet in it.
type ShoeFit string

// The fits.
const (
	ShoeTooShort ShoeFit = "too-short"
	ShoeFits     ShoeFit = "fits"
	ShoeTooLong  ShoeFit = "too-long"
)

// ShoeLength compares the inner length of a pair of shoes with both feet, in
// whole millimetres, each to its longest toe; one foot is enough where the
// other is gone. The longer foot decides: 10 to 20 mm of room fit. ok is false
// without a length of the shoe or of any foot.
func ShoeLength(inner, right, left known.Reading) (room int, fit ShoeFit, because source.Because, ok bool) {
	longest := 0
	for _, foot := range [2]known.Reading{right, left} {
		if foot.Known() {
			longest = max(longest, foot.Value)
		}
	}
	if !inner.Known() || longest == 0 {
		return 0, "", nil, false
	}
	room = inner.Value - longest
	switch {
	case room < 10:
		fit = ShoeTooShort
	case room > 20:
		fit = ShoeTooLong
	default:
		fit = ShoeFits
	}
	return room, fit, source.Because{
		{Says: "The shoe is " + strconv.Itoa(room) + " mm longer than the longer foot; 10 to 20 mm fit.", Source: roomRule},
		{Says: "Both edges count as fitting, and the longer foot decides.", Source: roomEdges},
		{Says: "Studies differ over the least and the most room.", Source: roomStudies},
	}, true
}
