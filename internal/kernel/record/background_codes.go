package record

import (
	"math/bits"
	"strings"

	"tengram/internal/kernel/foot"
	"tengram/internal/kernel/term"
)

// meaning is what a code says of a person's feet, one bit each.
type meaning uint32

const (
	meansDiabetes meaning = 1 << iota
	// meansUlcerHistory: a healed ulcer; meansUlcer: an ulcer of the foot.
	meansUlcerHistory
	meansUlcer
	meansAmputation
	meansCharcot
	meansPAD
	meansRevascularised
	meansNeuropathy
	meansRetinopathy
	meansLowVision
	meansDeformity
	meansKidneyFailure
	meansDialysis
	meansTransplant
	// meansEGFRBelow30: a stage of kidney disease that begins below 30.
	meansEGFRBelow30
	meansSmoker
	// meansPastSmoker: once or never, but not now.
	meansPastSmoker
)

// bit is the place of a single meaning in a list of one entry a bit.
func (m meaning) bit() int { return bits.TrailingZeros32(uint32(m)) }

// sides is a set of sides of the body, bit 0 for the right.
type sides uint8

const (
	onRight sides = 1
	onLeft  sides = 2
	onBoth  sides = 3
)

func (s sides) has(side foot.Side) bool { return s&(1<<side) != 0 }

// coded is what one code says.
type coded struct {
	means meaning
	// sideAt is the place of the character that gives the side, 0 where there
	// is none; sides is given where the code family has one side.
	sideAt int
	sides  sides
	loss   foot.Loss
}

