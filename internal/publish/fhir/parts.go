package fhir

import (
	"tengram/internal/kernel/foot"
	"tengram/internal/kernel/known"
)

// part is one answer at one place as a component, with what it says for the
// whole.
type part struct {
	component
	// abnormal is what it says; Unknown where it was not tested.
	abnormal known.Tri
	refused  bool
}

// parts collects the components of one observation. Nothing recorded gives no
// component: a receiver sees what is there, and not what is not.
type parts struct {
	list []component
	// abnormal joins the answers of those that have to be there for the whole
	// to be called normal.
	needed  []known.Tri
	extra   []known.Tri
	refused bool
}

// need adds a part without which the whole is not normal.
func (p *parts) need(x part, ok bool) {
	p.needed = append(p.needed, x.abnormal)
	p.add(x, ok)
}

// also adds a part that can make the whole abnormal, and is not needed for
// normal.
func (p *parts) also(x part, ok bool) {
	p.extra = append(p.extra, x.abnormal)
	p.add(x, ok)
}

func (p *parts) add(x part, ok bool) {
	if ok {
		p.list = append(p.list, x.component)
		p.refused = p.refused || x.refused
	}
}

// any reports that something was recorded.
func (p *parts) any() bool { return len(p.list) > 0 }

// whole fills in the value of the observation. Where it was not done on every
// foot that is there it has no value, and says why: only done counts as done.
func (p *parts) whole(o *observation, done bool, feet int) {
	o.Component = p.list
	switch {
	case feet == 0:
		o.DataAbsentReason = absent("not-applicable", "no foot is left to examine", local("part-absent"))
		return
	case !done && p.refused:
		o.DataAbsentReason = absent("not-performed", "refused", refused.coding())
		return
	case !done && p.any():
		o.DataAbsentReason = absent("not-performed", "not done on every foot that is there", local("not-every-foot"))
		return
	case !done:
		o.DataAbsentReason = absent("not-performed", "not done")
		return
	}
	is := known.Any(p.needed...)
	if known.Any(p.extra...) == known.Yes {
		is = known.Yes
	}
	switch is {
	case known.Yes:
		o.ValueCodeableConcept = coded("abnormal", abnormalResult.coding(), local("abnormal"))
		o.Interpretation = interpret("A")
	case known.No:
		o.ValueCodeableConcept = coded("normal", normalResult.coding(), local("normal"))
		o.Interpretation = interpret("N")
	default:
		o.ValueCodeableConcept = coded("nothing abnormal where it was looked for; not everything was looked for", local("result-partial"))
	}
}

// onSide puts the side behind a code of ours.
func onSide(code string, s foot.Side) string { return code + "-" + s.String() }

// named starts a component with one of our codes.
func named(code string) part {
	c := local(code)
	return part{component: component{Code: concept{Coding: []coding{c}, Text: c.Display}}}
}

// is gives a part its value: one of our codes, the codes before it, and whether
// that is abnormal.
func (p part) is(abnormal known.Tri, code string, more ...coding) part {
	c := local(code)
	p.ValueCodeableConcept = coded(c.Display, append(more, c)...)
	p.abnormal = abnormal
	switch abnormal {
	case known.Yes:
		p.Interpretation = interpret("A")
	case known.No:
		p.Interpretation = interpret("N")
	}
	return p
}

// without gives a part its reason for having no value.
func (p part) without(reason *concept) part {
	p.DataAbsentReason = reason
	return p
}

func (p part) declined() (part, bool) {
	p.refused = true
	return p.without(absent("not-performed", "refused", refused.coding())), true
}

func (p part) impossible() (part, bool) {
	return p.without(absent("not-performed", "not possible today", local("not-possible"))), true
}

func (p part) lost() (part, bool) {
	return p.without(absent("not-applicable", "lost to amputation", local("part-absent"))), true
}

// finding is a test with the words for its two results.
func finding(code string, f known.Finding, normal, abnormal string, more ...coding) (part, bool) {
	p := named(code)
	switch f {
	case known.Normal:
		return p.is(known.No, normal), true
	case known.Abnormal:
		return p.is(known.Yes, abnormal, more...), true
	case known.Absent:
		return p.lost()
	case known.NotPossible:
		return p.impossible()
	case known.Refused:
		return p.declined()
	}
	return p, false
}

// answered is a question with yes or no, or why there is neither.
func answered(code string, a known.Answer) (part, bool) {
	p := named(code)
	switch a {
	case known.AnswerYes, known.AnswerNo:
		yes := a == known.AnswerYes
		p.ValueBoolean, p.abnormal = &yes, a.Tri()
		return p, true
	case known.Unsure:
		return p.without(absent("asked-unknown", "asked, and not known")), true
	case known.Declined:
		p.refused = true
		return p.without(absent("asked-declined", "declined to answer", refused.coding())), true
	case known.Prevented:
		return p.impossible()
	}
	return p, false
}

// reading is a whole number with its UCUM unit, or the word for why there is
// none.
func reading(code string, r known.Reading, unit string) (part, bool) {
	return number(code, r.State, decimal(r.String()), unit)
}

// tenths is a number with one decimal.
func tenths(code string, t known.Tenths, unit string) (part, bool) {
	return number(code, t.State, decimal(t.String()), unit)
}

func number(code string, state known.ReadingState, text decimal, unit string) (part, bool) {
	p := named(code)
	switch state {
	case known.Measured:
		p.ValueQuantity = measured(text, unit)
		return p, true
	case known.NoSignal:
		return p.is(known.Yes, "no-signal"), true
	case known.TooHigh:
		return p.is(known.Yes, "not-compressible"), true
	case known.CannotMeasure:
		return p.impossible()
	case known.MeasureDeclined:
		return p.declined()
	}
	return p, false
}

// tri is a conclusion: yes, no, or unknown.
func tri(code string, t known.Tri) part {
	p := named(code)
	if !t.Known() {
		return p.without(absent("unknown", "cannot be said from what was recorded"))
	}
	yes := t == known.Yes
	p.ValueBoolean = &yes
	return p
}
