package wound

import "tengram/internal/kernel/source"

// ProbeAccuracy is how well the probe-to-bone test shows osteomyelitis in one
// study, as shares of 1.
type ProbeAccuracy struct {
	Sensitivity, Specificity float64
	Source                   *source.Source
}

var (
	laveryAccuracy = source.Lavery2007Probe.At("abstract", source.Confirmed)
	lamAccuracy    = source.Lam2016Probe.At("abstract, pooled over 7 studies", source.Confirmed)
	bayes          = source.OurArithmetic.At("predictive values by Bayes' rule", source.Derived)
)

// ProbePooled is the pooled accuracy (Lam 2016, abstract: sensitivity 0.87,
// specificity 0.83), and ProbeLavery that of one clinic where 12 % had
// osteomyelitis (Lavery 2007, abstract: 0.87 and 0.91).
func ProbePooled() ProbeAccuracy { return ProbeAccuracy{0.87, 0.83, lamAccuracy} }

// ProbeLavery is described at ProbePooled.
func ProbeLavery() ProbeAccuracy { return ProbeAccuracy{0.87, 0.91, laveryAccuracy} }

// ProbeRule is the source of PredictiveValues.
func ProbeRule() *source.Source { return bayes }

// PredictiveValues gives the chance of osteomyelitis where bone is felt (ppv),
// and of none where it is not (npv), for a prevalence before the test. All are
// shares of 1. ok is false for a share outside 0 to 1, or where no test could
// come out positive or negative.
func PredictiveValues(a ProbeAccuracy, prevalence float64) (ppv, npv float64, ok bool) {
	for _, share := range []float64{a.Sensitivity, a.Specificity, prevalence} {
		if !(share >= 0 && share <= 1) {
			return 0, 0, false
		}
	}
	truePositive, falsePositive := a.Sensitivity*prevalence, (1-a.Specificity)*(1-prevalence)
	trueNegative, falseNegative := a.Specificity*(1-prevalence), (1-a.Sensitivity)*prevalence
	if truePositive+falsePositive == 0 || trueNegative+falseNegative == 0 {
		return 0, 0, false
	}
	return truePositive / (truePositive + falsePositive), trueNegative / (trueNegative + falseNegative), true
}
