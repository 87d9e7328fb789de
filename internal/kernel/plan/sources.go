package plan

import "tengram/internal/kernel/source"

// The places behind the actions. Where one was read second hand or is
// remembered, its standing says so and goes out with every action.
var (
	adaSpecialist  = source.ADA2016Standards.At("recommendation on foot-care specialists", source.Secondary)
	adaSmokers     = source.ADA2016Standards.At("recommendation on foot-care specialists: smokers, or a complication or risk finding", source.Secondary)
	adaPressures   = source.ADA2016Standards.At("recommendation on claudication and weak pulses", source.Secondary)
	adaToe         = source.ADA2024Standards.At("pressures with toe pressures", source.Memory)
	adaScreen      = source.ADA2024Standards.At("ABI screening from 50 years of age; how the conditions join is not clear in the copy read", source.Secondary)
	adaEveryVisit  = source.ADA2016Standards.At("feet examined at every visit", source.Secondary)
	adaEveryVisit2 = source.ADA2024Standards.At("feet inspected at every visit", source.Secondary)
	adaEducate     = source.ADA2024Standards.At("foot self-care education for all", source.Secondary)
	niceTimes      = source.NICENG19.At("time to first assessment by level", source.Secondary)
	niceCannot     = source.NICENG19.At("shorter intervals for people who cannot check their own feet", source.Secondary)
	niceTriage     = source.NICENG19.At("active foot problem: referral within 1 working day, triage within 1 further working day", source.Secondary)
	niceInform     = source.NICENG19.At("limb- or life-threatening problems: acute services at once, and inform the multidisciplinary foot care service", source.Secondary)
	niceLevels     = source.NICENG19.At("refer moderate and high risk to the foot protection service", source.Secondary)
	iwgdfFootwear  = source.IWGDF2023Prevention.At("therapeutic footwear for moderate and high risk", source.Confirmed)
	iwgdfPreUlcer  = source.IWGDF2023Prevention.At("treatment of pre-ulcerative lesions", source.Confirmed)
	preUlcerMeans  = source.IWGDF2023Definitions.At("pre-ulcerative lesion: blister, fissure that spares the dermis, bleeding under skin or callus", source.Memory)
	preUlcerSigns  = source.IWGDF2023Definitions.At("abundant callus, ingrown or thick nails and fungal infection are treated as pre-ulcerative signs", source.Memory)
	iwgdfSelfCare  = source.IWGDF2023Prevention.At("self-care: emollient for dry skin", source.Secondary)
	iwgdfHeat      = source.IWGDF2023Prevention.At("coaching in home skin temperature for moderate and high risk", source.Confirmed)
	iwgdfShoes     = source.IWGDF2023Prevention.At("suitable foot protection, properly fitting footwear", source.Confirmed)
	charcotOffload = source.IWGDF2023Charcot.At("off-load at once, before imaging", source.Secondary)
	ulcerOffload   = source.IWGDF2023Offloading.At("non-removable knee-high device first for a plantar ulcer from nerve damage", source.Memory)
	healing4       = source.Sheehan2003.At("4-week rule", source.Confirmed)
	medicareCauses = source.MedicareNCD7021.At("other causes of neuropathy considered first", source.Confirmed)
	smokingSource  = source.ADA2024Standards.At("smoking as a reason for lifelong surveillance", source.Memory)
	ulcerPressures = source.FastTrack2021.At("an ischaemic ulcer reaches the specialised centre within 4 days", source.Confirmed)
	kidneySource   = source.AFP2021Prevention.At("monthly foot checks at dialysis", source.Confirmed)
	yearly         = source.ADA2024Standards.At("comprehensive foot evaluation at least yearly", source.Secondary)

	ladderTime    = source.OurLadder.At("times that no guideline read gives", source.Proposal)
	highestStands = source.OurProposal.At("an unsettled risk is planned by the highest category still possible", source.Proposal)
	activeIsTop   = source.OurProposal.At("with an active foot problem the recall follows the highest category", source.Proposal)
	overrideRules = source.OurProposal.At("a clinician's own category with a reason sets the recall", source.Proposal)
	goneFeet      = source.OurProposal.At("with both feet gone, stumps and skin are looked at", source.Proposal)
	redSpot       = source.OurProposal.At("a red spot is looked into on the day it is seen", source.Proposal)
	kidneyAtRisk  = source.OurProposal.At("kidney failure is planned as the highest category, so the foot service is told", source.Proposal)
	glucoseReview = source.OurProposal.At("glucose above the person's target is reviewed", source.Proposal)
)

// ourTime marks the time of an action that no guideline read gives.
var ourTime = source.Reason{Says: "The time is ours: no guideline read gives one.", Source: ladderTime}
