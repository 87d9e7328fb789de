package neuro

import (
	"tengram/internal/kernel/foot"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/source"
)

// verdict builds a Result: the rule first, then what was found on each foot.
type verdict struct {
	tests *Tests
	Result
}

func newVerdict(t *Tests, id, name string) verdict {
	v := verdict{tests: t, Result: Result{Definition: id, Name: name, Because: make(source.Because, 0, 8)}}
	for _, side := range foot.Sides {
		v.Feet[side].Side = side
		v.Feet[side].Gone = t.Loss[side].FootGone()
	}
	return v
}

func (v *verdict) rule(says string, src *source.Source) {
	v.Because = append(v.Because, source.Reason{Says: says, Source: src})
}

func (v *verdict) found(says, fact string) {
	v.Because = append(v.Because, source.Reason{Says: says, Fact: fact})
}

func (v *verdict) settle(field string) {
	if v.SettledBy == nil {
		v.SettledBy = make([]string, 0, 8)
	}
	v.SettledBy = append(v.SettledBy, field)
}

// plan names the protocol that was followed, if the monofilament was used at
// all: two testers' results can be compared only with it.
func (v *verdict) plan() {
	for _, side := range foot.Sides {
		if v.Feet[side].Gone || v.tests.Feet[side].Filament.IsZero() {
			continue
		}
		if int(v.tests.Protocol) < len(protocolSays) {
			v.found(protocolSays[v.tests.Protocol], "protocol")
		}
		return
	}
}

// filament counts the definition's sites on one foot and says what they gave,
// by a cut-off of k insensate sites.
func (v *verdict) filament(side foot.Side, sites []Site, k int) known.Tri {
	c := v.tests.count(side, sites)
	f := &v.Feet[side]
	f.Insensate, f.Tested, f.Absent = c.insensate, c.tested(), c.absent
	answer := c.reached(k)
	v.sayCount(side, c, k, answer)
	for _, s := range TenSites.Sites() {
		if v.tests.at(side, s) != known.Abnormal {
			continue
		}
		says := notCounted[s][side]
		if has(sites, s) {
			says = notFelt[s][side]
		}
		v.found(says, siteField[s][side])
	}
	return answer
}

func (v *verdict) sayCount(side foot.Side, c count, k int, answer known.Tri) {
	field := filamentField[side]
	switch {
	case c.absent == c.planned:
		v.Because = append(v.Because, source.Reason{Says: noSiteLeft[side], Fact: field, Source: partialFoot})
		return
	case c.absent > 0:
		v.Because = append(v.Because, source.Reason{Says: siteLost[side], Fact: field, Source: partialFoot})
	}
	switch {
	case c.tested() == 0:
		v.found(notTested[side], field)
	case c.open > 0 && answer == known.Unknown:
		v.found(someOpen[side], field)
	case answer == known.Unknown:
		v.found(cannotReach[side], field)
	case c.insensate == 0:
		v.found(allFelt[side], field)
	case answer == known.No && k > 1:
		v.found(belowCut[side], field)
	}
}

// openSites names the sites of one foot that are there and have no result.
// blocked reports that one of them could not be tested.
func (v *verdict) openSites(side foot.Side, sites []Site) (blocked bool) {
	for _, s := range sites {
		switch v.tests.at(side, s) {
		case known.NotPossible, known.Refused:
			blocked = true
			v.settle(siteField[s][side])
		case known.NotDone:
			v.settle(siteField[s][side])
		}
	}
	return blocked
}

// close sets the person's answer from the feet that exist.
func (v *verdict) close(planned int) Result {
	v.LOPS = v.person()
	for _, side := range foot.Sides {
		f := &v.Feet[side]
		if f.Gone {
			f.LOPS = known.Unknown
			v.Because = append(v.Because, source.Reason{Says: footGone[side], Fact: lossField[side], Source: partialFoot})
			continue
		}
		f.Incomplete = f.LOPS.Known() && f.Tested < planned
	}
	if v.LOPS.Known() {
		v.SettledBy = nil
	}
	return v.Result
}

// person is Yes if either foot that exists has LOPS, No if all of them are
// cleared, and Unknown with no foot left.
func (v *verdict) person() known.Tri {
	answer, feet := known.No, 0
	for _, side := range foot.Sides {
		if v.Feet[side].Gone {
			continue
		}
		feet++
		answer = known.Any(answer, v.Feet[side].LOPS)
	}
	if feet == 0 {
		return known.Unknown
	}
	return answer
}

var lossField = pair{"right.loss", "left.loss"}

func has(sites []Site, s Site) bool {
	for _, x := range sites {
		if x == s {
			return true
		}
	}
	return false
}
