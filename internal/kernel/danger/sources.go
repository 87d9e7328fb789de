package danger

import "tengram/internal/kernel/source"

// The places behind the flags. The merged ladder takes the shortest time
// that any of them gives; it is our proposal, and a clinician must approve it.
var (
	niceNow    = source.NICENG19.At("limb- or life-threatening problems: refer to acute services at once", source.Secondary)
	niceActive = source.NICENG19.At("all other active foot problems: refer within 1 working day", source.Secondary)
	cltiNow    = source.GVG2019.At("suspected chronic limb-threatening ischaemia: urgent vascular referral", source.Confirmed)
	aliNow     = source.ACCAHA2024PAD.At("acute limb ischaemia is an emergency of hours", source.Memory)
	severe     = source.IWGDFIDSA2023Infection.At("grade 4, severe: hospital", source.Memory)
	mild       = source.IWGDFIDSA2023Infection.At("grade 2, mild", source.Secondary)
	moderate   = source.IWGDFIDSA2023Infection.At("grade 3, redness of 2 cm or more", source.Secondary)
	sepsisHigh = source.NICENG253.At("heart rate above 130 or breathing above 25 a minute; edges uncertain", source.Secondary)

	ladderSpreading = source.OurLadder.At("same day: spreading infection without systemic signs", source.Proposal)
	ladderRestPain  = source.OurLadder.At("same day: new rest pain without a wound", source.Proposal)
	ladderInfection = source.OurLadder.At("1 working day: mild infection", source.Proposal)
	ladderUnknown   = source.OurLadder.At("what is not known of an open ulcer is found out the same day", source.Proposal)
	ladderOneSign   = source.OurLadder.At("one systemic sign alone is judged the same day", source.Proposal)
	ladderDeep      = source.OurLadder.At("exposed bone, or a sign of infection at a depth beyond subcutis, is a concern for deep infection", source.Proposal)
	ladderIschaemia = source.OurLadder.At("an absent pulse at an ulcer is taken for limb ischaemia until pressures say otherwise", source.Proposal)
	ladderHot       = source.OurLadder.At("two of warm, red and swollen; one of them while another is not known", source.Proposal)
	ladderOffload   = source.NICENG19.At("suspected acute Charcot foot: off-load meanwhile", source.Memory)
	ladderLimb      = source.OurLadder.At("pressures in the critical range without a wound", source.Proposal)
)
