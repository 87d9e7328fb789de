package risk

import (
	"math"

	"tengram/internal/kernel/known"
	"tengram/internal/kernel/source"
)

// MartinsMendesInput is what the three models read.
type MartinsMendesInput struct {
	PhysicalImpairment known.Tri
	// PADHistory: a history of complications of peripheral artery disease.
	PADHistory   known.Tri
	UlcerHistory known.Tri
	// Complications counts, of seven: retinopathy, nephropathy, neuropathy,
	// cerebrovascular, cardiovascular, peripheral arterial and metabolic
	// (ketoacidosis, hyperosmolar or other coma). 0 to 7.
	Complications int
}

// Chance is a probability between 0 and 1, a range where answers are unknown.
type Chance struct{ Low, High float64 }

// MartinsMendes are the three-year probabilities of the three models.
type MartinsMendes struct {
	// Original and SimpleUlcer are of a foot ulcer, SimpleAmputation of a
	// lower-limb amputation.
	Original, SimpleUlcer, SimpleAmputation Chance
	Because                                 source.Because
}

// MartinsMendes2014 computes the three logistic models (coefficients: Kaka 2023
// table 6, second hand). The models come from hospital podiatry and say too
// much for primary care; the published cut-offs are unclear, so no category is
// given.
func MartinsMendes2014(in MartinsMendesInput) MartinsMendes {
	n := float64(in.Complications)
	low, high := answers(in, 0), answers(in, 1)
	both := func(z func(impaired, pad, ulcer float64) float64) Chance {
		return Chance{logistic(z(low[0], low[1], low[2])), logistic(z(high[0], high[1], high[2]))}
	}
	return MartinsMendes{
		Original: both(func(impaired, pad, ulcer float64) float64 {
			return -3.29 + 0.55*impaired + 0.93*pad + 0.27*n + 1.51*ulcer
		}),
		SimpleUlcer:      both(func(_, _, ulcer float64) float64 { return -2.86 + 0.46*n + 1.84*ulcer }),
		SimpleAmputation: both(func(_, _, ulcer float64) float64 { return -5.35 + 0.61*n + 1.91*ulcer }),
		Because: source.Because{
			{
				Says:   "Original -3.29 + 0.55 impairment + 0.93 artery disease + 0.27 count + 1.51 past ulcer; simplified ulcer -2.86 + 0.46 count + 1.84 past ulcer; simplified amputation -5.35 + 0.61 count + 1.91 past ulcer; within 3 years.",
				Source: source.Kaka2023.At("table 6", source.Secondary),
			},
			{
				Says:   "The models were made in hospital podiatry; expect too high a risk in primary care.",
				Source: source.MartinsMendes2014.At("population", source.Secondary),
			},
		},
	}
}

// answers are the three yes-no inputs as 0 or 1, an unknown one as given. Every
// coefficient is positive, so 0 and 1 give the bounds.
func answers(in MartinsMendesInput, unknown float64) (v [3]float64) {
	for i, t := range [3]known.Tri{in.PhysicalImpairment, in.PADHistory, in.UlcerHistory} {
		switch t {
		case known.Yes:
			v[i] = 1
		case known.Unknown:
			v[i] = unknown
		}
	}
	return v
}

func logistic(z float64) float64 { return 1 / (1 + math.Exp(-z)) }
