package plan

import "tengram/internal/kernel/source"

// The places behind the actions. Where one was read second hand or is
// remembered, its standing says so and goes out with every action.
var (
	adaSpecialist  = source.ADA2016Standards.At("recommendation on foot-care specialists", source.Secondary)
	adaPressures   = source.ADA2016Standards.At("recommendation on claudication and weak pulses", source.Secondary)
	adaToe         = source.ADA2024Standards.At("pressures with toe pressures", source.Memory)
	adaScreen      = source.ADA2024Standards.At("ABI screening from 50 years of age; how the conditions join is not clear in the copy read", source.Secondary)
	adaEveryVisit  = source.ADA2016Standards.At("feet examined at every visit", source.Secondary)
	adaEveryVisit2 = source.ADA2024Standards.At("feet inspected at every visit", source.Secondary)
	adaEducate     = source.ADA2024Standards.At("foot self-care education for all", source.Secondary)
	niceTimes      = source.NICENG19.At("time to first assessment by level", source.Secondary)
	niceCannot     = source.NICENG19.At("shorter intervals for people who cannot check their own feet", source.Secondary)
	niceReferNow   = source.NICENG19.At("urgent referral", source.Secondary)
	iwgdfFootwear  = source.IWGDF2023Prevention.At("therapeutic footwear for moderate and high risk", source.Confirmed)
	iwgdfPreUlcer  = source.IWGDF2023Prevention.At("treatment of pre-ulcerative lesions", source.Confirmed)
	iwgdfHeat      = source.IWGDF2023Prevention.At("coaching in home skin temperature for moderate and high risk", source.Confirmed)
	iwgdfExercise  = source.IWGDF2023Prevention.At("self-care behaviours", source.Secondary)
	charcotOffload = source.IWGDF2023Charcot.At("off-load at once, before imaging", source.Secondary)
	ulcerOffload   = source.IWGDF2023Offloading.At("non-removable knee-high device first for a plantar ulcer from nerve damage", source.Memory)
	healing4       = source.Sheehan2003.At("4-week rule", source.Confirmed)
	medicareCauses = source.MedicareNCD7021.At("other causes of neuropathy considered first", source.Confirmed)
	smokingSource  = source.ADA2024Standards.At("smoking as a reason for lifelong surveillance", source.Memory)
	kidneySource   = source.AFP2021Prevention.At("monthly foot checks at dialysis", source.Confirmed)
	proposal       = source.OurLadder.At("our proposal; a clinician must approve it", source.Proposal)
)
