// Package perfusion turns pulses, symptoms and pressures into what can be said
// of the arteries of each leg: the ankle-brachial and toe-brachial index with
// their bands, and whether peripheral artery disease (PAD) is suspected,
// likely or unlikely, and what would settle it.
//
// This file holds what was felt and measured; pressures are mmHg throughout.
package perfusion

import (
	"tengram/internal/kernel/foot"
	"tengram/internal/kernel/known"
)

// Pulse is what the finger felt over one artery.
type Pulse uint8

// The pulses. DopplerOnly means not felt but heard with a Doppler probe; it is
// not the same as absent, and not the same as felt.
const (
	PulseNotDone Pulse = iota
	PulsePresent
	PulseWeak
	PulseAbsent
	PulseDopplerOnly
	PulseNotPossible
	PulseRefused
)

var pulseNames = []string{"", "present", "weak", "absent", "doppler-only", "not-possible", "refused"}

// IsZero reports that the pulse was not felt for.
func (p Pulse) IsZero() bool { return p == PulseNotDone }

// String returns the JSON word of the pulse, or "not recorded".
func (p Pulse) String() string {
	if p == PulseNotDone {
		return "not recorded"
	}
	if int(p) < len(pulseNames) {
		return pulseNames[p]
	}
	return "invalid"
}

// MarshalText writes the JSON word of the pulse.
func (p Pulse) MarshalText() ([]byte, error) { return known.Word(pulseNames, int(p), "pulse") }

// UnmarshalText reads the JSON word of the pulse.
func (p *Pulse) UnmarshalText(b []byte) error {
	i, err := known.Index(pulseNames, b, "pulse")
	*p = Pulse(i)
	return err
}

// Palpable answers "was the pulse felt?"; a weak pulse was felt.
func (p Pulse) Palpable() known.Tri {
	switch p {
	case PulsePresent, PulseWeak:
		return known.Yes
	case PulseAbsent, PulseDopplerOnly:
		return known.No
	}
	return known.Unknown
}

// Diminished answers "is the pulse decreased or absent?".
func (p Pulse) Diminished() known.Tri {
	switch p {
	case PulsePresent:
		return known.No
	case PulseWeak, PulseAbsent, PulseDopplerOnly:
		return known.Yes
	}
	return known.Unknown
}

// Waveform is the shape of the Doppler signal at the ankle or the forefoot.
type Waveform uint8

// The waveforms, from healthy to none.
const (
	WaveformNotDone Waveform = iota
	Triphasic
	Biphasic
	Monophasic
	WaveformAbsent
)

var waveformNames = []string{"", "triphasic", "biphasic", "monophasic", "absent"}

// IsZero reports that no waveform was recorded.
func (w Waveform) IsZero() bool { return w == WaveformNotDone }

// String returns the JSON word of the waveform, or "not recorded".
func (w Waveform) String() string {
	if w == WaveformNotDone {
		return "not recorded"
	}
	if int(w) < len(waveformNames) {
		return waveformNames[w]
	}
	return "invalid"
}

// MarshalText writes the JSON word of the waveform.
func (w Waveform) MarshalText() ([]byte, error) { return known.Word(waveformNames, int(w), "waveform") }

// UnmarshalText reads the JSON word of the waveform.
func (w *Waveform) UnmarshalText(b []byte) error {
	i, err := known.Index(waveformNames, b, "waveform")
	*w = Waveform(i)
	return err
}

// Leg holds the arterial findings of one leg.
type Leg struct {
	DP Pulse `json:"dorsalis-pedis,omitzero"`
	PT Pulse `json:"posterior-tibial,omitzero"`
	// CapillaryRefill: Normal is colour back in under 3 seconds (3-minute exam
	// handout, second hand).
	CapillaryRefill known.Finding `json:"capillary-refill,omitzero"`
	// Pallor on elevation or redness on hanging: Abnormal when seen.
	PostureColour known.Finding `json:"posture-colour,omitzero"`
	// AnkleDP and AnklePT are ankle systolic pressures, mmHg.
	AnkleDP known.Reading `json:"ankle-dp,omitzero"`
	AnklePT known.Reading `json:"ankle-pt,omitzero"`
	// ToePressure is the toe systolic pressure, mmHg.
	ToePressure known.Reading `json:"toe-pressure,omitzero"`
	// ToeUsed is the toe measured, 1 to 5; 0 means the great toe.
	ToeUsed int `json:"toe-used,omitempty"`
	// TcPO2 is the transcutaneous oxygen pressure, mmHg.
	TcPO2    known.Reading `json:"tcpo2,omitzero"`
	Waveform Waveform      `json:"waveform,omitzero"`
}

// IsZero reports that nothing was recorded of the leg.
func (l Leg) IsZero() bool { return l == Leg{} }

// Arms holds the brachial systolic pressures, mmHg.
type Arms struct {
	Right known.Reading `json:"right,omitzero"`
	Left  known.Reading `json:"left,omitzero"`
}

// IsZero reports that neither arm was measured.
func (a Arms) IsZero() bool { return a == Arms{} }

// Evidence is everything that speaks for or against PAD in one person.
type Evidence struct {
	Legs [2]Leg
	Loss [2]foot.Loss
	Arms Arms
	// Claudication: leg pain or fatigue on walking, relieved by rest.
	Claudication known.Tri
	// RestPain: foot pain at rest, relieved by hanging the leg.
	RestPain known.Tri
	// Diagnosed: PAD is on the problem list or was told.
	Diagnosed known.Tri
	// Revascularised: angioplasty, stent or bypass of a leg.
	Revascularised known.Tri
	// OpenUlcer: an open ulcer or gangrene on either foot.
	OpenUlcer known.Tri
}
