package perfusion

import "tengram/internal/kernel/source"

// The places that the rules rest on.
var (
	srcHistory   = source.IWGDF2019Practical.At("PAD in primary care: history and palpation of foot pulses", source.Confirmed)
	srcPulse     = source.ADA2016Standards.At("claudication, or decreased or absent pedal pulses: ABI and further vascular assessment", source.Secondary)
	srcRestPain  = source.ADA2024Standards.At("claudication, rest pain relieved by dependency, or decreased or absent pulses: ABI with toe pressures", source.Memory)
	srcSupport   = source.ADA2024Standards.At("first check for PAD: leg pulses, capillary refill", source.Secondary)
	srcPosture   = source.ADA2024Standards.At("first check for PAD: colour on elevation and hanging, venous filling", source.Memory)
	srcABIMethod = source.AHAACC2016PAD.At("ABI: higher ankle artery over higher arm", source.Confirmed)
	srcABILow    = source.AHAACC2016PAD.At("ABI of 0.90 or less is abnormal", source.Confirmed)
	srcABIStiff  = source.ACCAHA2024PAD.At("ABI above 1.40: toe pressure or TBI with waveforms", source.Secondary)
	srcExercise  = source.ACCAHA2024PAD.At("exertional leg symptoms with ABI above 0.90: exercise ABI", source.Secondary)
	srcTBILow    = source.AHAACC2016PAD.At("TBI of 0.70 or less is abnormal", source.Secondary)
	srcLess      = source.IWGDF2023PAD.At("PAD less likely: ABI 0.9 to 1.3, TBI 0.70 or more, triphasic or biphasic waveform", source.Memory)
	srcWave      = source.IWGDF2023PAD.At("monophasic or absent waveform", source.Memory)
	srcUlcer     = source.IWGDF2015PAD.At("with an ulcer, pressures and waveforms besides pulses", source.Secondary)
	srcPODUS     = source.PODUS2015.At("any absent pedal pulse", source.Confirmed)

	srcCritical2019 = source.IWGDF2019PAD.At("ankle below 50 mmHg or ABI below 0.5, toe below 30 mmHg, TcPO2 below 25 mmHg", source.Secondary)
	srcCritical2023 = source.IWGDF2023PAD.At("ankle below 50 mmHg, ABI below 0.40, toe below 30 mmHg, TcPO2 below 30 mmHg", source.Secondary)

	srcNoSignal = source.OurProposal.At("no Doppler signal at the ankle is a result, read as worse than any pressure", source.Proposal)
	srcSettles  = source.OurProposal.At("what settles a suspicion: ABI 0.91 to 1.30 with TBI above 0.70", source.Proposal)
	srcRecord   = source.OurProposal.At("a diagnosis or a repaired leg artery in the record stands", source.Proposal)
	srcSilence  = source.OurProposal.At("all pulses present and no claudication: PAD unlikely", source.Proposal)
)
