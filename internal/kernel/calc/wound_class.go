package calc

import (
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/wound"
)

func sinbadCalculator() Calculator {
	return Calculator{
		Name: "sinbad", Title: "SINBAD: site, ischaemia, neuropathy, infection, area, depth",
		Inputs: []Input{
			{Name: "site", Says: "forefoot, midfoot, hindfoot or unknown"},
			{Name: "ischemia", Says: "clinical evidence of reduced flow, no if one foot pulse is felt: yes, no or unknown"},
			{Name: "neuropathy", Says: "loss of protective sensation: yes, no or unknown"},
			{Name: "infection", Says: "bacterial infection: yes, no or unknown"},
			{Name: "area-mm2", Says: "area, whole mm2, 0 to 250000; 100 mm2 is 1 cm2"},
			depthInput,
		},
		Example: "site=hindfoot ischemia=yes neuropathy=yes infection=yes area-mm2=230 depth=tendon-or-muscle",
		Run:     runSINBAD,
	}
}

func runSINBAD(a *Args) (Output, error) {
	items := wound.SINBADItems{Ischaemia: a.Tri("ischemia"), Neuropathy: a.Tri("neuropathy"), Infection: a.Tri("infection")}
	switch a.Word("site", "forefoot", "midfoot", "hindfoot", "unknown") {
	case "forefoot":
		items.Site = known.No
	case "midfoot", "hindfoot":
		items.Site = known.Yes
	}
	if area := a.Int("area-mm2", 0, 250000, "mm2"); area.Known() {
		items.Area = known.Of(area.Value >= wound.SINBADAreaMM2)
	}
	if u := ulcerOf(a); !u.Depth.IsZero() {
		items.Depth = known.Of(u.Depth >= wound.TendonOrMuscle)
		if u.Depth == wound.Closed {
			a.Bad("depth", "SINBAD is for an open ulcer")
		}
	}
	low, high := items.Score()
	out := output(Fields{
		{"low", low}, {"high", high}, {"words", items.Words()},
		{"items", Fields{
			{"site", items.Site.String()}, {"ischemia", items.Ischaemia.String()}, {"neuropathy", items.Neuropathy.String()},
			{"infection", items.Infection.String()}, {"area", items.Area.String()}, {"depth", items.Depth.String()},
		}},
		{"missing", unanswered(a, "site", "ischemia", "neuropathy", "infection", "area-mm2", "depth")},
	}, items.Class().Because)
	if low == high {
		out.Result = append(Fields{{"score", low}}, out.Result...)
	}
	return out, nil
}

func texasCalculator() Calculator {
	return Calculator{
		Name: "texas", Title: "University of Texas grade and stage",
		Inputs: []Input{
			depthInput, probeInput,
			{Name: "infection", Says: "infected: yes, no or unknown"},
			{Name: "ischemia", Says: "ischaemic, such as an ABI below 0.80 or no foot pulse: yes, no or unknown"},
		},
		Example: "depth=bone-or-joint infection=yes ischemia=yes",
		Run: func(a *Args) (Output, error) {
			least, most := ulcerOf(a).Depths()
			c := wound.Texas(least, most, a.Tri("infection"), a.Tri("ischemia"))
			return classOutput(c, unanswered(a, "depth", "infection", "ischemia")), nil
		},
	}
}

func wagnerCalculator() Calculator {
	return Calculator{
		Name: "wagner", Title: "Meggitt-Wagner grade",
		Inputs: []Input{
			depthInput, probeInput,
			{Name: "deep-infection", Says: "abscess, osteomyelitis or joint sepsis: yes, no or unknown"},
			{Name: "gangrene", Says: "none, toe, forefoot, whole-foot or unknown"},
		},
		Example: "depth=bone-or-joint deep-infection=yes gangrene=none",
		Run: func(a *Args) (Output, error) {
			least, most := ulcerOf(a).Depths()
			c := wound.Wagner(least, most, a.Tri("deep-infection"), gangreneOf(a))
			return classOutput(c, unanswered(a, "depth", "deep-infection", "gangrene")), nil
		},
	}
}

func gangreneOf(a *Args) (g wound.Gangrene) {
	if w := a.Word("gangrene", "none", "toe", "forefoot", "whole-foot", "unknown"); w != "unknown" {
		_ = g.UnmarshalText([]byte(w)) // Word has checked it
	}
	return g
}

func pedisCalculator() Calculator {
	return Calculator{
		Name: "pedis", Title: "PEDIS: perfusion, extent, depth, infection, sensation",
		Inputs: []Input{
			{Name: "perfusion", Says: "1 no PAD, 2 PAD without critical ischaemia, 3 critical ischaemia, or unknown"},
			{Name: "area-mm2", Says: "area, whole mm2, 0 to 250000"},
			depthInput, probeInput,
			{Name: "infection", Says: "1 none, 2 mild, 3 moderate, 4 with a systemic response, or unknown"},
			{Name: "neuropathy", Says: "loss of protective sensation: yes, no or unknown"},
		},
		Example: "perfusion=2 area-mm2=230 depth=bone-or-joint infection=2 neuropathy=yes",
		Run:     runPEDIS,
	}
}

func runPEDIS(a *Args) (Output, error) {
	u := ulcerOf(a)
	if u.Depth == wound.Closed {
		a.Bad("depth", "PEDIS is for an open ulcer")
	}
	least, most := u.Depths()
	p := wound.PEDIS{
		Perfusion: [2]int{1, 3}, AreaMM2: a.Int("area-mm2", 0, 250000, "mm2"),
		Depth:     [2]int{wound.PEDISDepth(least), wound.PEDISDepth(most)},
		Infection: [2]int{1, 4}, Sensation: wound.PEDISSensation(a.Tri("neuropathy")),
	}
	if v := a.Int("perfusion", 1, 3, "the perfusion axis"); v.Known() {
		p.Perfusion = [2]int{v.Value, v.Value}
	}
	if v := a.Int("infection", 1, 4, "the infection axis"); v.Known() {
		p.Infection = [2]int{v.Value, v.Value}
	}
	return classOutput(p.Class(), unanswered(a, "perfusion", "area-mm2", "depth", "infection", "neuropathy")), nil
}
