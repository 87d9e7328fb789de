package wound

import (
	"fmt"
	"math"

	"tengram/internal/kernel/known"
	"tengram/internal/kernel/perfusion"
	"tengram/internal/kernel/source"
)

// incompressible is the ABI, in hundredths, above which an ankle vessel is taken
// as not compressible in diabetes (WIfI, from memory; IDSA 2012 Table 1, second
// hand).
const incompressible = 130

// Grades is a grade as an interval, with what would settle it.
type Grades struct {
	Low, High int
	// Judgement says in words what a clinician must decide where the published
	// words do not; empty where they do.
	Judgement string
	Missing   []string
	Because   source.Because
}

// Flow is what a leg's ischaemia grade is read from.
type Flow struct {
	// ABI in hundredths.
	ABI known.Reading
	// Ankle is the higher ankle systolic pressure, Toe the toe pressure, TcPO2
	// the transcutaneous oxygen pressure; all mmHg.
	Ankle, Toe, TcPO2 known.Reading
	// ToeUsed is the toe measured, 1 to 5; 0 means the great toe.
	ToeUsed int
}

var (
	flowBands  = source.WIfI2014.At("ischaemia grade", source.Secondary)
	toeFirst   = source.WIfI2014.At("ischaemia grade: toe pressure before TcPO2 and ABI", source.Memory)
	stiffAnkle = source.WIfI2014.At("ischaemia grade: ABI above 1.30", source.Memory)
	worseOfTwo = own("where ABI and ankle pressure differ, the worse counts")
	seventy    = own("an ankle pressure of exactly 70 mmHg is grade 2")
	noSignal   = own("no signal at the place measured is the worst grade")
)

// FlowOf reads the ischaemia inputs from a leg.
func FlowOf(leg perfusion.Leg, result perfusion.LegResult) Flow {
	f := Flow{Ankle: higher(leg.AnkleDP, leg.AnklePT), Toe: leg.ToePressure, TcPO2: leg.TcPO2, ToeUsed: leg.ToeUsed}
	if result.ABI.Known {
		f.ABI = known.Value(result.ABI.Value)
	}
	return f
}

// higher is the higher of two pressures; a vessel that cannot be compressed is
// the highest of all, a vessel without a signal the lowest.
func higher(a, b known.Reading) known.Reading {
	switch {
	case a.State == known.TooHigh || b.State == known.TooHigh:
		return known.Reading{State: known.TooHigh}
	case a.Known() && b.Known():
		return known.Value(max(a.Value, b.Value))
	case a.Known():
		return a
	case b.Known():
		return b
	case a.State == known.NoSignal && b.State == known.NoSignal:
		return a
	}
	return known.Reading{}
}

