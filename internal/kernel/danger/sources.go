package danger

import "tengram/internal/kernel/source"

// The documents behind the flags. The merged ladder takes the shortest time
// that any of them gives; it is our proposal, and a clinician must approve it.
var (
	niceDoc   = source.Source{ID: "nice-ng19", Title: "NICE guideline NG19, Diabetic foot problems: prevention and management", Edition: "2015, later amended", Link: "https://www.nice.org.uk/guidance/ng19"}
	ladderDoc = source.Source{ID: "tengram-ladder", Title: "Merged ladder of urgency", Edition: "1"}
	cltiDoc   = source.Source{ID: "gvg-2019", Title: "Global vascular guidelines on chronic limb-threatening ischaemia", Edition: "2019", Link: "https://doi.org/10.1016/j.jvs.2019.02.016"}
	aliDoc    = source.Source{ID: "acc-aha-2024-pad", Title: "ACC/AHA guideline on lower-extremity peripheral artery disease", Edition: "2024"}
	infectDoc = source.Source{ID: "iwgdf-idsa-2023-infection", Title: "IWGDF/IDSA guidelines on diabetes-related foot infections", Edition: "2023"}
	sepsisDoc = source.Source{ID: "nice-ng253", Title: "NICE guideline on suspected sepsis", Edition: "2025"}

	niceNow    = niceDoc.At("limb- or life-threatening problems: refer to acute services at once", source.Secondary)
	niceActive = niceDoc.At("all other active foot problems: refer within 1 working day", source.Secondary)
	cltiNow    = cltiDoc.At("suspected chronic limb-threatening ischaemia: urgent vascular referral", source.Confirmed)
	aliNow     = aliDoc.At("acute limb ischaemia is an emergency of hours", source.Memory)
	severe     = infectDoc.At("grade 4, severe: hospital", source.Memory)
	mild       = infectDoc.At("grade 2, mild", source.Secondary)
	moderate   = infectDoc.At("grade 3, redness of 2 cm or more", source.Secondary)
	sepsisHigh = sepsisDoc.At("heart rate above 130 or breathing above 25 a minute; edges uncertain", source.Secondary)

	ladderSpreading = ladderDoc.At("same day: spreading infection without systemic signs", source.Proposal)
	ladderRestPain  = ladderDoc.At("same day: new rest pain without a wound", source.Proposal)
	ladderInfection = ladderDoc.At("1 working day: mild infection", source.Proposal)
	ladderUnknown   = ladderDoc.At("what is not known of an open ulcer is found out the same day", source.Proposal)
	ladderOneSign   = ladderDoc.At("one systemic sign alone is judged the same day", source.Proposal)
	ladderDeep      = ladderDoc.At("exposed bone, or a sign of infection at a depth beyond subcutis, is a concern for deep infection", source.Proposal)
	ladderIschaemia = ladderDoc.At("an absent pulse at an ulcer is taken for limb ischaemia until pressures say otherwise", source.Proposal)
	ladderHot       = ladderDoc.At("two of warm, red and swollen; one of them while another is not known", source.Proposal)
	ladderOffload   = niceDoc.At("suspected acute Charcot foot: off-load meanwhile", source.Memory)
	ladderLimb      = ladderDoc.At("pressures in the critical range without a wound", source.Proposal)
)
