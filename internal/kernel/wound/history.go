package wound

import (
	"fmt"

	"tengram/internal/kernel/known"
	"tengram/internal/kernel/source"
	"tengram/internal/kernel/when"
)

// history is what earlier visits say of the ulcer since it was last closed.
type history struct {
	// last is the last earlier look; nil without one.
	last *Past
	// first is the first look since the ulcer was last closed.
	first when.Day
	// sizes are the sizes since then, today's last, one a day and in order.
	sizes []measured
	// today is true where today's size is among them.
	today bool
}

// look reads the earlier looks at the same ulcer that lie before the day of
// the exam. A look without a day cannot be placed and is left out. A size from
// before a closed look belongs to an ulcer that has healed since.
func look(in *Input) history {
	var h history
	var closed when.Day
	if in.On.IsZero() {
		return h
	}
	for i := range in.Past {
		p := &in.Past[i]
		if !h.counts(in, p) {
			continue
		}
		if h.last == nil || p.On >= h.last.On {
			h.last = p
		}
		if p.Ulcer.Open() == known.No {
			closed = max(closed, p.On)
		}
	}
	if in.Ulcer.Open() == known.No {
		closed = h.openedBefore(in, closed)
	}
	for i := range in.Past {
		p := &in.Past[i]
		if !h.counts(in, p) || p.On <= closed {
			continue
		}
		if h.first.IsZero() || p.On < h.first {
			h.first = p.On
		}
		h.sizes = addSize(h.sizes, p.On, p.Ulcer.Size)
	}
	n := len(h.sizes)
	if in.Ulcer.Open() == known.Yes {
		h.sizes = addSize(h.sizes, in.On, in.Ulcer.Size)
	}
	h.today = len(h.sizes) > n
	h.sizes = inOrder(h.sizes)
	return h
}

// openedBefore is for an ulcer that is closed today: the closed look that ended
// the episode before its last open look. Later closed looks confirm today's.
func (h *history) openedBefore(in *Input, closed when.Day) when.Day {
	var lastOpen when.Day
	for i := range in.Past {
		if p := &in.Past[i]; h.counts(in, p) && p.Ulcer.Open() == known.Yes {
			lastOpen = max(lastOpen, p.On)
		}
	}
	if closed < lastOpen {
		return closed
	}
	var before when.Day
	for i := range in.Past {
		if p := &in.Past[i]; h.counts(in, p) && p.Ulcer.Open() == known.No && p.On < lastOpen {
			before = max(before, p.On)
		}
	}
	return before
}

func (h *history) counts(in *Input, p *Past) bool {
	return p.Ulcer.ID == in.Ulcer.ID && p.Ulcer.Side == in.Ulcer.Side && !p.On.IsZero() && p.On < in.On
}

// openDays is how long the ulcer has surely been open: since the last day on
// which it may have begun, or since the first look at it if that is earlier. It
// is -1 when neither is known.
func (h *history) openDays(in *Input) int {
	_, since := in.Ulcer.Since.Days(nil)
	if in.On.IsZero() {
		return -1
	}
	if since.IsZero() || since > in.On || (h.reopened() && since <= h.last.On) {
		since = 0
	}
	if !h.first.IsZero() && (since.IsZero() || h.first < since) {
		since = h.first
	}
	if since.IsZero() {
		return -1
	}
	return int(in.On - since)
}

func (h *history) reopened() bool { return h.last != nil && h.last.Ulcer.Open() == known.No }

// sizeSinceLast says what today's size shows beside the one before.
func (h *history) sizeSinceLast(at string) source.Because {
	n := len(h.sizes)
	switch {
	case !h.today && n > 0:
		return source.Because{reason("The ulcer was measured before and not today: whether it heals is not known.", at+".size", measureRule)}
	case n < 2:
		return nil
	}
	before, now := h.sizes[n-2], h.sizes[n-1]
	if before.method != now.method {
		return source.Because{reason("Today's area was found by another method ("+now.method.String()+") than the one before ("+before.method.String()+"): they are not compared.", at+".size", sameMethod)}
	}
	grown := reduction(before.extent, now.extent)
	if grown >= 0 {
		return nil
	}
	src, first := changeRule, h.sizes[0].on
	if from := int(now.on - first); from >= fourWeeks && from <= sixWeeks {
		src = warrinerWorse
	}
	return source.Because{reason(fmt.Sprintf("The area grew from %d to %d mm2 since %v.", roundMM2(before.mm2), roundMM2(now.mm2), before.on), at+".size", src)}
}
