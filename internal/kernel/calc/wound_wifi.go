package calc

import (
	"fmt"

	"tengram/internal/kernel/foot"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/wound"
)

func wifiCalculator() Calculator {
	return Calculator{
		Name: "wifi", Title: "WIfI stage from wound, ischaemia and foot infection grade",
		Inputs: []Input{
			{Name: "wound", Says: "wound grade, 0 to 3 or unknown", Required: true},
			{Name: "ischemia", Says: "ischaemia grade, 0 to 3 or unknown", Required: true},
			{Name: "infection", Says: "foot infection grade, 0 to 3 or unknown", Required: true},
		},
		Example: "wound=1 ischemia=2 infection=2",
		Run:     runWIfI,
	}
}

func runWIfI(a *Args) (Output, error) {
	w, i, fi := gradeInput(a, "wound"), gradeInput(a, "ischemia"), gradeInput(a, "infection")
	if a.err() != nil {
		return Output{}, nil
	}
	low, high := wound.AmputationStage(w.Low, i.Low, fi.Low), wound.AmputationStage(w.High, i.High, fi.High)
	least, most := wound.Benefit(w, i, fi)
	result := Fields{{"amputation", toWords(low, high)}}
	if low == high {
		result = append(result, Field{"stage", low})
	} else {
		result = append(result, Field{"stageLow", low}, Field{"stageHigh", high})
	}
	result = append(result,
		Field{"revascularization", toWords(least, most)},
		Field{"revascularizationStanding", string(wound.RevascularizationSource().Standing)},
		Field{"amputationStanding", string(wound.AmputationSource().Standing)},
		Field{"missing", unanswered(a, "wound", "ischemia", "infection")})
	return output(result, wound.WIfI(w, i, fi).Because), nil
}

func toWords(low, high int) string {
	if low == high {
		return wound.Likelihood(low)
	}
	return wound.Likelihood(low) + " to " + wound.Likelihood(high)
}

func gradeInput(a *Args, name string) wound.Grades {
	v := a.Int(name, 0, 3, "a WIfI grade")
	if !v.Known() {
		return wound.Grades{Low: 0, High: 3}
	}
	return wound.Grades{Low: v.Value, High: v.Value}
}

func wifiIschemiaCalculator() Calculator {
	return Calculator{
		Name: "wifi-ischemia", Title: "WIfI ischaemia grade from pressures",
		Inputs: []Input{
			{Name: "toe", Says: "toe systolic pressure, mmHg, 0 to 300; decides before all others"},
			{Name: "tcpo2", Says: "transcutaneous oxygen pressure, mmHg, 0 to 200"},
			{Name: "abi", Says: "ankle-brachial index, 0 to 3, rounded to two decimals"},
			{Name: "ankle", Says: "higher ankle systolic pressure, mmHg, 0 to 400"},
		},
		Example: "abi=0.79 toe=38",
		Run:     runWIfIIschemia,
	}
}

func runWIfIIschemia(a *Args) (Output, error) {
	flow := wound.Flow{
		Toe: a.Int("toe", 0, 300, "mmHg"), TcPO2: a.Int("tcpo2", 0, 200, "mmHg"), Ankle: a.Int("ankle", 0, 400, "mmHg"),
	}
	edge := false
	if ratio, ok := a.Float("abi", 0, 3, "ABI"); ok {
		v, moved := wound.RoundABI(ratio)
		flow.ABI, edge = known.Value(v), moved
	}
	g := wound.GradeIschaemia("leg", flow)
	out := gradeOutput(g, lastPart(g.Missing))
	if edge && !flow.Toe.Known() && !flow.TcPO2.Known() {
		out.Result = append(out.Result, Field{"edge", true})
		out.Steps = append(out.Steps, fmt.Sprintf("The ABI of %s lies at an edge: rounded to two decimals it falls into the better grade.", a.Text("abi")))
	}
	return out, nil
}

func wifiWoundCalculator() Calculator {
	return Calculator{
		Name: "wifi-wound", Title: "WIfI wound grade as far as the published words allow",
		Inputs: []Input{
			depthInput, probeInput,
			{Name: "place", Says: "place on the foot, such as hallux, mth1, heel or dorsum, or unknown"},
			{Name: "gangrene", Says: "none, toe, forefoot, whole-foot or unknown"},
		},
		Example: "depth=subcutis place=mth1 gangrene=none",
		Run: func(a *Args) (Output, error) {
			u := ulcerOf(a)
			if w := a.Text("place"); w != "" && w != "unknown" {
				var p foot.Place
				if err := p.UnmarshalText([]byte(w)); err != nil {
					a.Bad("place", err.Error())
				}
				u.Place = p
			}
			g := wound.GradeWound("ulcer", u, gangreneOf(a))
			return gradeOutput(g, lastPart(g.Missing)), nil
		},
	}
}

func gradeOutput(g wound.Grades, missing []string) Output {
	result := Fields{{"low", g.Low}, {"high", g.High}}
	if g.Low == g.High {
		result = append(Fields{{"grade", g.Low}}, result...)
	}
	if g.Judgement != "" {
		result = append(result, Field{"judgement", g.Judgement})
	}
	return output(append(result, Field{"missing", missing}), g.Because)
}
