package perfusion

import "tengram/internal/kernel/source"

// The documents that the rules rest on.
var (
	acc2016 = source.Source{
		ID: "aha-acc-2016-pad", Title: "AHA/ACC guideline on lower extremity PAD", Edition: "2016",
		Link: "https://doi.org/10.1161/CIR.0000000000000471",
	}
	acc2024 = source.Source{
		ID: "acc-aha-2024-pad", Title: "ACC/AHA guideline on lower extremity PAD", Edition: "2024",
		Link: "https://eguideline.guidelinecentral.com/i/1521560/15",
	}
	acc2005 = source.Source{
		ID: "acc-aha-2005-pad", Title: "ACC/AHA severity split of the abnormal index, as a data-exchange guide restates it", Edition: "2005",
		Link: "https://build.fhir.org/ig/HL7LT/ig-lt-cvd/en/ValueSet-abi-interpretation.html",
	}
	idsa2012 = source.Source{
		ID: "idsa-2012-infection", Title: "IDSA guideline on diabetic foot infections", Edition: "2012",
		Link: "https://eguideline.guidelinecentral.com/i/170607/2",
	}
	iwgdf2015 = source.Source{
		ID: "iwgdf-2015-pad", Title: "IWGDF guidance on PAD in foot ulcers", Edition: "2015",
		Link: "https://speciality.medicaldialogues.in/iwgdf-guidance-on-pad-management-in-diabetic-foot-ulcer-patients/",
	}
	iwgdf2019 = source.Source{
		ID: "iwgdf-2019-pad", Title: "IWGDF guideline on PAD in foot ulcers", Edition: "2019",
		Link: "https://www.droracle.ai/articles/882212/what-are-the-general-guidelines-for-interpreting-limb-perfusion",
	}
	iwgdf2023 = source.Source{
		ID: "iwgdf-2023-pad", Title: "IWGDF/ESVS/SVS guidelines on PAD with a foot ulcer", Edition: "2023",
		Link: "https://doi.org/10.1002/dmrr.3686",
	}
	iwgdfPractical = source.Source{
		ID: "iwgdf-2019-practical", Title: "IWGDF practical guidelines", Edition: "2019",
		Link: "https://www.scribd.com/document/546275374/Schaper-et-al-2020-IWGDF-practical-guidelines-03-03",
	}
	ada2016 = source.Source{
		ID: "ada-standards-2016", Title: "ADA Standards of Care, section 9", Edition: "2016",
		Link: "http://wikidoc.org/index.php/Diabetic_Foot_care_Recommendations",
	}
	ada2024 = source.Source{
		ID: "ada-standards-2024", Title: "ADA Standards of Care, section 12", Edition: "2024",
		Link: "https://doi.org/10.2337/dc24-S012",
	}
	podus = source.Source{
		ID: "podus-2015", Title: "PODUS, prognostic factors for foot ulceration, HTA 19(57)", Edition: "2015",
		Link: "https://doi.org/10.3310/hta19570",
	}
	ours = source.Source{
		ID: "tengram-proposal", Title: "Our own proposal where the sources are silent", Edition: "1",
	}
)

var (
	srcHistory   = iwgdfPractical.At("PAD in primary care: history and palpation of foot pulses", source.Confirmed)
	srcPulse     = ada2016.At("claudication, or decreased or absent pedal pulses: ABI and further vascular assessment", source.Secondary)
	srcRestPain  = ada2024.At("claudication, rest pain relieved by dependency, or decreased or absent pulses: ABI with toe pressures", source.Memory)
	srcSupport   = ada2024.At("first check for PAD: leg pulses, capillary refill; colour on elevation and hanging from memory", source.Secondary)
	srcABIMethod = acc2016.At("ABI: higher ankle artery over higher arm", source.Confirmed)
	srcABILow    = acc2016.At("ABI of 0.90 or less is abnormal", source.Confirmed)
	srcABIStiff  = acc2024.At("ABI above 1.40: toe pressure or TBI with waveforms", source.Secondary)
	srcExercise  = acc2024.At("exertional leg symptoms with ABI above 0.90: exercise ABI", source.Secondary)
	srcTBILow    = acc2016.At("TBI of 0.70 or less is abnormal", source.Secondary)
	srcLess      = iwgdf2023.At("PAD less likely: ABI 0.9 to 1.3, TBI 0.70 or more, triphasic or biphasic waveform", source.Memory)
	srcWave      = iwgdf2023.At("monophasic or absent waveform", source.Memory)
	srcUlcer     = iwgdf2015.At("with an ulcer, pressures and waveforms besides pulses", source.Secondary)
	srcPODUS     = podus.At("any absent pedal pulse", source.Confirmed)

	srcCritical2019 = iwgdf2019.At("ankle below 50 mmHg or ABI below 0.5, toe below 30 mmHg, TcPO2 below 25 mmHg", source.Secondary)
	srcCritical2023 = iwgdf2023.At("ankle below 50 mmHg, ABI below 0.40, toe below 30 mmHg, TcPO2 below 30 mmHg", source.Secondary)

	srcNoSignal = ours.At("no Doppler signal at the ankle is a result, read as worse than any pressure", source.Proposal)
	srcSettles  = ours.At("what settles a suspicion: ABI 0.91 to 1.30 with TBI above 0.70", source.Proposal)
	srcRecord   = ours.At("a diagnosis or a repaired leg artery in the record stands", source.Proposal)
	srcSilence  = ours.At("all pulses present and no claudication: PAD unlikely", source.Proposal)
)
