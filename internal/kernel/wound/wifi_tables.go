package wound

import "tengram/internal/kernel/source"

// The two tables of WIfI. Neither is ever replaced by a sum of the grades: the
// same sum stands at different stages.

// amputationStage is the 1-year risk of amputation as a stage, by wound,
// ischaemia and foot infection grade. It is written from memory of the article
// and was equal in 64 of 64 cells to one independent transcription (second
// hand); nobody has compared it with the printed table.
var amputationStage = [4][4][4]uint8{
	{{1, 1, 2, 3}, {1, 2, 3, 4}, {2, 2, 3, 4}, {2, 3, 3, 4}},
	{{1, 1, 2, 3}, {1, 2, 3, 4}, {2, 3, 4, 4}, {3, 3, 4, 4}},
	{{2, 2, 3, 4}, {3, 3, 4, 4}, {3, 4, 4, 4}, {4, 4, 4, 4}},
	{{3, 3, 4, 4}, {4, 4, 4, 4}, {4, 4, 4, 4}, {4, 4, 4, 4}},
}

// revascularizationBenefit is the likelihood of benefit from revascularisation,
// assuming that infection is controlled first. It is from memory, with no
// second source, and has one place where it falls while the wound gets worse:
// W3 I1 fI2 stands below W2 I1 fI2.
var revascularizationBenefit = [4][4][4]uint8{
	{{1, 1, 1, 1}, {1, 2, 2, 3}, {2, 2, 3, 3}, {3, 4, 4, 4}},
	{{1, 1, 1, 1}, {2, 3, 3, 3}, {3, 4, 4, 4}, {4, 4, 4, 4}},
	{{1, 1, 1, 1}, {3, 3, 4, 4}, {4, 4, 4, 4}, {4, 4, 4, 4}},
	{{1, 1, 1, 1}, {3, 3, 3, 4}, {4, 4, 4, 4}, {4, 4, 4, 4}},
}

var (
	amputationSource = source.WIfI2014.At("table of 1-year amputation risk", source.Secondary)
	benefitSource    = source.WIfI2014.At("table of benefit from revascularisation", source.Memory)
)

// AmputationSource and RevascularizationSource say where the two tables come
// from and how surely they were read.
func AmputationSource() *source.Source        { return amputationSource }
func RevascularizationSource() *source.Source { return benefitSource }

// Likelihood words a cell of either table: 1 very low to 4 high.
func Likelihood(cell int) string {
	switch cell {
	case 1:
		return "very low"
	case 2:
		return "low"
	case 3:
		return "moderate"
	case 4:
		return "high"
	}
	return "invalid"
}

// AmputationStage is the stage 1 to 4 of the 1-year risk of major amputation,
// for grades 0 to 3. It is 0 for a grade outside that range. Stage 5, a foot
// that cannot be saved, is a clinician's judgement and no cell of the table.
func AmputationStage(wound, ischaemia, infection int) int {
	if !inTable(wound, ischaemia, infection) {
		return 0
	}
	return int(amputationStage[wound][ischaemia][infection])
}

// RevascularizationBenefit is the likelihood 1 to 4 of benefit from
// revascularisation, for grades 0 to 3; 0 for a grade outside that range. The
// table is FROM MEMORY: whatever shows it must show RevascularizationSource's
// standing beside it.
func RevascularizationBenefit(wound, ischaemia, infection int) int {
	if !inTable(wound, ischaemia, infection) {
		return 0
	}
	return int(revascularizationBenefit[wound][ischaemia][infection])
}

func inTable(w, i, fi int) bool {
	return w >= 0 && w <= 3 && i >= 0 && i <= 3 && fi >= 0 && fi <= 3
}
