package calc

import (
	"fmt"

	"tengram/internal/kernel/foot"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/perfusion"
)

const (
	pulseSays    = "pulse: present, weak, absent, doppler-only, not-possible or refused"
	waveformSays = "Doppler waveform: triphasic, biphasic, monophasic or absent"
)

func padCalculator() Calculator {
	c := Calculator{
		Name:    "perfusion-pad",
		Title:   "peripheral artery disease: unlikely, suspected, likely or cannot say, from history, pulses and pressures",
		Example: "right-dp=present right-pt=present left-dp=absent left-pt=present claudication=no",
		Run:     runPAD,
	}
	for _, side := range foot.Sides {
		of := side.String()
		c.Inputs = append(c.Inputs,
			Input{Name: of + "-dp", Says: of + " dorsalis pedis " + pulseSays},
			Input{Name: of + "-pt", Says: of + " posterior tibial " + pulseSays},
			Input{Name: of + "-ankle-dp", Says: of + " dorsalis pedis: " + ankleSays},
			Input{Name: of + "-ankle-pt", Says: of + " posterior tibial: " + ankleSays},
			Input{Name: of + "-toe", Says: of + " toe: " + toeSays},
			Input{Name: of + "-waveform", Says: of + " " + waveformSays},
			Input{Name: of + "-refill-slow", Says: of + " foot: colour back after 3 seconds or more: yes, no or unknown"},
			Input{Name: of + "-gone", Says: of + " foot lost to amputation: yes, no or unknown"},
			Input{Name: of + "-arm", Says: of + " arm: " + armSays},
		)
	}
	for _, in := range [...]Input{
		{Name: "claudication", Says: "leg pain or fatigue on walking that rest relieves"},
		{Name: "rest-pain", Says: "foot pain at rest, better with the leg down"},
		{Name: "diagnosed", Says: "peripheral artery disease is diagnosed"},
		{Name: "revascularised", Says: "angioplasty, stent or bypass of a leg"},
		{Name: "ulcer", Says: "open ulcer or gangrene of either foot"},
	} {
		in.Says += ": yes, no or unknown"
		c.Inputs = append(c.Inputs, in)
	}
	return c
}

func runPAD(a *Args) (Output, error) {
	if len(a.values) == 0 {
		return Output{}, fmt.Errorf("give at least one pulse, pressure or answer")
	}
	e := perfusion.Evidence{
		Arms:         armsOf(a),
		Claudication: a.Tri("claudication"), RestPain: a.Tri("rest-pain"), Diagnosed: a.Tri("diagnosed"),
		Revascularised: a.Tri("revascularised"), OpenUlcer: a.Tri("ulcer"),
	}
	for _, side := range foot.Sides {
		of, leg := side.String(), &e.Legs[side]
		leg.DP, leg.PT = pulse(a, of+"-dp"), pulse(a, of+"-pt")
		leg.AnkleDP, leg.AnklePT = pressure(a, of+"-ankle-dp", 0), pressure(a, of+"-ankle-pt", 0)
		leg.ToePressure = pressure(a, of+"-toe", 0, "no-signal", "not-possible")
		if w := a.Word(of+"-waveform", "triphasic", "biphasic", "monophasic", "absent"); w != "" {
			_ = leg.Waveform.UnmarshalText([]byte(w)) // Word has checked it
		}
		switch a.Tri(of + "-refill-slow") {
		case known.Yes:
			leg.CapillaryRefill = known.Abnormal
		case known.No:
			leg.CapillaryRefill = known.Normal
		}
		if a.Tri(of+"-gone") == known.Yes {
			e.Loss[side].Level = foot.BelowKnee
		}
	}
	r := perfusion.Judge(e)
	result := Fields{{"pad", r.PAD.String()}, {"level", r.Level.String()}}
	for _, side := range foot.Sides {
		l := r.Legs[side]
		leg := Fields{{"level", l.Level.String()}, {"critical", l.Critical.String()}}
		if l.Gone {
			leg = Fields{{"gone", true}}
		}
		if l.ABI.Known {
			leg = append(leg, Field{"abi", decimal(l.ABI.Value, 2)})
		}
		if l.TBI.Known {
			leg = append(leg, Field{"tbi", decimal(l.TBI.Value, 2)})
		}
		result = append(result, Field{side.String(), leg})
	}
	result = append(result, Field{"pulseAbsent", r.PulseAbsent.String()}, Field{"pressuresNeeded", r.PressuresNeeded.String()}, Field{"settledBy", r.SettledBy})
	out := withSource(output(result, r.Because), perfusion.SourceOfABI)
	if r.Level == perfusion.CannotSay {
		out.Steps = append(out.Steps, "What is known decides nothing; settledBy names what would.")
	}
	return out, nil
}

func pulse(a *Args, name string) (p perfusion.Pulse) {
	if w := a.Word(name, "present", "weak", "absent", "doppler-only", "not-possible", "refused"); w != "" {
		_ = p.UnmarshalText([]byte(w)) // Word has checked it
	}
	return p
}
