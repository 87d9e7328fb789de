package exam

import (
	"tengram/internal/kernel/foot"
	"tengram/internal/kernel/known"
)

// Purpose is what a missing answer is missing for.
type Purpose string

// The purposes.
const (
	// ForRisk: without it the risk category is an interval.
	ForRisk Purpose = "risk"
	// ForMeasure: without it the exam does not count for the quality measure.
	ForMeasure Purpose = "measure"
	// ForComprehensive: part of a comprehensive exam.
	ForComprehensive Purpose = "comprehensive"
)

// Missing is one thing that was not recorded.
type Missing struct {
	Purpose Purpose `json:"purpose"`
	// Field is the path in the document, such as "left.feel.arteries".
	Field string `json:"field"`
	// Says names it in words, such as "pulses of the left foot".
	Says string `json:"says"`
}

// MissingForMeasure lists which of the three parts are not done on which foot.
func (d *Draft) MissingForMeasure() []Missing {
	if d.Done().All() {
		return nil
	}
	var ms []Missing
	for _, side := range foot.Sides {
		f := d.Foot(side)
		if f.Loss.FootGone() {
			continue
		}
		s := side.String()
		if !(f.Look.Skin.Tested() && f.Look.Wound.Tested()) {
			ms = append(ms, Missing{ForMeasure, s + ".look", "look at the skin and for wounds of the " + s + " foot"})
		}
		if !d.filamentDone(f) {
			ms = append(ms, Missing{ForMeasure, s + ".test.filament", "monofilament of the " + s + " foot"})
		}
		if !pulsesDone(f.Feel.Arteries) {
			ms = append(ms, Missing{ForMeasure, s + ".feel.arteries", "both foot pulses of the " + s + " foot"})
		}
	}
	return ms
}

// MissingForComprehensive lists what a comprehensive exam has and this one
// lacks. The list of parts is that of the ADA's 2008 report and its yearly
// standards (second hand).
func (d *Draft) MissingForComprehensive() []Missing {
	var ms []Missing
	add := func(lacks bool, field, says string) {
		if lacks {
			ms = append(ms, Missing{ForComprehensive, field, says})
		}
	}
	a := &d.Ask
	add(!a.UlcerHistory.Recorded(), "ask.ulcer-history", "past foot ulcer")
	add(!a.AmputationHistory.Recorded(), "ask.amputation-history", "past amputation")
	add(!a.CharcotHistory.Recorded(), "ask.charcot-history", "past Charcot foot")
	add(!a.Revascularised.Recorded(), "ask.revascularised", "past leg artery surgery or stent")
	add(a.Smoking.IsZero(), "ask.smoking", "smoking")
	add(!a.Retinopathy.Recorded(), "ask.retinopathy", "eye disease")
	add(!a.KidneyFailure.Recorded(), "ask.kidney-failure", "kidney failure")
	add(!a.Numbness.Recorded() || !a.Pain.Recorded(), "ask.numbness", "symptoms of nerve damage")
	add(!a.Claudication.Recorded() || !a.RestPain.Recorded(), "ask.claudication", "symptoms of poor circulation")
	for _, side := range foot.Sides {
		f := d.Foot(side)
		if f.Loss.FootGone() {
			continue
		}
		s := side.String()
		// The words are joined only where something lacks: every exam that is
		// judged comes by here.
		of := func(lacks bool, field, what, detail string) {
			if lacks {
				ms = append(ms, Missing{ForComprehensive, s + "." + field, what + " of the " + s + " foot" + detail})
			}
		}
		of(!f.Look.Skin.Recorded(), "look.skin", "skin", "")
		of(!f.Look.Nails.Recorded(), "look.nails", "nails", "")
		of(!f.Look.Shape.Recorded(), "look.shape", "shape", "")
		of(!d.filamentDone(f), "test.filament", "monofilament", "")
		of(!secondNerveTest(f), "test", "a second nerve test", ": tuning fork, pinprick, warm and cold, reflex or vibration threshold")
		of(!pulsesDone(f.Feel.Arteries), "feel.arteries", "both foot pulses", "")
	}
	add(!d.Footwear.Suitable.Recorded(), "footwear.suitable", "footwear")
	add(!d.Teach.Given.Recorded(), "teach.given", "teaching")
	return ms
}

func secondNerveTest(f *Foot) bool {
	t := f.Test
	return t.Vibration.Tested() || t.Pinprick.Tested() || t.WarmCold.Tested() ||
		t.Reflex.Abnormal() != known.Unknown || t.VPT.Known()
}
