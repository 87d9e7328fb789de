package perfusion

// Sentences and paths of the exam document, put together once, so that judging
// an exam builds no text.

// pair holds a text for the right and for the left side.
type pair [2]string

func onFoot(says string) pair { return pair{"Right foot: " + says, "Left foot: " + says} }
func onLeg(says string) pair  { return pair{"Right leg: " + says, "Left leg: " + says} }

func artery(name string) pair {
	return pair{"right.feel.arteries." + name, "left.feel.arteries." + name}
}

var (
	lossField    = pair{"right.loss", "left.loss"}
	pulseField   = [2]pair{artery("dorsalis-pedis"), artery("posterior-tibial")}
	refillField  = artery("capillary-refill")
	postureField = artery("posture-colour")
	ankleField   = artery("ankle-dp")
	ankleField2  = artery("ankle-pt")
	toeField     = artery("toe-pressure")
	oxygenField  = artery("tcpo2")
	waveField    = artery("waveform")
)

// pulseSays holds a sentence for each artery and each pulse that is not
// present.
var pulseSays = [2][PulseRefused + 1]pair{pulseWords("dorsalis pedis"), pulseWords("posterior tibial")}

func pulseWords(name string) (all [PulseRefused + 1]pair) {
	all[PulseWeak] = onFoot("the " + name + " pulse is weak.")
	all[PulseAbsent] = onFoot("the " + name + " pulse is absent.")
	all[PulseDopplerOnly] = onFoot("the " + name + " pulse cannot be felt, only heard with a Doppler probe.")
	return all
}

var (
	footGone      = onLeg("no foot is left to examine.")
	pulsesPresent = onFoot("the foot pulses are present.")
	slowRefill    = onFoot("colour comes back slowly after pressure.")
	postureColour = onFoot("the foot turns pale when raised or red when hanging.")

	abiLow    = onLeg("the ankle-brachial index is 0.90 or less.")
	abiNormal = onLeg("the ankle-brachial index is from 0.91 to 1.30.")
	abiStiff  = onLeg("the ankle-brachial index is above 1.30 or the artery could not be compressed: it says nothing for or against; measure the toe pressure, or waveforms and TcPO2 where no toe is left.")
	oneArtery = onLeg("only one ankle artery has a pressure; the other may be higher.")
	tbiLow    = onLeg("the toe-brachial index is 0.70 or less.")
	tbiNormal = onLeg("the toe-brachial index is above 0.70.")
	waveBad   = onLeg("the Doppler waveform is monophasic or absent.")

	ankleCritical    = onLeg("the ankle pressure is below 50 mmHg: a wound needs urgent vascular care (2019 and 2023 editions).")
	abiCritical40    = onLeg("the ankle-brachial index is below 0.40: a wound needs urgent vascular care (2019 and 2023 editions).")
	abiCritical50    = onLeg("the ankle-brachial index is from 0.40 to 0.49: a wound needs urgent vascular care by the 2019 edition, not by 2023.")
	toeCritical      = onLeg("the toe pressure is below 30 mmHg: a wound needs urgent vascular care (2019 and 2023 editions).")
	oxygenCritical25 = onLeg("TcPO2 is below 25 mmHg: a wound needs urgent vascular care (2019 and 2023 editions).")
	oxygenCritical30 = onLeg("TcPO2 is from 25 to 29 mmHg: a wound needs urgent vascular care by the 2023 edition, not by 2019.")
	noSignal         = onLeg("no signal was found at the ankle: a wound needs urgent vascular care.")
	toeSilent        = onLeg("no signal was found at the toe: a wound needs urgent vascular care.")
)
