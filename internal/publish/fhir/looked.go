package fhir

import (
	"fmt"

	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/foot"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/wound"
)

// feet counts the feet that are there.
func (w *examWriter) feet() int {
	n := 0
	for _, s := range foot.Sides {
		if !w.d.Foot(s).Loss.FootGone() {
			n++
		}
	}
	return n
}

// eachFoot calls do for each foot that is there, and gives a foot that is gone
// a component that says so.
func (w *examWriter) eachFoot(p *parts, do func(foot.Side, *exam.Foot)) {
	for _, s := range foot.Sides {
		f := w.d.Foot(s)
		if f.Loss.FootGone() {
			p.add(named(onSide("foot", s)).lost())
			continue
		}
		do(s, f)
	}
}

// looked writes the visual exam: a component for each thing looked at on each
// foot, and an observation of its own for each finding, with its place.
func (w *examWriter) looked() {
	var p parts
	var members []reference
	w.eachFoot(&p, func(s foot.Side, f *exam.Foot) {
		l := &f.Look
		p.need(finding(onSide("skin", s), l.Skin, "normal", "abnormal"))
		p.need(finding(onSide("wound", s), l.Wound, "no-wound", "open-wound"))
		p.need(finding(onSide("nails", s), l.Nails, "normal", "abnormal"))
		p.need(finding(onSide("shape", s), l.Shape, "normal", "abnormal"))
		p.also(gangrene(s, l.Gangrene))
		p.also(finding(onSide("mobility", s), l.Mobility, "normal", "abnormal"))
		p.also(finding(onSide("muscle-wasting", s), l.Wasting, "normal", "abnormal"))
		p.also(answered(onSide("redness", s), l.Redness))
		listed := len(l.Lesions) + len(l.NailKind) + len(l.Deformities)
		if listed > 0 {
			p.extra = append(p.extra, known.Yes)
		}
		members = append(members, w.findings(s, l)...)
	})
	for _, s := range foot.Sides {
		if ref, ok := w.loss(s); ok {
			members = append(members, ref)
		}
	}
	o := &observation{Code: concept{Coding: []coding{visualExam.coding()}, Text: "visual exam of both feet"}, HasMember: members}
	p.whole(o, w.d.Done().Visual, w.feet())
	w.result("visual", o)
}

func gangrene(s foot.Side, g wound.Gangrene) (part, bool) {
	p := named(onSide("gangrene", s))
	if g.IsZero() {
		return p, false
	}
	return p.is(g.Any(), "gangrene-"+g.String()), true
}

// loss is what amputation has taken from a leg, where it was recorded.
func (w *examWriter) loss(s foot.Side) (reference, bool) {
	l := w.d.Foot(s).Loss
	if l.Level == foot.LevelUnknown {
		return reference{}, false
	}
	o := &observation{Code: ownCode(onSide("amputation-level", s)), BodySite: site(s)}
	c := local("loss-" + l.Level.String())
	o.ValueCodeableConcept = coded(c.Display, c)
	if toes := (l.Toes | l.Rays).List(); len(toes) > 0 {
		o.ValueCodeableConcept.Text += fmt.Sprintf(", toes lost (1 is the great toe): %v", toes)
		if rays := l.Rays.List(); len(rays) > 0 {
			o.ValueCodeableConcept.Text += fmt.Sprintf(", with their rays: %v", rays)
		}
	}
	return w.put("loss/"+s.String(), o), true
}

// findings writes each finding of one foot as an observation.
func (w *examWriter) findings(s foot.Side, l *exam.Look) []reference {
	var refs []reference
	one := func(role string, n int, code string, value *concept, at *concept, note string) {
		o := &observation{Code: ownCode(code), ValueCodeableConcept: value, BodySite: at, Interpretation: interpret("A")}
		if note != "" && w.o.Names {
			o.Note = []annotation{{note}}
		}
		refs = append(refs, w.put(fmt.Sprintf("%s/%s/%d", role, s, n), o))
	}
	for i, x := range l.Lesions {
		one("lesion", i, "skin-finding", valueOf("lesion-"+x.Kind.String(), lesionCode(x)), place(s, x.Place), x.Note)
	}
	for i, k := range l.NailKind {
		var standard *Standard
		if k == exam.FungalNail {
			standard = fungalNails
		}
		one("nail", i, "nail-finding", valueOf("nail-"+k.String(), standard), site(s), "")
	}
	for i, d := range l.Deformities {
		one("deformity", i, "deformity", valueOf("deformity-"+d.String(), deformityCode(d)), site(s), "")
	}
	if has := shaped(l); has.Known() {
		yes := has == known.Yes
		refs = append(refs, w.put("deformity-present/"+s.String(), &observation{Code: ownCode("deformity-present"), ValueBoolean: &yes, BodySite: site(s)}))
	}
	if !l.Infection.IsZero() {
		o := &observation{Code: ownCode("foot-infection"), BodySite: site(s), Component: infectionSigns(l.Infection)}
		refs = append(refs, w.put("infection/"+s.String(), o))
	}
	return refs
}

// shaped answers whether the foot has a deformity.
func shaped(l *exam.Look) known.Tri {
	if len(l.Deformities) > 0 {
		return known.Yes
	}
	return l.Shape.Abnormal()
}

func infectionSigns(i wound.Infection) []component {
	var p parts
	for _, q := range questions(i) {
		p.add(answered("infection-"+q.name, q.answer))
	}
	p.add(reading("infection-erythema", i.ErythemaMM, "mm"))
	return p.list
}

// lesionCode is the standard code of a skin finding, where there is one. The
// code for a corn is that of a toe.
func lesionCode(l exam.Lesion) *Standard {
	switch {
	case l.Kind == exam.Callus:
		return callus
	case l.Kind == exam.Corn && l.Place.Toe() > 0:
		return cornOfToe
	case l.Kind == exam.Fungus:
		return tineaPedis
	}
	return nil
}

func deformityCode(d exam.Deformity) *Standard {
	switch d {
	case exam.HalluxValgus:
		return halluxValgus
	case exam.HammerToe:
		return hammerToe
	case exam.ClawToe:
		return clawToes
	case exam.FlatFoot:
		return flatFoot
	case exam.HighArch:
		return highArch
	case exam.FootDrop:
		return footDrop
	case exam.OtherDeformity:
		return footDeformity
	}
	return nil
}

// valueOf is one of our codes as a value, behind the standard code if there is
// one. A word that is in no list of ours, such as that of a kind which was not
// recorded, gives a text alone.
func valueOf(code string, standard *Standard) *concept {
	c := local(code)
	if c.Display == "" {
		return &concept{Text: "not recorded"}
	}
	if standard == nil {
		return coded(c.Display, c)
	}
	return coded(c.Display, standard.coding(), c)
}

// ownCode is an observation's code of our own.
func ownCode(code string) concept {
	c := local(code)
	return concept{Coding: []coding{c}, Text: c.Display}
}

// site is a foot as a body site.
func site(s foot.Side) *concept {
	if s == foot.Left {
		return coded("left foot", leftFoot.coding())
	}
	return coded("right foot", rightFoot.coding())
}

// place is a place on a foot as a body site: our own code of the place, and the
// standard one of the foot. Without a place it is the foot.
func place(s foot.Side, p foot.Place) *concept {
	if p == foot.NoPlace {
		return site(s)
	}
	c := local(onSide("place-"+p.String(), s))
	return coded(c.Display, append([]coding{c}, site(s).Coding...)...)
}
