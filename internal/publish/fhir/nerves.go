package fhir

import (
	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/foot"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/neuro"
)

// nerves writes the monofilament test with a component a site, and the other
// nerve tests that were recorded.
func (w *examWriter) nerves() {
	var p parts
	w.eachFoot(&p, func(s foot.Side, f *exam.Foot) {
		planned := [neuro.SiteCount]bool{}
		for _, n := range w.d.Protocol.Sites() {
			planned[n] = true
		}
		for n := range neuro.SiteCount {
			code, v := onSide("monofilament-"+n.String(), s), f.Test.Filament[n]
			if !f.Loss.Has(n.Place()) {
				if planned[n] || v.Recorded() {
					p.add(named(code).lost())
				}
				continue
			}
			x, ok := finding(code, v, "felt", "not-felt", noSensation.coding())
			if planned[n] {
				p.need(x, ok)
			} else {
				p.also(x, ok)
			}
		}
	})
	o := &observation{Code: concept{Coding: []coding{filamentTest.coding()}, Text: "10 g monofilament test of both feet"}}
	if !w.d.Protocol.IsZero() {
		o.Method = &concept{Text: "sites: " + plain(w.d.Protocol.String())}
	}
	p.whole(o, w.d.Done().Filament, w.feet())
	w.result("filament", o)

	w.nerveTest("vibration", vibration, func(f *exam.Foot) known.Finding { return f.Test.Vibration })
	w.nerveTest("pinprick", pinprick, func(f *exam.Foot) known.Finding { return f.Test.Pinprick })
	w.nerveTest("warm-cold", nil, func(f *exam.Foot) known.Finding { return f.Test.WarmCold })
	w.reflexes()
	w.lightTouch()
	w.threshold()
}

// nerveTest is a test with one result a foot.
func (w *examWriter) nerveTest(role string, standard *Standard, of func(*exam.Foot) known.Finding) {
	var c concept
	if standard != nil {
		c = concept{Coding: []coding{standard.coding()}, Text: standard.For}
	} else {
		c = ownCode(role)
	}
	w.tested(role, c, func(s foot.Side, f *exam.Foot) (part, bool) {
		return finding(onSide(role, s), of(f), "felt", "not-felt")
	})
}

// tested writes a test with one result a foot, if anything of it was recorded.
// It has a value only if every foot that is there has a result.
func (w *examWriter) tested(role string, code concept, of func(foot.Side, *exam.Foot) (part, bool)) {
	var p parts
	done, recorded := true, false
	w.eachFoot(&p, func(s foot.Side, f *exam.Foot) {
		x, ok := of(s, f)
		recorded = recorded || ok
		done = done && (x.ValueCodeableConcept != nil || x.ValueQuantity != nil)
		p.need(x, ok)
	})
	if !recorded {
		return
	}
	o := &observation{Code: code}
	p.whole(o, done, w.feet())
	w.result(role, o)
}

func (w *examWriter) reflexes() {
	w.tested("ankle-reflexes", ownCode("ankle-reflexes"), func(s foot.Side, f *exam.Foot) (part, bool) {
		p, r := named(onSide("ankle-reflex", s)), f.Test.Reflex
		switch r {
		case neuro.ReflexNotDone:
			return p, false
		case neuro.ReflexNotPossible:
			return p.impossible()
		case neuro.ReflexRefused:
			return p.declined()
		}
		return p.is(r.Abnormal(), r.String()), true
	})
}

// threshold is the vibration threshold in volts. Which voltage is abnormal is a
// definition's matter and not said here.
func (w *examWriter) threshold() {
	var p parts
	w.eachFoot(&p, func(s foot.Side, f *exam.Foot) {
		p.also(tenths(onSide("vpt", s), f.Test.VPT, "V"))
	})
	w.group("vpt", p, func(f *exam.Foot) bool { return f.Test.VPT.Recorded() })
}

func (w *examWriter) lightTouch() {
	var p parts
	w.eachFoot(&p, func(s foot.Side, f *exam.Foot) {
		for _, t := range []struct {
			name string
			toe  foot.Place
			v    known.Finding
		}{{"touch-toe1", foot.Hallux, f.Test.Touch.Toe1}, {"touch-toe3", foot.Toe3, f.Test.Touch.Toe3}, {"touch-toe5", foot.Toe5, f.Test.Touch.Toe5}} {
			if t.v.Recorded() && !f.Loss.Has(t.toe) {
				p.add(named(onSide(t.name, s)).lost())
				continue
			}
			p.also(finding(onSide(t.name, s), t.v, "felt", "not-felt"))
		}
	})
	w.group("light-touch", p, func(f *exam.Foot) bool { return !f.Test.Touch.IsZero() })
}

// group writes components that have no result as a whole, if one of the feet
// has something recorded.
func (w *examWriter) group(role string, p parts, has func(*exam.Foot) bool) {
	for _, s := range foot.Sides {
		if f := w.d.Foot(s); !f.Loss.FootGone() && has(f) {
			w.result(role, &observation{Code: ownCode(role), Component: p.list})
			return
		}
	}
}
