package calc

import (
	"encoding/json"
	"strconv"

	"tengram/internal/kernel/risk"
	"tengram/internal/kernel/source"
)

func boykoCalculator() Calculator {
	return Calculator{
		Name: "boyko", Title: "Boyko 2006 score and its quartile, no absolute risk",
		Inputs: []Input{
			{Name: "a1c-percent", Says: "HbA1c, per cent (NGSP), 3.0 to 20.0", Required: true},
			{Name: "filament-insensate", Says: "monofilament not felt: yes, no or unknown"},
			{Name: "low-vision", Says: "vision worse than 20/40: yes, no or unknown"},
			{Name: "tinea-pedis", Says: "tinea pedis: yes, no or unknown"},
			{Name: "onychomycosis", Says: "fungal nails: yes, no or unknown"},
			{Name: "ulcer-history", Says: "a past foot ulcer: yes, no or unknown"},
			{Name: "amputation", Says: "a past lower-limb amputation: yes, no or unknown"},
		},
		Example: "a1c-percent=9.0 filament-insensate=yes low-vision=no tinea-pedis=no onychomycosis=no ulcer-history=yes amputation=no",
		Run: func(a *Args) (Output, error) {
			s, ok := risk.Boyko2006(risk.BoykoInput{
				A1c: a.Tenths("a1c-percent", 30, 200, "per cent"), FilamentInsensate: a.Tri("filament-insensate"),
				LowVision: a.Tri("low-vision"), TineaPedis: a.Tri("tinea-pedis"), Onychomycosis: a.Tri("onychomycosis"),
				UlcerHistory: a.Tri("ulcer-history"), AmputationPast: a.Tri("amputation"),
			})
			if !ok {
				a.Bad("a1c-percent", "the score needs a number")
				return Output{}, nil
			}
			missing := append([]string{}, s.Missing...)
			out := output(nil, s.Because)
			out.Result = Fields{
				{"low", decimal(s.Low, 5)}, {"high", decimal(s.High, 5)},
				{"lowQuartile", s.LowQuartile}, {"highQuartile", s.HighQuartile},
				{"outsideCohort", s.Outside}, {"missing", missing},
			}
			return out, nil
		},
	}
}

func martinsMendesCalculator() Calculator {
	return Calculator{
		Name: "martins-mendes", Title: "Martins-Mendes 2014 three-year risks, three models",
		Inputs: []Input{
			{Name: "complications", Says: "how many of seven: retinopathy, nephropathy, neuropathy, cerebrovascular, cardiovascular, peripheral arterial, metabolic; 0 to 7", Required: true},
			{Name: "physical-impairment", Says: "physical impairment: yes, no or unknown"},
			{Name: "pad-history", Says: "past complications of peripheral artery disease: yes, no or unknown"},
			{Name: "ulcer-history", Says: "a past foot ulcer: yes, no or unknown"},
		},
		Example: "complications=3 physical-impairment=no pad-history=no ulcer-history=yes",
		Run: func(a *Args) (Output, error) {
			n := a.Int("complications", 0, 7, "complications")
			if !n.Known() {
				a.Bad("complications", "the models need a number from 0 to 7")
				return Output{}, nil
			}
			m := risk.MartinsMendes2014(risk.MartinsMendesInput{
				PhysicalImpairment: a.Tri("physical-impairment"), PADHistory: a.Tri("pad-history"),
				UlcerHistory: a.Tri("ulcer-history"), Complications: n.Value,
			})
			show := func(c risk.Chance) Fields {
				return Fields{{"lowPercent", percent(c.Low, 2)}, {"highPercent", percent(c.High, 2)}}
			}
			out := output(nil, m.Because)
			out.Result = Fields{
				{"years", 3}, {"ulcerOriginal", show(m.Original)},
				{"ulcerSimplified", show(m.SimpleUlcer)}, {"amputationSimplified", show(m.SimpleAmputation)},
			}
			return out, nil
		},
	}
}

func diaforaCalculator() Calculator {
	return Calculator{
		Name: "diafora", Title: "DIAFORA band of a total of points, for a person who has an ulcer",
		Inputs:  []Input{{Name: "points", Says: "total of points, 0 to 100", Required: true}},
		Example: "points=15",
		Run: func(a *Args) (Output, error) {
			points := a.Int("points", 0, 100, "points")
			if !points.Known() {
				a.Bad("points", "the band needs a number")
				return Output{}, nil
			}
			band, src := risk.DiaforaBand(points.Value)
			return output(Fields{{"band", band}}, source.Because{
				{Says: "Below 15 low, 15 to 25 medium, above 25 high. The points of each variable were not confirmed; the total is taken as given.", Source: src},
			}), nil
		},
	}
}

// fixed writes a number with a fixed count of decimals.
func fixed(v float64, decimals int) json.Number {
	return json.Number(strconv.FormatFloat(v, 'f', decimals, 64))
}

// percent writes a share of 1 in per cent.
func percent(share float64, decimals int) json.Number { return fixed(100*share, decimals) }
