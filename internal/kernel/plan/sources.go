package plan

import "tengram/internal/kernel/source"

// The documents behind the actions. Where the reference was read second hand
// or is remembered, the standing says so and goes out with every action.
var (
	ada2016 = source.Source{ID: "ada-standards-2016", Title: "ADA Standards of Medical Care in Diabetes, foot care", Edition: "2016"}
	ada2024 = source.Source{ID: "ada-standards-2024", Title: "ADA Standards of Care in Diabetes, section 12", Edition: "2024", Link: "https://doi.org/10.2337/dc24-S012"}
	nice    = source.Source{ID: "nice-ng19", Title: "NICE NG19 Diabetic foot problems", Edition: "2015, amended"}
	iwgdf   = source.Source{ID: "iwgdf-2023-prevention", Title: "IWGDF guideline on prevention of foot ulcers", Edition: "2023", Link: "https://doi.org/10.1002/dmrr.3651"}
	ladder  = source.Source{ID: "tengram-ladder", Title: "Merged ladder of urgency", Edition: "1"}

	adaSpecialist  = ada2016.At("recommendation on foot-care specialists", source.Secondary)
	adaPressures   = ada2016.At("recommendation on claudication and weak pulses", source.Secondary)
	adaToe         = ada2024.At("pressures with toe pressures", source.Memory)
	adaScreen      = ada2024.At("ABI screening from 50 years of age; how the conditions join is not clear in the copy read", source.Secondary)
	adaEveryVisit  = ada2016.At("feet examined at every visit", source.Secondary)
	adaEveryVisit2 = ada2024.At("feet inspected at every visit", source.Secondary)
	adaEducate     = ada2024.At("foot self-care education for all", source.Secondary)
	niceTimes      = nice.At("time to first assessment by level", source.Secondary)
	niceCannot     = nice.At("shorter intervals for people who cannot check their own feet", source.Secondary)
	niceReferNow   = nice.At("urgent referral", source.Secondary)
	iwgdfFootwear  = iwgdf.At("therapeutic footwear for moderate and high risk", source.Confirmed)
	iwgdfPreUlcer  = iwgdf.At("treatment of pre-ulcerative lesions", source.Confirmed)
	iwgdfHeat      = iwgdf.At("coaching in home skin temperature for moderate and high risk", source.Confirmed)
	iwgdfExercise  = iwgdf.At("self-care behaviours", source.Secondary)
	charcotOffload = (&source.Source{ID: "iwgdf-2023-charcot", Title: "IWGDF guideline on active Charcot neuro-osteoarthropathy", Edition: "2023"}).At("off-load at once, before imaging", source.Secondary)
	ulcerOffload   = (&source.Source{ID: "iwgdf-2023-offloading", Title: "IWGDF guideline on offloading", Edition: "2023"}).At("non-removable knee-high device first for a plantar ulcer from nerve damage", source.Memory)
	healing4       = (&source.Source{ID: "sheehan-2003", Title: "Percent change in wound area over 4 weeks", Edition: "Diabetes Care 2003;26:1879", Link: "https://doi.org/10.2337/diacare.26.6.1879"}).At("4-week rule", source.Confirmed)
	medicareCauses = (&source.Source{ID: "cms-ncd-70.2.1", Title: "Medicare NCD 70.2.1, diabetic sensory neuropathy with LOPS", Edition: "2002"}).At("other causes of neuropathy considered first", source.Confirmed)
	smokingSource  = ada2024.At("smoking as a reason for lifelong surveillance", source.Memory)
	kidneySource   = (&source.Source{ID: "afp-2021-prevention", Title: "American Family Physician, prevention of diabetic foot ulcers", Edition: "2021;104(4):386"}).At("monthly foot checks at dialysis", source.Confirmed)
	proposal       = ladder.At("our proposal; a clinician must approve it", source.Proposal)
)
