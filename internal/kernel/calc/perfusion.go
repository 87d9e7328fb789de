package calc

import (
	"encoding/json"
	"fmt"

	"tengram/internal/kernel/foot"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/perfusion"
	"tengram/internal/kernel/source"
)

// perfusionCalculators lists the calculators of this room.
func perfusionCalculators() []Calculator {
	return []Calculator{abiCalculator(), tbiCalculator(), perfusionCalculator(), padCalculator()}
}

const (
	ankleSays = "systolic pressure, mmHg, 0 to 400, or no-signal, too-high (could not be compressed), not-possible"
	toeSays   = "systolic pressure, mmHg, 0 to 400, or no-signal, not-possible"
	armSays   = "systolic pressure, mmHg, 1 to 400, or not-possible"
)

func abiCalculator() Calculator {
	return Calculator{
		Name:  "abi",
		Title: "ankle-brachial index of each leg, with the bands of several bodies",
		Inputs: []Input{
			{Name: "right-dp", Says: "right dorsalis pedis: " + ankleSays}, {Name: "right-pt", Says: "right posterior tibial: " + ankleSays},
			{Name: "left-dp", Says: "left dorsalis pedis: " + ankleSays}, {Name: "left-pt", Says: "left posterior tibial: " + ankleSays},
			{Name: "right-arm", Says: "right arm: " + armSays}, {Name: "left-arm", Says: "left arm: " + armSays},
		},
		Example: "right-dp=96 right-pt=104 left-dp=60 left-pt=50 right-arm=128 left-arm=132",
		Run:     runABI,
	}
}

func runABI(a *Args) (Output, error) {
	arms := armsOf(a)
	out := Output{Sources: []*source.Source{perfusion.SourceOfABI}}
	for _, side := range foot.Sides {
		dp, pt := pressure(a, side.String()+"-dp", 0), pressure(a, side.String()+"-pt", 0)
		if !dp.Recorded() && !pt.Recorded() {
			continue
		}
		high, low := perfusion.ABI(dp, pt, arms, perfusion.HigherAnkle), perfusion.ABI(dp, pt, arms, perfusion.LowerAnkle)
		leg := indexFields("abi", high, perfusion.ABIScales())
		if low.Known {
			leg = append(leg, Field{"lowerAnkle", Fields{{"abi", decimal(low.Value, 2)}, {"band", low.Band}}})
		}
		out.Result = append(out.Result, Field{side.String(), leg})
		out.Steps = append(out.Steps, indexStep(side, "higher ankle artery over higher arm", high))
		if dp.Known() && pt.Known() && high.Known {
			out.Steps = append(out.Steps, fmt.Sprintf("%s: %d over %d, rounded half up to two decimals, is %s",
				side, max(dp.Value, pt.Value), max(arms.Right.Value, arms.Left.Value), decimal(high.Value, 2)))
		}
	}
	if len(out.Result) == 0 {
		return Output{}, fmt.Errorf("give a pressure of at least one ankle artery: right-dp, right-pt, left-dp or left-pt")
	}
	return withScales(out, perfusion.ABIScales()), nil
}

func tbiCalculator() Calculator {
	return Calculator{
		Name:  "tbi",
		Title: "toe-brachial index of each leg, with the bands of several bodies",
		Inputs: []Input{
			{Name: "right-toe", Says: "right toe: " + toeSays}, {Name: "left-toe", Says: "left toe: " + toeSays},
			{Name: "right-arm", Says: "right arm: " + armSays}, {Name: "left-arm", Says: "left arm: " + armSays},
		},
		Example: "right-toe=84 left-toe=96 right-arm=120 left-arm=118",
		Run:     runTBI,
	}
}

func runTBI(a *Args) (Output, error) {
	arms := armsOf(a)
	var out Output
	for _, side := range foot.Sides {
		toe := pressure(a, side.String()+"-toe", 0, "no-signal", "not-possible")
		if !toe.Recorded() {
			continue
		}
		index := perfusion.TBI(toe, arms)
		out.Result = append(out.Result, Field{side.String(), indexFields("tbi", index, perfusion.TBIScales())})
		out.Steps = append(out.Steps, indexStep(side, "toe over higher arm", index))
	}
	if len(out.Result) == 0 {
		return Output{}, fmt.Errorf("give a pressure of at least one toe: right-toe or left-toe")
	}
	return withScales(out, perfusion.TBIScales()), nil
}

func perfusionCalculator() Calculator {
	return Calculator{
		Name:  "perfusion",
		Title: "whether the pressures of one leg ask for urgent vascular care of a wound, by edition",
		Inputs: []Input{
			{Name: "ankle", Says: "higher ankle artery: " + ankleSays},
			{Name: "arm", Says: "higher arm: " + armSays},
			{Name: "toe", Says: "toe: " + toeSays},
			{Name: "tcpo2", Says: "transcutaneous oxygen pressure, mmHg, 0 to 150, or not-possible"},
		},
		Example: "ankle=60 arm=132 toe=29 tcpo2=27",
		Run:     runPerfusion,
	}
}

