package wound

import (
	"strconv"

	"tengram/internal/kernel/known"
	"tengram/internal/kernel/perfusion"
	"tengram/internal/kernel/source"
)

var (
	pedisWords = source.PEDIS2004.At("five axes", source.Secondary)
	pedisFlow  = own("how far the leg's conclusion reaches the perfusion axis")
)

// PEDIS holds the five axes, each as an interval where something is unknown.
type PEDIS struct {
	// Perfusion: 1 no PAD, 2 PAD without critical ischaemia, 3 critical.
	Perfusion [2]int
	// AreaMM2 is the extent.
	AreaMM2 known.Reading
	// Depth: 1 superficial, 2 fascia, muscle or tendon, 3 bone or joint.
	Depth [2]int
	// Infection: 1 none, 2 mild, 3 moderate, 4 with a systemic response. The
	// edge is redness of more than 2 cm, as in the edition of 2012.
	Infection [2]int
	// Sensation: 1 protective sensation present, 2 lost.
	Sensation [2]int
}

// Class writes the axes, such as "P1 E0.85 D1 I2 S2" with the extent in cm2
// (axes second hand; the paper read grades the extent, the original records the
// area itself, from memory).
func (p PEDIS) Class() Class {
	extent := "E?"
	if p.AreaMM2.Known() {
		extent = "E" + hundredths(p.AreaMM2.Value)
	}
	write := func(n int) string {
		return "P" + strconv.Itoa(p.Perfusion[n]) + " " + extent + " D" + strconv.Itoa(p.Depth[n]) +
			" I" + strconv.Itoa(p.Infection[n]) + " S" + strconv.Itoa(p.Sensation[n])
	}
	perfusionWords := [...]string{1: "no PAD", 2: "PAD, not critical", 3: "critical ischaemia"}
	pedisDepths := [...]string{1: "superficial", 2: "to fascia, muscle or tendon", 3: "to bone or joint"}
	sensation := [...]string{1: "sensation present", 2: "sensation lost"}
	return Class{
		ID: "pedis", Name: "PEDIS", Low: write(0), High: write(1),
		Words: between(perfusionWords[p.Perfusion[0]], perfusionWords[p.Perfusion[1]]) + ", " +
			between(pedisDepths[p.Depth[0]], pedisDepths[p.Depth[1]]) + ", " +
			between(infectionWords[p.Infection[0]], infectionWords[p.Infection[1]]) + ", " +
			between(sensation[p.Sensation[0]], sensation[p.Sensation[1]]),
		Because: source.Because{reason("Perfusion, extent in cm2, depth, infection and sensation, each by itself.", "", pedisWords)},
	}
}

// pedisPerfusion bounds the perfusion axis by what was concluded of the leg.
func pedisPerfusion(leg perfusion.LegResult) [2]int {
	most := 3
	if leg.Critical == known.No {
		most = 2
	}
	switch {
	case leg.Critical == known.Yes:
		return [2]int{3, 3}
	case leg.Level == perfusion.Likely:
		return [2]int{2, most}
	case leg.Level == perfusion.Unlikely:
		return [2]int{1, 1}
	}
	return [2]int{1, most}
}

// PEDISDepth is the depth axis: 1 superficial, 2 fascia, muscle or tendon, 3 bone
// or joint (second hand).
func PEDISDepth(d Depth) int {
	switch {
	case d >= BoneOrJoint:
		return 3
	case d == TendonOrMuscle:
		return 2
	}
	return 1
}

// PEDISSensation bounds the sensation axis: 1 present, 2 lost (second hand).
func PEDISSensation(lops known.Tri) [2]int {
	switch lops {
	case known.Yes:
		return [2]int{2, 2}
	case known.No:
		return [2]int{1, 1}
	}
	return [2]int{1, 2}
}

func (f *findings) pedis(g12 InfectionGrade) Class {
	p := PEDIS{
		Perfusion: pedisPerfusion(f.in.Perfusion), AreaMM2: f.area,
		Depth:     [2]int{PEDISDepth(f.shallow), PEDISDepth(f.deep)},
		Infection: [2]int{g12.Low, g12.High},
		Sensation: PEDISSensation(f.in.LOPS),
	}
	c := p.Class()
	c.Because = append(c.Because, reason("The perfusion axis follows the conclusion on the leg: PAD "+f.in.Perfusion.Level.String()+".", f.leg, pedisFlow))
	if p.Perfusion[0] != p.Perfusion[1] {
		c.Missing = append(c.Missing, f.leg+".toe-pressure")
	}
	if !f.area.Known() {
		c.Missing = append(c.Missing, f.at+".size")
	}
	c.Missing = f.missingDepth(c.Missing)
	if g12.Low != g12.High {
		c.Missing = append(c.Missing, g12.Missing...)
	}
	if f.in.LOPS == known.Unknown {
		c.Missing = append(c.Missing, filamentAt[f.in.Ulcer.Side&1])
	}
	return c
}
