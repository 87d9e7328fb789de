package measure

import (
	"tengram/internal/kernel/record"
	"tengram/internal/kernel/source"
)

// legs is the exclusion of people who have lost both legs: by one code for both
// or by one for each side (CMS123v7; reference, section 1.5). Loss of toes, a
// foot or at the ankle is not in it.
type legs struct{ bilateral, left, right criterion }

// both reports that both legs are gone.
func (l *legs) both() bool { return l.bilateral.met || (l.left.met && l.right.met) }

const amputation = isBilateral | isLeft | isRight | isOneSided

// judgeLegs judges a diagnosis or procedure by its start alone: a leg does not
// come back when the diagnosis is marked as over.
func (r *run) judgeLegs(l *legs, f *record.Fact, m meaning) {
	v := verdict{why: notFinal}
	if f.Standing == record.Stands {
		v = r.begun(f)
	}
	if m&isBilateral != 0 {
		r.judge(&l.bilateral, f, v)
	}
	if m&isLeft != 0 || (m&isOneSided != 0 && onLeft(f)) {
		r.judge(&l.left, f, v)
	}
	if m&isRight != 0 || (m&isOneSided != 0 && onRight(f)) {
		r.judge(&l.right, f, v)
	}
}

// sayLegs gives the reasons, if both legs are gone.
func (r *run) sayLegs(l *legs, s *source.Source) {
	switch {
	case l.bilateral.met:
		f := l.bilateral.by
		r.say("Left out: both legs are gone ("+r.sets.named(f, isBilateral)+").", f.Key, s)
	case l.both():
		left, right := l.left.by, l.right.by
		r.say("Left out: the left leg is gone ("+r.sets.named(left, isLeft|isOneSided)+since(left)+").", left.Key, s)
		r.say("Left out: the right leg is gone ("+r.sets.named(right, isRight|isOneSided)+since(right)+").", right.Key, s)
	}
}