func runPerfusion(a *Args) (Output, error) {
	leg := perfusion.Leg{AnkleDP: pressure(a, "ankle", 0), ToePressure: pressure(a, "toe", 0, "no-signal", "not-possible"), TcPO2: oxygen(a)}
	leg.AnklePT = leg.AnkleDP // the higher of the two is all that is asked
	if !leg.AnkleDP.Recorded() && !leg.ToePressure.Recorded() && !leg.TcPO2.Recorded() {
		return Output{}, fmt.Errorf("give at least one of: ankle, toe, tcpo2")
	}
	arm := pressure(a, "arm", 1, "not-possible")
	one := foot.Loss{Level: foot.BelowKnee} // only one leg is asked about
	judged := perfusion.Judge(perfusion.Evidence{Legs: [2]perfusion.Leg{leg}, Loss: [2]foot.Loss{{}, one}, Arms: perfusion.Arms{Right: arm, Left: arm}})
	result := Fields{{"urgent", judged.Legs[0].Critical.String()}}
	if i := judged.Legs[0].ABI; i.Known {
		result = append(result, Field{"abi", decimal(i.Value, 2)})
	}
	if i := judged.Legs[0].TBI; i.Known {
		result = append(result, Field{"tbi", decimal(i.Value, 2)})
	}
	out := Output{Sources: []*source.Source{}}
	if leg.ToePressure.Known() {
		result = append(result, Field{"toe", bandsOf(perfusion.ToeScales(), leg.ToePressure.Value)})
		out = withScales(out, perfusion.ToeScales())
	}
	if leg.TcPO2.Known() {
		result = append(result, Field{"tcpo2", bandsOf(perfusion.TcPO2Scales(), leg.TcPO2.Value)})
		out = withScales(out, perfusion.TcPO2Scales())
	}
	why := judged.Because[:0:0]
	for _, r := range judged.Because {
		if r.Source != nil && r.Fact != "arms" {
			why = append(why, r)
		}
	}
	said := output(result, why)
	said.Steps = append([]string{"Urgent is the union of the editions: ankle below 50 mmHg, index below 0.50, toe below 30 mmHg, TcPO2 below 30 mmHg."}, said.Steps...)
	for _, s := range out.Sources {
		said = withSource(said, s)
	}
	return said, nil
}

// pressure reads a whole number of mmHg, or a word. Where no words are given
// all of an ankle are allowed.
func pressure(a *Args, name string, low int, words ...string) known.Reading {
	if len(words) == 0 {
		words = []string{"no-signal", "too-high", "not-possible"}
	}
	for _, w := range words {
		if a.Text(name) == w {
			var r known.Reading
			_ = json.Unmarshal([]byte(`"`+w+`"`), &r) // the words are those of Reading
			return r
		}
	}
	return a.Int(name, low, 400, "mmHg")
}

func oxygen(a *Args) known.Reading {
	if a.Text("tcpo2") == "not-possible" {
		return known.Reading{State: known.CannotMeasure}
	}
	return a.Int("tcpo2", 0, 150, "mmHg")
}

func armsOf(a *Args) perfusion.Arms {
	return perfusion.Arms{Right: pressure(a, "right-arm", 1, "not-possible"), Left: pressure(a, "left-arm", 1, "not-possible")}
}

// indexFields shows one index, its band and what other bodies call it.
func indexFields(name string, i perfusion.Index, scales []perfusion.Scale) Fields {
	if !i.Known {
		fs := Fields{{"why", i.Why}}
		if i.Band != "" {
			fs = append(fs, Field{"band", i.Band})
		}
		return fs
	}
	return Fields{
		{name, decimal(i.Value, 2)}, {"band", i.Band}, {"editions", bandsOf(scales, i.Value)},
		{"singleArm", i.SingleArm}, {"singleArtery", i.SingleArtery},
	}
}

func bandsOf(scales []perfusion.Scale, v int) Fields {
	var fs Fields
	for _, s := range scales {
		fs = append(fs, Field{s.ID, s.Band(v)})
	}
	return fs
}

func indexStep(side foot.Side, how string, i perfusion.Index) string {
	if !i.Known {
		return fmt.Sprintf("%s: no index, because %s", side, i.Why)
	}
	step := fmt.Sprintf("%s: %s is %s, %s by AHA/ACC", side, how, decimal(i.Value, 2), i.Band)
	if i.SingleArm {
		step += "; only one arm was measured"
	}
	if i.SingleArtery {
		step += "; only one ankle artery was measured"
	}
	return step
}

func withScales(out Output, scales []perfusion.Scale) Output {
	for _, s := range scales {
		out = withSource(out, s.Source)
	}
	return out
}

func withSource(out Output, s *source.Source) Output {
	for _, had := range out.Sources {
		if *had == *s {
			return out
		}
	}
	out.Sources = append(out.Sources, s)
	return out
}
