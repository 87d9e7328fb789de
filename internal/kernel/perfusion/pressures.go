package perfusion

import (
	"tengram/internal/kernel/foot"
	"tengram/internal/kernel/known"
)

// pressures reads the pressures and the waveform of one leg.
func (j *judge) pressures(side foot.Side, in *Leg, l *leg, r *LegResult) {
	if in.AnkleDP.Recorded() || in.AnklePT.Recorded() {
		r.ABI = ABI(in.AnkleDP, in.AnklePT, j.e.Arms, HigherAnkle)
	}
	if in.ToePressure.Recorded() {
		r.TBI = TBI(in.ToePressure, j.e.Arms)
	}
	silent := noAnkleSignal(in.AnkleDP, in.AnklePT)
	l.stiff = r.ABI.Known && r.ABI.Value > 130 || !r.ABI.Known && r.ABI.Band != ""
	l.wave = in.Waveform == Monophasic || in.Waveform == WaveformAbsent
	l.toeless = toeless(j.e.Loss[side])
	toe := r.TBI.Known || in.ToePressure.State == known.NoSignal || l.toeless && !in.Waveform.IsZero()
	ankle := in.AnkleDP.Known() || in.AnklePT.Known()
	l.begun = ankle && !r.ABI.Known && !l.stiff || in.ToePressure.Known() && !r.TBI.Known
	l.measured = (r.ABI.Known || l.stiff || silent) && toe
	field := ankleField[side]
	switch {
	case r.ABI.Known && r.ABI.Value <= 90:
		j.say(abiLow[side], field, srcABILow)
	case l.stiff:
		j.say(abiStiff[side], field, srcABIStiff)
	case r.ABI.Known:
		j.say(abiNormal[side], field, srcLess)
	}
	if (r.ABI.SingleArm || r.TBI.SingleArm) && !j.oneArmSaid {
		j.oneArmSaid = true
		j.say("Only one arm was measured: the index may be too high.", "arms", srcABIMethod)
	}
	if r.ABI.SingleArtery {
		j.say(oneArtery[side], field, srcABIMethod)
	}
	if r.TBI.Known && r.TBI.Value <= 70 {
		j.say(tbiLow[side], toeField[side], srcTBILow)
	} else if r.TBI.Known {
		j.say(tbiNormal[side], toeField[side], srcLess)
	}
	if l.wave {
		j.say(waveBad[side], waveField[side], srcWave)
	}
	r.Critical = j.critical(side, in, r, silent)
}

// critical answers "are pressures in the range where a wound needs urgent
// vascular care?" by the union of the 2019 and 2023 triggers (the union is our
// proposal): ankle below 50 mmHg, ABI below 0.50, toe below 30 mmHg, TcPO2
// below 30 mmHg. No signal is worse than any pressure. It is No only if
// something was measured that says so: a toe pressure, TcPO2, or an ABI that a
// hard artery has not raised.
func (j *judge) critical(side foot.Side, in *Leg, r *LegResult, silent bool) known.Tri {
	found := false
	if ankle, _, why, _ := ankleOf(in.AnkleDP, in.AnklePT, HigherAnkle); why == "" && ankle < 50 {
		found = true
		j.say(ankleCritical[side], ankleField[side], srcCritical2023)
	}
	if silent {
		found = true
		j.say(noSignal[side], ankleField[side], srcNoSignal)
	}
	switch {
	case r.ABI.Known && r.ABI.Value < 40:
		found = true
		j.say(abiCritical40[side], ankleField[side], srcCritical2023)
	case r.ABI.Known && r.ABI.Value < 50:
		found = true
		j.say(abiCritical50[side], ankleField[side], srcCritical2019)
	}
	switch {
	case in.ToePressure.State == known.NoSignal:
		found = true
		j.say(toeSilent[side], toeField[side], srcNoSignal)
	case in.ToePressure.Known() && in.ToePressure.Value < 30:
		found = true
		j.say(toeCritical[side], toeField[side], srcCritical2023)
	}
	switch {
	case in.TcPO2.Known() && in.TcPO2.Value < 25:
		found = true
		j.say(oxygenCritical25[side], oxygenField[side], srcCritical2019)
	case in.TcPO2.Known() && in.TcPO2.Value < 30:
		found = true
		j.say(oxygenCritical30[side], oxygenField[side], srcCritical2023)
	}
	switch {
	case found:
		return known.Yes
	case in.ToePressure.Known() || in.TcPO2.Known() || r.ABI.Known && r.ABI.Value <= 130:
		return known.No
	}
	return known.Unknown
}

// settle names what would settle an unknown answer or a suspicion: pulses not
// felt for, a question not asked, and pressures where they are needed. A leg
// that was measured and is still suspected is beyond what the exam can settle.
func (j *judge) settle() {
	if j.r.Level != CannotSay && j.r.Level != Suspected {
		return
	}
	j.r.SettledBy = make([]string, 0, 8)
	symptoms := known.Any(j.e.Claudication, j.e.RestPain) == known.Yes
	pressures := j.r.PressuresNeeded == known.Yes
	byPulses := false
	for _, side := range foot.Sides {
		r, l := &j.r.Legs[side], &j.legs[side]
		switch {
		case r.Gone || l.cleared:
			continue
		case r.Level == Suspected && l.measured:
			j.r.SettledBy = nil
			return
		case r.Level == Suspected || symptoms:
			continue // pressures settle it
		}
		byPulses = true
		in := &j.e.Legs[side]
		for i, p := range [2]Pulse{in.DP, in.PT} {
			if i == 0 && !j.e.Loss[side].Has(foot.Dorsum) || p.Palpable().Known() {
				continue
			}
			j.r.SettledBy = append(j.r.SettledBy, pulseField[i][side])
			pressures = pressures || !p.IsZero() // could not be felt for
		}
	}
	if byPulses && j.e.Claudication == known.Unknown {
		j.r.SettledBy = append(j.r.SettledBy, "ask.claudication")
	}
	if pressures {
		j.settlePressures(symptoms)
	}
}

func (j *judge) settlePressures(symptoms bool) {
	for _, side := range foot.Sides {
		in, r := &j.e.Legs[side], &j.r.Legs[side]
		if r.Gone || j.legs[side].cleared || r.Level == Unlikely && !symptoms {
			continue
		}
		if !r.ABI.Known && !j.legs[side].stiff && !in.AnkleDP.Known() && !in.AnklePT.Known() {
			j.r.SettledBy = append(j.r.SettledBy, ankleField[side], ankleField2[side])
		}
		switch {
		case j.legs[side].toeless:
			if in.Waveform.IsZero() {
				j.r.SettledBy = append(j.r.SettledBy, waveField[side])
			}
			if !in.TcPO2.Known() {
				j.r.SettledBy = append(j.r.SettledBy, oxygenField[side])
			}
		case !in.ToePressure.Known():
			j.r.SettledBy = append(j.r.SettledBy, toeField[side])
		}
	}
	if _, _, ok := j.e.Arms.higher(); !ok {
		j.r.SettledBy = append(j.r.SettledBy, "arms.right", "arms.left")
	}
}

// toeless reports that amputation has left no toe to put a cuff on. Waveforms,
// TcPO2 or skin perfusion pressure stand in then (AHA/ACC 2016, second hand).
func toeless(l foot.Loss) bool {
	for _, toe := range [5]foot.Place{foot.Hallux, foot.Toe2, foot.Toe3, foot.Toe4, foot.Toe5} {
		if l.Has(toe) {
			return false
		}
	}
	return true
}
