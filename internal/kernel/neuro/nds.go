package neuro

import (
	"tengram/internal/kernel/foot"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/source"
)

var (
	srcNDSPoints = source.NDSModified.At("points of each item, and bands", source.Memory)
	srcNDSCut    = source.Bowling2012.At("at risk from 6 points", source.Secondary)
)

var ndsBands = []band{{2 * point, "none"}, {5 * point, "mild"}, {8 * point, "moderate"}, {10 * point, "severe"}}

// NDS is the modified neuropathy disability score, 0 to 10: on each side
// vibration, pinprick and temperature 1 point each where reduced or absent, the
// ankle reflex 1 with reinforcement and 2 when absent. Points and bands are
// from memory; at risk from 6 is second hand. A foot that is gone has no items
// to score and leaves the range open.
func NDS(feet [2]Foot) Score {
	var s sum
	for _, side := range foot.Sides {
		f := feet[side]
		s.yes(f.Vibration.Abnormal(), point)
		s.yes(f.Pinprick.Abnormal(), point)
		s.yes(f.WarmCold.Abnormal(), point)
		s.reflex(f.Reflex, point, 2*point)
	}
	out := s.score("neuropathy disability score")
	out.Band, out.Positive, out.Cut = s.band(ndsBands), s.from(6*point), "at risk from 6 of 10"
	out.Because = source.Because{
		{Says: "Each side: vibration, pinprick and temperature 1 point each when reduced or absent; ankle reflex 1 with reinforcement, 2 when absent.", Source: srcNDSPoints},
		{Says: "At risk from 6 points.", Source: srcNDSCut},
	}
	return out
}

// Symptom is the kind of the symptom that the NSS scores.
type Symptom uint8

// The kinds: burning, numbness or tingling; fatigue, cramp or aching.
const (
	SymptomNotAsked Symptom = iota
	NoSymptom
	Fatigue
	Burning
)

// SymptomSite is where the symptom is.
type SymptomSite uint8

// The sites.
const (
	SymptomSiteNotAsked SymptomSite = iota
	Elsewhere
	Calves
	Feet
)

// WorseAt is when the symptom is worse.
type WorseAt uint8

// The times.
const (
	WorseNotAsked WorseAt = iota
	WorseByDay
	DayAndNight
	WorseAtNight
)

// Relief is what eases the symptom.
type Relief uint8

// The ways of relief. SittingOrNone gives no point.
const (
	ReliefNotAsked Relief = iota
	SittingOrNone
	Standing
	Walking
)

// Symptoms are the answers of the neuropathy symptom score.
type Symptoms struct {
	Kind    Symptom
	Site    SymptomSite
	WorseAt WorseAt
	Woken   known.Tri
	Relief  Relief
}

var (
	srcNSSItems = source.NSS1993.At("points of each item", source.Memory)
	srcNSSBands = source.NSSChapter.At("bands", source.Secondary)
	srcNSSWith  = source.NSS1993.At("neuropathy by both scores", source.Memory)
)

var nssBands = []band{{2 * point, "none"}, {4 * point, "mild"}, {6 * point, "moderate"}, {9 * point, "severe"}}

// NSS is the neuropathy symptom score, 0 to 9: kind 2 or 1, site 2 or 1, time
// 2 or 1, woken 1, relief 2 or 1. Without a symptom it is 0. Points are from
// memory; the bands are second hand. It has no cut-off of its own.
func NSS(in Symptoms) Score {
	var s sum
	if in.Kind != NoSymptom {
		s.step(uint8(in.Kind), uint8(NoSymptom))
		s.step(uint8(in.Site), uint8(Elsewhere))
		s.step(uint8(in.WorseAt), uint8(WorseByDay))
		s.yes(in.Woken, point)
		s.step(uint8(in.Relief), uint8(SittingOrNone))
	}
	if in.Kind == SymptomNotAsked {
		s.low = 0 // without a symptom the rest gives nothing
	}
	out := s.score("neuropathy symptom score")
	out.Band = s.band(nssBands)
	out.Because = source.Because{
		{Says: "Kind, site, time and relief up to 2 points each, woken from sleep 1; no symptom gives 0.", Source: srcNSSItems},
		{Says: "3-4 mild, 5-6 moderate, 7-9 severe.", Source: srcNSSBands},
	}
	return out
}

// step gives 0, 1 or 2 points for an answer that lies 0, 1 or 2 above the
// lowest one; 0 is not asked.
func (s *sum) step(answer, lowest uint8) {
	if answer == 0 {
		s.open(2 * point)
		return
	}
	s.add(half(answer-lowest) * point)
}

// NeuropathyByScores answers "is there neuropathy by both scores?": NDS of 6 or
// more, or NDS of 3 to 5 with NSS of 5 or more (from memory).
func NeuropathyByScores(nds, nss Score) (known.Tri, source.Reason) {
	reason := source.Reason{Says: "Neuropathy with 6 or more points of disability, or 3 to 5 with 5 or more of symptoms.", Source: srcNSSWith}
	high := atLeast(nds, 60)
	some := known.All(atLeast(nds, 30), atLeast(nss, 50))
	return known.Any(high, some), reason
}

func atLeast(s Score, tenths int) known.Tri {
	switch {
	case s.Low.Value >= tenths:
		return known.Yes
	case s.High.Value < tenths:
		return known.No
	}
	return known.Unknown
}
