package fhir

import (
	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/foot"
	"tengram/internal/kernel/heat"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/perfusion"
)

// arteries writes the pulses with a component an artery, the further signs and
// pressures, and the indices.
func (w *examWriter) arteries() {
	var p parts
	w.eachFoot(&p, func(s foot.Side, f *exam.Foot) {
		p.need(pulse(onSide("pulse-dorsalis-pedis", s), f.Feel.Arteries.DP))
		p.need(pulse(onSide("pulse-posterior-tibial", s), f.Feel.Arteries.PT))
	})
	o := &observation{Code: concept{Coding: []coding{pulseCheck.coding()}, Text: "foot pulses of both feet"}}
	p.whole(o, w.d.Done().Pulses, w.feet())
	w.result("pulses", o)
	w.circulation()
	for _, s := range foot.Sides {
		w.index(s)
	}
}

// pulse is one artery. A weak pulse is abnormal and was felt; one that was only
// heard was not felt.
func pulse(code string, v perfusion.Pulse) (part, bool) {
	p := named(code)
	switch v {
	case perfusion.PulseNotDone:
		return p, false
	case perfusion.PulseNotPossible:
		return p.impossible()
	case perfusion.PulseRefused:
		return p.declined()
	case perfusion.PulseAbsent:
		return p.is(known.Yes, v.String(), noPulse.coding()), true
	}
	return p.is(v.Diminished(), v.String()), true
}

func (w *examWriter) circulation() {
	var p parts
	w.eachFoot(&p, func(s foot.Side, f *exam.Foot) {
		a := &f.Feel.Arteries
		p.also(finding(onSide("capillary-refill", s), a.CapillaryRefill, "normal", "abnormal"))
		p.also(finding(onSide("posture-colour", s), a.PostureColour, "normal", "abnormal"))
		p.also(reading(onSide("ankle-pressure-dorsalis-pedis", s), a.AnkleDP, "mm[Hg]"))
		p.also(reading(onSide("ankle-pressure-posterior-tibial", s), a.AnklePT, "mm[Hg]"))
		p.also(reading(onSide("toe-pressure", s), a.ToePressure, "mm[Hg]"))
		p.also(reading(onSide("tcpo2", s), a.TcPO2, "mm[Hg]"))
		if !a.Waveform.IsZero() {
			p.also(named(onSide("waveform", s)).is(known.Unknown, "waveform-"+a.Waveform.String()), true)
		}
	})
	p.also(reading(onSide("arm-pressure", foot.Right), w.d.Arms.Right, "mm[Hg]"))
	p.also(reading(onSide("arm-pressure", foot.Left), w.d.Arms.Left, "mm[Hg]"))
	lost := 2 - w.feet()
	if len(p.list) > lost {
		w.result("circulation-signs", &observation{Code: ownCode("circulation-signs"), Component: p.list})
	}
}

// index writes the ankle-brachial and the toe-brachial index of a leg, where
// they could be worked out, or say that the artery could not be compressed.
func (w *examWriter) index(s foot.Side) {
	leg, a := &w.a.PAD.Legs[s], &w.d.Foot(s).Feel.Arteries
	ankle := ownCode(onSide("ankle-brachial-index", s))
	if restsOnTibial(a) {
		ankle.Coding = append([]coding{sided(s, abiLeft, abiRight).coding()}, ankle.Coding...)
	}
	w.ratio("abi/"+s.String(), ankle, leg.ABI, s)
	toe := ownCode(onSide("toe-brachial-index", s))
	toe.Coding = append([]coding{sided(s, tbiLeft, tbiRight).coding()}, toe.Coding...)
	w.ratio("tbi/"+s.String(), toe, leg.TBI, s)
}

// restsOnTibial reports that the index is that of the posterior tibial artery,
// which is what the standard code says; an index that rests on the other artery
// has our own code alone.
func restsOnTibial(a *perfusion.Leg) bool {
	return a.AnklePT.Known() && (!a.AnkleDP.Known() || a.AnklePT.Value >= a.AnkleDP.Value)
}

func (w *examWriter) ratio(role string, code concept, i perfusion.Index, s foot.Side) {
	o := &observation{Code: code, BodySite: site(s)}
	switch {
	case i.Known:
		o.ValueQuantity = measured(hundredths(i.Value), "{ratio}")
	case i.Band != "":
		o.ValueCodeableConcept = valueOf("not-compressible", nil)
	default:
		return
	}
	if i.Band != "" {
		code := "A"
		if i.Band == "normal" {
			code = "N"
		}
		o.Interpretation = interpret(code)
		o.Interpretation[0].Text = i.Band
	}
	if i.SingleArm || i.SingleArtery {
		o.Note = []annotation{{"Only one arm or one ankle artery was measured; the other may be higher."}}
	}
	w.result(role, o)
}

func sided(s foot.Side, left, right *Standard) *Standard {
	if s == foot.Left {
		return left
	}
	return right
}

// warmth writes the signs of warmth and swelling, and the skin temperatures in
// the unit in which they were measured.
func (w *examWriter) warmth() {
	var p parts
	w.eachFoot(&p, func(s foot.Side, f *exam.Foot) {
		p.also(finding(onSide("oedema", s), f.Feel.Oedema, "normal", "abnormal"))
		p.also(answered(onSide("warm", s), f.Feel.Warm))
		p.also(answered(onSide("swollen", s), f.Feel.Swollen))
		p.also(answered(onSide("suddenly-cold", s), f.Feel.SuddenlyCold))
	})
	w.group("warmth-and-swelling", p, func(f *exam.Foot) bool {
		return f.Feel.Oedema.Recorded() || f.Feel.Warm.Recorded() || f.Feel.Swollen.Recorded() || f.Feel.SuddenlyCold.Recorded()
	})
	unit := "Cel"
	if w.d.TemperatureUnit == heat.Fahrenheit {
		unit = "[degF]"
	}
	for _, s := range foot.Sides {
		f := w.d.Foot(s)
		for n := range heat.SpotCount {
			w.temperature(s, f, n, unit)
		}
	}
}

func (w *examWriter) temperature(s foot.Side, f *exam.Foot, n heat.Spot, unit string) {
	t := f.Feel.Temperatures[n]
	code := onSide("temperature-"+n.String(), s)
	x, ok := tenths(code, t, unit)
	if !ok || f.Loss.FootGone() {
		return
	}
	if !f.Loss.Has(n.Place()) {
		x, _ = named(code).lost()
	}
	w.result("temperature/"+n.String()+"/"+s.String(), &observation{
		Code: concept{Coding: []coding{skinTemperature.coding(), local(code)}, Text: displayOf(code)}, BodySite: place(s, n.Place()),
		ValueQuantity: x.ValueQuantity, ValueCodeableConcept: x.ValueCodeableConcept, DataAbsentReason: x.DataAbsentReason,
	})
}
