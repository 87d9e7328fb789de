package measure

import (
	"strings"

	"tengram/internal/kernel/cohort"
	"tengram/internal/kernel/record"
	"tengram/internal/kernel/source"
	"tengram/internal/kernel/when"
)

// programmeRun is one evaluation of a measure of our own: everybody with
// something due in the period counts, whatever their age or visits.
type programmeRun struct {
	run
	rec *record.Record
	src *source.Source
}

func startProgramme(rec *record.Record, ctx Context, id string, src *source.Source) programmeRun {
	return programmeRun{run: start(rec, ctx, id), rec: rec, src: src}
}

// nobody is the answer for a person with nothing due in the period.
func (p *programmeRun) nobody(says string) Result {
	if p.explain {
		p.say(says, "", p.src)
	}
	return p.done()
}

// counts puts the person into the denominator.
func (p *programmeRun) counts() {
	p.result.InitialPopulation, p.result.Denominator = true, true
}

// leftOut excludes a person who was no longer called on the day on which
// something fell due, and says why.
func (p *programmeRun) leftOut(on when.Day) bool {
	watched, why := cohort.Watched(p.rec, on)
	if watched {
		return false
	}
	p.result.DenominatorExclusion = true
	if p.explain {
		for _, r := range why {
			p.say("Left out: on "+on.String()+" the person was not called. "+r.Says, r.Fact, r.Source)
		}
	}
	return true
}

// tell adds a reason, when asked to explain.
func (p *programmeRun) tell(says ...string) {
	if p.explain {
		p.say(strings.Join(says, ""), "", p.src)
	}
}

// lack adds a gap, when asked to explain.
func (p *programmeRun) lack(part string, says ...string) {
	if p.explain {
		p.gap(part, strings.Join(says, ""))
	}
}

// in reports whether a day lies in the period.
func (w window) in(d when.Day) bool { return d != 0 && d >= w.period.First && d <= w.period.Last }