// codesICD are the ICD-10-CM codes that say something of a foot at risk
// (January 2021 order file). A code stands for itself and what lies below it;
// the longest match counts. "E*" stands for the five diabetes families E08 to
// E11 and E13.
//
// What is left out on purpose: E*.59 and E*.622 (not artery disease of the leg,
// not the foot); Z87.2, Z89.9, T87 and Z47.81 (do not say foot or leg); Q72 (a
// limb that never was is no amputation); L97 above the ankle and I96 (say
// nothing of the past of the foot). Stage 5 counts as kidney failure though not
// yet on dialysis, as end-stage disease is read for the IWGDF table (our
// derivation). Stages 4 and 5 begin below an eGFR of 30 (from memory).
var codesICD = expand([]struct {
	codes  string
	sideAt int
	says   coded
}{
	{"E*.", 0, coded{means: meansDiabetes}},
	{"O24.0 O24.1 O24.3 O24.8", 0, coded{means: meansDiabetes}},
	{"E10.A", 0, coded{}}, // presymptomatic: no diabetes yet
	{"E*.40 E*.41 E*.42 E*.44 E*.49", 0, coded{means: meansDiabetes | meansNeuropathy}},
	{"G60 G62.9 G63", 0, coded{means: meansNeuropathy}},
	{"E*.51 E*.52", 0, coded{means: meansDiabetes | meansPAD}},
	{"I70.20 I70.21 I70.22 I70.26 I70.29 I70.92 I73.9 I73.89 I73.1 I74.3 I75.02", 0, coded{means: meansPAD}},
	{"I70.23", 0, coded{means: meansPAD, sides: onRight}},
	{"I70.234 I70.235", 0, coded{means: meansPAD | meansUlcer, sides: onRight}},
	{"I70.24", 0, coded{means: meansPAD, sides: onLeft}},
	{"I70.244 I70.245", 0, coded{means: meansPAD | meansUlcer, sides: onLeft}},
	{"I70.3 I70.4 I70.5 I70.6 I70.7", 0, coded{means: meansPAD | meansRevascularised}},
	{"Z95.820 Z98.62", 0, coded{means: meansRevascularised}},
	{"E*.610", 0, coded{means: meansDiabetes | meansCharcot}},
	{"M14.67", 6, coded{means: meansCharcot}},
	{"E*.621", 0, coded{means: meansDiabetes | meansUlcer}},
	{"L97.4 L97.5 L89.6", 5, coded{means: meansUlcer}},
	{"Z86.31", 0, coded{means: meansUlcerHistory}},
	{"E*.31 E*.32 E*.33 E*.34 E*.35 E*.37", 0, coded{means: meansDiabetes | meansRetinopathy}},
	{"H54", 0, coded{means: meansLowVision}},
	{"N18.4", 0, coded{means: meansEGFRBelow30}},
	{"N18.5 N18.6", 0, coded{means: meansKidneyFailure | meansEGFRBelow30}},
	{"Z99.2 Z91.15", 0, coded{means: meansKidneyFailure | meansDialysis}},
	{"Z94.0", 0, coded{means: meansTransplant}},
	{"F17.2 Z72.0", 0, coded{means: meansSmoker}},
	{"F17.201 F17.211 F17.221 F17.291 Z87.891", 0, coded{means: meansPastSmoker}},
	{"M20.1 M20.2 M20.3 M20.4 M20.6 M21.4", 5, coded{means: meansDeformity}},
	{"M20.5X M21.07 M21.17 M21.27 M21.37 M21.53 M21.54 M21.61 M21.62 M21.6X", 6, coded{means: meansDeformity}},
	{"Q66", 0, coded{means: meansDeformity}},

	// Losses. "Foot" without a level is taken for the least that it can be, so
	// that what may be left of the foot is still asked for (our proposal).
	{"Z89.41", 6, lost(foot.Loss{Level: foot.ToesOnly, Toes: foot.ToesOf(1)})},
	{"Z89.42", 6, lost(foot.Loss{Level: foot.ToesOnly})},
	{"Z89.43", 6, lost(foot.Loss{Level: foot.Transmetatarsal})},
	{"Z89.44", 6, lost(foot.Loss{Level: foot.Ankle})},
	{"Z89.51", 6, lost(foot.Loss{Level: foot.BelowKnee})},
	{"Z89.52", 6, lost(foot.Loss{Level: foot.ThroughKnee})},
	{"Z89.61", 6, lost(foot.Loss{Level: foot.AboveKnee})},
	{"Z89.62", 6, lost(foot.Loss{Level: foot.HipLevel})},
	{"S98.01", 6, lost(foot.Loss{Level: foot.Ankle})},
	{"S98.02 S98.9", 6, lost(foot.Loss{Level: foot.Transmetatarsal})},
	{"S98.11 S98.12", 6, lost(foot.Loss{Level: foot.ToesOnly, Toes: foot.ToesOf(1)})},
	{"S98.1 S98.2", 6, lost(foot.Loss{Level: foot.ToesOnly})},
	{"S98.3", 6, lost(foot.Loss{Level: foot.Midfoot})},
	{"S78", 6, lost(foot.Loss{Level: foot.AboveKnee})},
	{"S78.0", 6, lost(foot.Loss{Level: foot.HipLevel})},
	{"S88", 6, lost(foot.Loss{Level: foot.BelowKnee})},
	{"S88.0", 6, lost(foot.Loss{Level: foot.ThroughKnee})},
})

