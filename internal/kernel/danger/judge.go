package danger

import (
	"cmp"
	"slices"

	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/foot"
	"tengram/internal/kernel/heat"
	"tengram/internal/kernel/neuro"
	"tengram/internal/kernel/perfusion"
	"tengram/internal/kernel/source"
	"tengram/internal/kernel/wound"
)

// Input is what the flags are judged by: the exam as recorded, and what the
// earlier rooms concluded from it.
type Input struct {
	Exam *exam.Draft
	// Background is what the record says; nil where there is none.
	Background *exam.Background
	LOPS       neuro.Result
	PAD        perfusion.Result
	Heat       heat.Result
	// Ulcers are the results of the exam's ulcers; what they worry about stands
	// with the flag of the open ulcer.
	Ulcers []wound.Result
}

// Judge finds the red flags, the most urgent first, then by ID; it returns each
// ID at most once. Each rule looks at its own facts alone, so that no finding
// softens the flag of another: a worse finding never takes a flag away and
// never makes it later. The one flag that an answer may take away is
// ulcer-checks-missing, when the answer is what was missing; what the answer
// says has then a flag of its own.
func Judge(in Input) []Flag {
	r := raised{}
	s := systemic{of: in.Exam.Vitals}
	for _, side := range foot.Sides {
		w := openWound(&in, side)
		r.dead(&in, side)
		r.cold(&in, side)
		r.hot(&in, side)
		r.criticalLeg(&in, side, w)
		r.infections(&in, side, &s)
		if w.open {
			r.ulcer(&in, side, w, &s)
		} else {
			r.unseen(&in, side)
		}
	}
	r.restPain(&in)
	r.charcot(&in)
	slices.SortFunc(r.flags, func(a, b Flag) int {
		return cmp.Or(cmp.Compare(a.Urgency, b.Urgency), cmp.Compare(a.ID, b.ID))
	})
	if r.flags == nil {
		return []Flag{}
	}
	return r.flags
}

// raised collects flags and brings those of one kind together.
type raised struct {
	flags []Flag
}

// raise adds a settled flag of a side.
func (r *raised) raise(k *kind, side foot.Side, because ...source.Reason) {
	f := r.flag(k, k.urgency, true)
	addSide(f, side)
	f.Because = append(f.Because, because...)
}

// suspect adds a flag of a side that rests on suspicion.
func (r *raised) suspect(k *kind, u Urgency, side foot.Side, because ...source.Reason) {
	f := r.flag(k, u, false)
	addSide(f, side)
	f.Because = append(f.Because, because...)
}

// flag returns the flag of a kind, made new with its rule or strengthened: the
// sooner time and the surer words stand.
func (r *raised) flag(k *kind, u Urgency, sure bool) *Flag {
	for i := range r.flags {
		f := &r.flags[i]
		if f.ID != k.id {
			continue
		}
		f.Urgency = min(f.Urgency, u)
		if sure && f.Suspected {
			f.Suspected, f.Says = false, k.says
		}
		return f
	}
	f := Flag{ID: k.id, Urgency: u, Says: k.says, Because: source.Because{k.rule}}
	if !sure {
		f.Says, f.Suspected = k.suspects, true
	}
	r.flags = append(r.flags, f)
	return &r.flags[len(r.flags)-1]
}

// addSide keeps the sides in order; the rules come to the right foot first.
func addSide(f *Flag, side foot.Side) {
	if !slices.Contains(f.Sides, side) {
		f.Sides = append(f.Sides, side)
	}
}

// saw is the reason that names a finding of one foot.
func saw(says string, side foot.Side, path string) source.Reason {
	return source.Reason{Says: says, Fact: side.String() + "." + path}
}
