package assess

import (
	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/foot"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/risk"
	"tengram/internal/kernel/source"
)

// factsOf reduces the exam and the record to the factors of the risk systems.
func factsOf(d *exam.Draft, bg *exam.Background, a *Assessment) risk.Facts {
	var f risk.Facts
	f.Is[risk.LOPS], f.Because[risk.LOPS] = a.LOPS.LOPS, a.LOPS.Because
	f.Is[risk.PAD], f.Because[risk.PAD] = a.PAD.PAD, a.PAD.Because
	shape := deformity(d)
	if shape == known.Unknown && bg.Deformity.Is == known.Yes {
		set(&f, risk.Deformity, known.Yes, "A deformity is on record.", "record", &bg.Deformity)
	} else {
		set(&f, risk.Deformity, shape, "A change of shape or stiffness of the foot was recorded.", "look.shape", nil)
	}
	set(&f, risk.UlcerHistory, ulcerHistory(d, bg), "A past or present ulcer was told or recorded.", "ask.ulcer-history", &bg.UlcerHistory)
	set(&f, risk.Amputation, amputation(d, bg), "An amputation was told, seen or recorded.", "ask.amputation-history", &bg.Amputation)
	kidney := known.Any(either(d.Ask.KidneyFailure, bg.KidneyFailure), dialysis(d, bg))
	set(&f, risk.ESRD, kidney, "Kidney failure or dialysis was told or recorded.", "ask.kidney-failure", &bg.KidneyFailure)
	set(&f, risk.KidneyReplacement, known.Any(dialysis(d, bg), either(d.Ask.Transplant, bg.Transplant)),
		"Dialysis or a kidney transplant was told or recorded.", "ask.dialysis", &bg.Dialysis)
	set(&f, risk.EGFRBelow30, lowEGFR(d, bg, kidney), "eGFR below 30.", "record", &bg.EGFRBelow30)
	set(&f, risk.Callus, callus(d), "Callus or corn was seen.", "look.lesions", nil)
	set(&f, risk.CharcotHistory, charcot(d, bg), "A past Charcot foot was told, seen or recorded.", "ask.charcot-history", &bg.CharcotHistory)
	set(&f, risk.SelfCareDifficulty, known.All(
		known.Any(either(d.Ask.LowVision, bg.LowVision), d.Ask.CannotReach.Tri()), d.Ask.Helper.Tri().Not()),
		"Cannot see or reach the own feet, and has no helper.", "ask.cannot-reach", nil)
	set(&f, risk.FilamentInsensate, insensate(d), "The monofilament was not felt at one or more sites.", "test.filament", nil)
	set(&f, risk.PulseAbsent, a.PAD.PulseAbsent, "A foot pulse is absent.", "feel.arteries", nil)
	return f
}

// set answers one factor. Only a yes needs a reason: the record's own, where
// the record says so, else what was told or seen today.
func set(f *risk.Facts, factor risk.Factor, is known.Tri, text, fact string, item *exam.Item) {
	f.Is[factor] = is
	switch {
	case is != known.Yes:
	case item != nil:
		f.Because[factor] = source.Because{fromRecord(text, fact, *item)}
	default:
		f.Because[factor] = source.Because{{Says: text, Fact: fact}}
	}
}

func fromRecord(text, fact string, item exam.Item) source.Reason {
	if item.Is == known.Yes && item.From != "" {
		return source.Reason{Says: "The record says so: " + item.From + ".", Fact: "record"}
	}
	return source.Reason{Says: text, Fact: fact}
}

// deformity is Yes for a changed shape or limited movement: the IWGDF reading
// of deformity covers limited foot or ankle movement (second hand).
func deformity(d *exam.Draft) known.Tri {
	out := known.No
	feet := 0
	for _, s := range foot.Sides {
		f := d.Foot(s)
		if f.Loss.FootGone() {
			continue
		}
		feet++
		if len(f.Look.Deformities) > 0 || f.Look.Mobility == known.Abnormal {
			return known.Yes
		}
		switch f.Look.Shape.Abnormal() {
		case known.Yes:
			return known.Yes
		case known.Unknown:
			out = known.Unknown
		}
	}
	if feet == 0 {
		return known.Unknown
	}
	return out
}

// ulcerHistory counts an ulcer of today too: once healed it is a past ulcer,
// and until then the foot is no lower than that.
func ulcerHistory(d *exam.Draft, bg *exam.Background) known.Tri {
	if len(d.Ulcers) > 0 || len(bg.Ulcers) > 0 {
		return known.Yes
	}
	return either(d.Ask.UlcerHistory, bg.UlcerHistory)
}

func amputation(d *exam.Draft, bg *exam.Background) known.Tri {
	seen := known.Any(d.Right.Loss.Any(), d.Left.Loss.Any())
	if seen == known.Yes || bg.Amputation.Is == known.Yes || d.Ask.AmputationHistory == known.AnswerYes {
		return known.Yes
	}
	if seen == known.No || d.Ask.AmputationHistory == known.AnswerNo {
		return known.No
	}
	return known.Unknown
}

func dialysis(d *exam.Draft, bg *exam.Background) known.Tri {
	is := either(d.Ask.Dialysis, bg.Dialysis)
	if is == known.Unknown && d.Ask.KidneyFailure == known.AnswerNo {
		return known.No // no dialysis without kidney failure; Check refuses the contrary
	}
	return is
}

func lowEGFR(d *exam.Draft, bg *exam.Background, kidneyFailure known.Tri) known.Tri {
	switch {
	case bg.EGFRBelow30.Is == known.Yes || kidneyFailure == known.Yes:
		return known.Yes
	case d.Ask.KidneyDisease == known.AnswerNo:
		return known.No
	}
	return known.Unknown
}

// callus is No where the skin is normal, or is abnormal with other findings
// listed; abnormal skin without a list, and findings without an answer about the
// skin as a whole, leave it open.
func callus(d *exam.Draft) known.Tri {
	out := known.No
	for _, s := range foot.Sides {
		f := d.Foot(s)
		if f.Loss.FootGone() {
			continue
		}
		for _, l := range f.Look.Lesions {
			if l.Kind == exam.Callus || l.Kind == exam.Corn || l.Kind == exam.BleedingUnderCallus {
				return known.Yes
			}
		}
		if listed := f.Look.Skin == known.Abnormal && len(f.Look.Lesions) > 0; f.Look.Skin != known.Normal && !listed {
			out = known.Unknown
		}
	}
	return out
}

func charcot(d *exam.Draft, bg *exam.Background) known.Tri {
	for _, s := range foot.Sides {
		for _, k := range d.Foot(s).Look.Deformities {
			if k == exam.RockerBottom {
				return known.Yes
			}
		}
	}
	return either(d.Ask.CharcotHistory, bg.CharcotHistory)
}

// insensate is Yes for one site not felt, No only where every site of the
// protocol that is there was felt on every foot that is there.
func insensate(d *exam.Draft) known.Tri {
	out, tested := known.No, false
	for _, s := range foot.Sides {
		f := d.Foot(s)
		for _, v := range f.Test.Filament {
			if v == known.Abnormal {
				return known.Yes
			}
			tested = tested || v == known.Normal
		}
		if f.Loss.FootGone() {
			continue
		}
		for _, site := range d.Protocol.Sites() {
			if f.Loss.Has(site.Place()) && f.Test.Filament[site] != known.Normal {
				out = known.Unknown
			}
		}
	}
	if !tested {
		return known.Unknown
	}
	return out
}