// codesSNOMED are the SNOMED CT codes for the same, bare and for matching only
// (global patient set, or seen with their meaning in open synthetic records).
// SNOMED CT is owned by SNOMED International. No hierarchy is followed.
var codesSNOMED = list([]struct {
	codes string
	says  coded
}{
	{"44054006 46635009 73211009 8801005 5368009", coded{means: meansDiabetes}},
	{"371087003 201251005 201250006 95345008", coded{means: meansUlcer}},
	{"414906009 860977000", coded{means: meansUlcer, sides: onRight}},
	{"414890007 860978005", coded{means: meansUlcer, sides: onLeft}},
	{"201724008", coded{means: meansCharcot}},
	{"230572002 424736006 49455004 713706002 368581000119106", coded{means: meansNeuropathy}},
	{"127014009 314902007 421895002 399957001 400047006", coded{means: meansPAD}},
	{"4855003 422034002 1551000119108 1501000119109", coded{means: meansRetinopathy}},
	{"431857002", coded{means: meansEGFRBelow30}},
	{"46177005", coded{means: meansKidneyFailure | meansEGFRBelow30}},
	{"236435004", coded{means: meansKidneyFailure | meansEGFRBelow30 | meansDialysis}},
	{"265764009", coded{means: meansDialysis}},
	{"161665007 70536003", coded{means: meansTransplant}},
	{"229844004 122481008 86380000 122480009 65358001 53226007 36755004 6077001", coded{means: meansDeformity}},
	{"449868002 428041000124106 77176002", coded{means: meansSmoker}},
	{"8517006 266919005", coded{means: meansPastSmoker}},
	{"161622006 816117000", lost(foot.Loss{})},
	{"428835005 308684007", lost(foot.Loss{Level: foot.ToesOnly, Toes: foot.ToesOf(1)})},
	{"371186005", lost(foot.Loss{Level: foot.ToesOnly})},
	{"299647001", lost(foot.Loss{Level: foot.AboveKnee})},
	{"723312009", coded{means: meansAmputation, sides: onRight, loss: foot.Loss{Level: foot.Transmetatarsal}}},
	{"723311002", coded{means: meansAmputation, sides: onLeft, loss: foot.Loss{Level: foot.Transmetatarsal}}},
})

// sideCodes are SNOMED CT sites and qualifiers that give a side.
var sideCodes = map[string]sides{
	"7769000": onRight, "24028007": onRight, "419465000": onRight,
	"22335008": onLeft, "7771000": onLeft, "419161000": onLeft,
	"51440002": onBoth,
}

// codesEGFR are the LOINC codes of the estimated glomerular filtration rate;
// codesSmoking those of the smoking status.
var (
	codesEGFR    = term.SetOf(term.LOINC, "62238-1 98979-8 69405-9 33914-3 48642-3 88293-6")
	codesSmoking = term.SetOf(term.LOINC, "72166-2 11367-0")
)

func lost(l foot.Loss) coded { return coded{means: meansAmputation, loss: l} }

func expand(rows []struct {
	codes  string
	sideAt int
	says   coded
}) map[string]coded {
	m := map[string]coded{}
	for _, row := range rows {
		row.says.sideAt = row.sideAt
		for _, code := range strings.Fields(row.codes) {
			rest, ok := strings.CutPrefix(code, "E*")
			if !ok {
				m[code] = row.says
				continue
			}
			for _, family := range []string{"E08", "E09", "E10", "E11", "E13"} {
				m[family+rest] = row.says
			}
		}
	}
	return m
}

func list(rows []struct {
	codes string
	says  coded
}) map[string]coded {
	m := map[string]coded{}
	for _, row := range rows {
		for _, code := range strings.Fields(row.codes) {
			m[code] = row.says
		}
	}
	return m
}

// meaningOf returns what a code says, with its side where the code gives one.
func meaningOf(c term.Code) (coded, bool) {
	switch c.System {
	case term.SNOMED:
		says, ok := codesSNOMED[c.Code]
		return says, ok
	case term.ICD10CM:
		for n := len(c.Code); n >= 3; n-- {
			if says, ok := codesICD[c.Code[:n]]; ok {
				says.sides |= sideAt(c.Code, says.sideAt)
				return says, says.means != 0
			}
		}
	}
	return coded{}, false
}

// sideAt reads the side from a character of an ICD-10-CM code: 1 right, 2 left,
// 3 both.
func sideAt(code string, at int) sides {
	if at == 0 || at >= len(code) {
		return 0
	}
	switch code[at] {
	case '1':
		return onRight
	case '2':
		return onLeft
	case '3':
		return onBoth
	}
	return 0
}
