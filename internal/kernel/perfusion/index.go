package perfusion

import "tengram/internal/kernel/known"

// Method says which ankle artery stands for the leg. Methods are not to be
// mixed in one trend.
type Method uint8

// The methods. HigherAnkle is the rule of AHA/ACC 2016 (confirmed); LowerAnkle
// finds more people and is the alternative of getABI 2007 and Jeevanantham 2014
// (confirmed).
const (
	HigherAnkle Method = iota
	LowerAnkle
)

// SourceOfABI is where the rule of ABI is read.
var SourceOfABI = srcABIMethod

// ABI is the ankle-brachial index of one leg: one of its two ankle arteries by
// the method, over the higher of the two arms, in hundredths.
//
// The ratio is rounded to two decimals, halves up, in whole numbers, and only
// then compared with a band: 122/135 is 0.9037, so 0.90, so abnormal. A missing
// signal is not a pressure of 0 and gives no index. An artery that could not be
// compressed is higher than any pressure.
func ABI(dp, pt known.Reading, arms Arms, method Method) Index {
	ankle, single, why, band := ankleOf(dp, pt, method)
	if why != "" {
		return Index{Why: why, Band: band}
	}
	i := ratio(ankle, arms)
	i.SingleArtery = single && i.Known
	if i.Known {
		i.Band = ACC2024.Band(i.Value)
	}
	return i
}

// TBI is the toe-brachial index of one leg: toe pressure over the higher arm,
// in hundredths, rounded as ABI. Its band is that of AHA/ACC 2016.
func TBI(toe known.Reading, arms Arms) Index {
	switch toe.State {
	case known.Measured:
	case known.NotMeasured:
		return Index{Why: "the toe pressure was not measured"}
	case known.NoSignal:
		return Index{Why: "there was no signal at the toe"}
	default:
		return Index{Why: "the toe pressure could not be measured"}
	}
	i := ratio(toe.Value, arms)
	if i.Known {
		i.Band = TBI2016.Band(i.Value)
	}
	return i
}

// ankleOf picks the ankle pressure, or says why there is none.
func ankleOf(dp, pt known.Reading, method Method) (ankle int, single bool, why, band string) {
	stiff := dp.State == known.TooHigh || pt.State == known.TooHigh
	switch {
	case stiff && (method == HigherAnkle || !dp.Known() && !pt.Known()):
		return 0, false, "an ankle artery could not be compressed: measure the toe pressure", "noncompressible"
	case dp.Known() && pt.Known():
		if method == LowerAnkle {
			return min(dp.Value, pt.Value), false, "", ""
		}
		return max(dp.Value, pt.Value), false, "", ""
	case dp.Known():
		return dp.Value, pt.State != known.NoSignal && !stiff, "", ""
	case pt.Known():
		return pt.Value, dp.State != known.NoSignal && !stiff, "", ""
	case noAnkleSignal(dp, pt):
		return 0, false, "no ankle signal", ""
	}
	return 0, false, "no ankle pressure was measured", ""
}

// noAnkleSignal reports that the probe found nothing in any artery it was put
// to.
func noAnkleSignal(dp, pt known.Reading) bool {
	if dp.Known() || pt.Known() || dp.State == known.TooHigh || pt.State == known.TooHigh {
		return false
	}
	return dp.State == known.NoSignal || pt.State == known.NoSignal
}

func ratio(pressure int, arms Arms) Index {
	arm, single, ok := arms.higher()
	switch {
	case !ok:
		return Index{Why: "no arm pressure was measured"}
	case arm <= 0:
		return Index{Why: "an arm pressure of 0 cannot be true: measure it again"}
	case pressure < 0:
		return Index{Why: "a pressure below 0 cannot be true: measure it again"}
	}
	return Index{Known: true, Value: (200*pressure + arm) / (2 * arm), SingleArm: single}
}

// higher is the higher arm pressure; single where only one arm has one.
func (a Arms) higher() (arm int, single, ok bool) {
	switch {
	case a.Right.Known() && a.Left.Known():
		return max(a.Right.Value, a.Left.Value), false, true
	case a.Right.Known():
		return a.Right.Value, true, true
	case a.Left.Known():
		return a.Left.Value, true, true
	}
	return 0, false, false
}
