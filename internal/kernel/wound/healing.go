package wound

import (
	"fmt"

	"tengram/internal/kernel/known"
	"tengram/internal/kernel/source"
)

// The days at which healing is looked at again.
const (
	twoWeeks    = 14
	fourWeeks   = 28
	sixWeeks    = 42
	eightWeeks  = 56
	twelveWeeks = 84
)

var (
	sheehanRule   = source.Sheehan2003.At("abstract: midpoint of healed and not healed at 4 weeks", source.Confirmed)
	vascularRule  = source.GVG2019.At("less than 50 % in 4 weeks is not progressing", source.Confirmed)
	warrinerRule  = source.Warriner2011.At("abstract: less than 90 % at 8 weeks", source.Confirmed)
	warrinerWorse = source.Warriner2011.At("abstract: growth in weeks 4 to 6", source.Confirmed)
	fastTrackRule = source.FastTrack2021.At("uncomplicated ulcer that does not heal", source.Confirmed)
	trialEnd      = source.Sheehan2003.At("12 weeks as the end of healing trials", source.Confirmed)
	earlyRule     = own("before 4 weeks an ulcer is on track once it has lost half, off track when it grows")
	closedRule    = own("a closed ulcer has healed")
	sameMethod    = own("areas by different methods are never compared")
)

// OnTrack answers "does the ulcer heal as it should?" for an open ulcer that
// has changed by a percent area reduction, in tenths, over some days.
//
// Growth at any time, and no loss of area after 2 weeks, is off track. From 4
// weeks on, half of the area must be gone (Sheehan 2003: of 203 people, 58 %
// above the middle reduction of 53 % healed by 12 weeks and 9 % below; global
// vascular guidelines 2019: less than 50 % is not progressing; 50.0 % is on
// track). From 8 weeks on it is nine tenths (Warriner 2011); at 12 weeks an open
// ulcer is off track (the usual end of trials). Before 4 weeks the answer stays
// open until half is gone (our proposal).
func OnTrack(days, reductionTenths int) (known.Tri, source.Because) {
	percent := known.TenthsOf(reductionTenths)
	says := func(format string, src *source.Source) source.Because {
		return source.Because{reason(fmt.Sprintf(format, percent, days), "", src)}
	}
	switch {
	case reductionTenths < 0:
		return known.No, says("The area has changed by %v %% after %d days: it has grown. Look again now.", earlyRule)
	case days >= twelveWeeks:
		return known.No, says("%v %% of the area is gone after %d days, but the ulcer is still open at 12 weeks.", trialEnd)
	case days >= eightWeeks && reductionTenths < 900:
		return known.No, says("%v %% of the area is gone after %d days: less than 90 %% at 8 weeks.", warrinerRule)
	case days >= fourWeeks && reductionTenths < 500:
		return known.No, append(says("%v %% of the area is gone after %d days: less than 50 %% at 4 weeks.", sheehanRule),
			reason("Look again at blood flow, infection, off-loading and how the person copes.", "", vascularRule))
	case days >= twoWeeks && reductionTenths == 0:
		return known.No, says("%v %% of the area is gone after %d days: no smaller after 2 weeks.", fastTrackRule)
	case days >= fourWeeks:
		return known.Yes, says("%v %% of the area is gone after %d days: 50 %% or more.", sheehanRule)
	case reductionTenths >= 500:
		return known.Yes, says("%v %% of the area is gone after %d days: 50 %% before 4 weeks.", earlyRule)
	}
	return known.Unknown, says("%v %% of the area is gone after %d days: judged at 4 weeks.", earlyRule)
}

// healing turns a trend into what the result shows.
func healing(t Trend, open bool) *Healing {
	h := &Healing{
		Days: t.Days, ReductionPercent: known.TenthsOf(t.ReductionTenths),
		Method: t.Method, From: t.From, FromMM2: t.FromMM2, ToMM2: t.ToMM2,
		EdgeUMPerWeek: t.EdgeUMPerWeek, Projection: t.Projection,
	}
	if open {
		h.OnTrack, h.Because = OnTrack(t.Days, t.ReductionTenths)
	} else {
		h.OnTrack = known.Yes
		h.Because = source.Because{reason(fmt.Sprintf("The ulcer is closed, %d days after its first size.", t.Days), "", closedRule)}
	}
	h.Because = append(h.Because, reason("Both areas were found by the same method: "+t.Method.String()+".", "", sameMethod))
	return h
}

var edgeRule = source.Gilman1990.At("area lost over the mean length of the edge", source.Memory)

// EdgeBecause explains the travel of the edge.
func EdgeBecause() source.Because {
	return source.Because{reason("Travel of the edge: area lost over the mean length of the edge. No cut-off is published for diabetic foot ulcers.", "", edgeRule)}
}

// ClosedBecause explains why a closed ulcer is on track.
func ClosedBecause() source.Because {
	return source.Because{reason("The ulcer is closed: the whole area is gone.", "", closedRule)}
}