// GradeIschaemia is the WIfI ischaemia grade 0 to 3. Toe pressure decides where
// there is one, then TcPO2 (from memory), then ABI and ankle pressure, the worse
// of the two (our proposal). An ABI above 1.30 or an ankle that cannot be
// compressed says nothing (from memory). Bands second hand:
//
//	grade  ABI         ankle    toe or TcPO2
//	0      0.80 up     over 100 60 up
//	1      0.60-0.79   71-100   40-59
//	2      0.40-0.59   50-70    30-39
//	3      0.39 down   below 50 below 30
//
// leg is where the leg's arteries stand in the exam.
func GradeIschaemia(leg string, f Flow) Grades {
	switch {
	case f.Toe.Known() && f.Toe.Value >= 0:
		g := settled(pressureGrade(f.Toe.Value, 60, 40, 30), fmt.Sprintf("Toe pressure %d mmHg decides before the ankle.", f.Toe.Value), leg+".toe-pressure", toeFirst)
		if f.ToeUsed > 1 {
			g.Because = append(g.Because, reason(fmt.Sprintf("Measured at toe %d.", f.ToeUsed), leg+".toe-used", nil))
		}
		return g
	case f.Toe.State == known.NoSignal:
		return settled(3, "No signal at the toe.", leg+".toe-pressure", noSignal)
	case f.TcPO2.Known() && f.TcPO2.Value >= 0:
		return settled(pressureGrade(f.TcPO2.Value, 60, 40, 30), fmt.Sprintf("TcPO2 is %d mmHg.", f.TcPO2.Value), leg+".tcpo2", flowBands)
	}
	if f.Ankle.State == known.TooHigh || f.ABI.State == known.TooHigh || (f.ABI.Known() && f.ABI.Value > incompressible) {
		return notGradable(leg, f, "The ankle vessels are not compressible: the ABI gives no grade.", stiffAnkle)
	}
	ankle := f.Ankle.Known() && f.Ankle.Value >= 0
	abi := f.ABI.Known() && f.ABI.Value >= 0
	switch {
	case ankle && abi:
		a, b := ankleGrade(f.Ankle.Value), pressureGrade(f.ABI.Value, 80, 60, 40)
		g := settled(max(a, b), fmt.Sprintf("ABI %s, ankle pressure %d mmHg.", hundredths(f.ABI.Value), f.Ankle.Value), leg, flowBands)
		if a != b {
			g.Because = append(g.Because, reason("The two differ; the worse counts.", leg, worseOfTwo))
		}
		return g.ankleNotes(leg, f)
	case abi:
		return settled(pressureGrade(f.ABI.Value, 80, 60, 40), "ABI "+hundredths(f.ABI.Value)+".", leg, flowBands).ankleNotes(leg, f)
	case ankle:
		return settled(ankleGrade(f.Ankle.Value), fmt.Sprintf("Ankle pressure %d mmHg.", f.Ankle.Value), leg, flowBands).ankleNotes(leg, f)
	case f.Ankle.State == known.NoSignal:
		return settled(3, "No signal at either ankle artery.", leg, noSignal)
	}
	return notGradable(leg, f, "No pressure was measured.", flowBands)
}

// hundredths writes a number kept in hundredths, such as 79 as "0.79".
func hundredths(v int) string { return fmt.Sprintf("%d.%02d", v/100, v%100) }

func settled(grade int, says, fact string, src *source.Source) Grades {
	return Grades{Low: grade, High: grade, Because: source.Because{reason(says, fact, src)}}
}

// notGradable asks for a toe pressure, or for TcPO2 where no toe can be used.
func notGradable(leg string, f Flow, says string, src *source.Source) Grades {
	ask := leg + ".toe-pressure"
	if f.Toe.State == known.CannotMeasure || f.Toe.State == known.TooHigh {
		ask = leg + ".tcpo2"
	}
	return Grades{Low: 0, High: 3, Missing: []string{ask}, Because: source.Because{reason(says, leg, src)}}
}

func (g Grades) ankleNotes(leg string, f Flow) Grades {
	if f.Ankle.Known() && f.Ankle.Value == 70 {
		g.Because = append(g.Because, reason("The published bands meet at 70 mmHg; the worse counts.", leg, seventy))
	}
	g.Because = append(g.Because, reason("In diabetes an ankle pressure can read too high: measure the toe.", leg+".toe-pressure", toeFirst))
	return g
}

// pressureGrade is the grade of a value by the least value of grades 0, 1, 2.
func pressureGrade(v, zero, one, two int) int {
	switch {
	case v >= zero:
		return 0
	case v >= one:
		return 1
	case v >= two:
		return 2
	}
	return 3
}

func ankleGrade(mmHg int) int {
	switch {
	case mmHg > 100:
		return 0
	case mmHg > 70:
		return 1
	case mmHg >= 50:
		return 2
	}
	return 3
}

// RoundABI rounds a computed ABI to the two decimals in which it is reported,
// halves up, before it is graded (our proposal). edge is true where the
// rounding moved it into a better grade, such as 0.795.
func RoundABI(ratio float64) (hundredths int, edge bool) {
	hundredths = int(math.Floor(ratio*100 + 0.5 + tiny))
	exact := int(math.Floor(ratio*100 + tiny))
	return hundredths, pressureGrade(hundredths, 80, 60, 40) < pressureGrade(exact, 80, 60, 40)
}
