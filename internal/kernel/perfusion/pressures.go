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
	l.measured = (r.ABI.Known || l.stiff || silent) && (r.TBI.Known || in.ToePressure.State == known.NoSignal)
	field := ankleField[side]
	switch {
	case r.ABI.Known && r.ABI.Value <= 90:
		j.say(abiLow[side], field, srcABILow)
	case l.stiff:
		j.say(abiStiff[side], field, srcABIStiff)
	case r.ABI.Known:
		j.say(abiNormal[side], field, srcLess)
	}
	if r.ABI.SingleArm {
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
// felt for, a question not asked, and pressures where they are needed.
func (j *judge) settle() {
	if j.r.Level != CannotSay && j.r.Level != Suspected {
		return
	}
	pressures := j.r.PressuresNeeded == known.Yes
	for _, side := range foot.Sides {
		if j.r.Legs[side].Gone || j.legs[side].cleared {
			continue
		}
		in := &j.e.Legs[side]
		for i, p := range [2]Pulse{in.DP, in.PT} {
			if i == 0 && !j.e.Loss[side].Has(foot.Dorsum) {
				continue
			}
			if j.r.Level == CannotSay && p.Palpable() == known.Unknown {
				j.r.SettledBy = append(j.r.SettledBy, pulseField[i][side])
				pressures = pressures || !p.IsZero() // could not be felt for
			}
		}
	}
	if j.r.Level == CannotSay && j.e.Claudication == known.Unknown {
		j.r.SettledBy = append(j.r.SettledBy, "ask.claudication")
	}
	if pressures {
		j.settlePressures()
	}
}

func (j *judge) settlePressures() {
	for _, side := range foot.Sides {
		if j.r.Legs[side].Gone || j.legs[side].cleared {
			continue
		}
		in, r := &j.e.Legs[side], &j.r.Legs[side]
		if !r.ABI.Known && !j.legs[side].stiff && !in.AnkleDP.Known() && !in.AnklePT.Known() {
			j.r.SettledBy = append(j.r.SettledBy, ankleField[side], ankleField2[side])
		}
		if !in.ToePressure.Known() {
			j.r.SettledBy = append(j.r.SettledBy, toeField[side])
		}
	}
	if _, _, ok := j.e.Arms.higher(); !ok {
		j.r.SettledBy = append(j.r.SettledBy, "arms.right", "arms.left")
	}
}
