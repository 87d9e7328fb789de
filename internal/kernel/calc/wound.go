package calc

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"

	"tengram/internal/kernel/known"
	"tengram/internal/kernel/source"
	"tengram/internal/kernel/wound"
)

// woundCalculators lists the calculators of this room.
func woundCalculators() []Calculator {
	return []Calculator{
		woundAreaCalculator(), healingCalculator(),
		sirsCalculator(), infectionCalculator(),
		sinbadCalculator(), texasCalculator(), wagnerCalculator(), pedisCalculator(),
		wifiCalculator(), wifiIschemiaCalculator(), wifiWoundCalculator(),
		margolisCalculator(), probeCalculator(),
	}
}

// classOutput shows a class. missing names the inputs that were not given.
func classOutput(c wound.Class, missing []string) Output {
	result := Fields{{"low", c.Low}, {"high", c.High}, {"words", c.Words}}
	if c.Low == c.High {
		result = append(Fields{{"class", c.Low}}, result...)
		missing = nil
	}
	return output(append(result, Field{"missing", missing}), c.Because)
}

// output shows a result with the steps and sources of its reasons.
func output(result Fields, why source.Because) Output {
	out := Output{Result: withoutEmpty(result)}
	for _, r := range why {
		out.Steps = append(out.Steps, r.Says)
		if r.Source != nil && !slices.ContainsFunc(out.Sources, func(s *source.Source) bool { return *s == *r.Source }) {
			out.Sources = append(out.Sources, r.Source)
		}
	}
	return out
}

// withoutEmpty leaves out empty lists.
func withoutEmpty(fs Fields) Fields {
	return slices.DeleteFunc(fs, func(f Field) bool {
		list, ok := f.Value.([]string)
		return ok && len(list) == 0
	})
}

// unanswered names those of the inputs that were not given, or given as
// unknown.
func unanswered(a *Args, names ...string) []string {
	var missing []string
	for _, n := range names {
		if !a.Has(n) || a.Text(n) == "unknown" {
			missing = append(missing, n)
		}
	}
	return missing
}

// answer turns a truth value into what would have been recorded.
func answer(t known.Tri) known.Answer {
	switch t {
	case known.Yes:
		return known.AnswerYes
	case known.No:
		return known.AnswerNo
	}
	return known.NotAsked
}

// decimal writes a number kept as a whole count of its last digit.
func decimal(v, digits int) json.Number {
	sign := ""
	if v < 0 {
		sign, v = "-", -v
	}
	s := fmt.Sprintf("%0*d", digits+1, v)
	return json.Number(sign + s[:len(s)-digits] + "." + s[len(s)-digits:])
}

// depthInput asks for the depth.
var depthInput = Input{Name: "depth", Says: "deepest tissue reached: closed, skin, subcutis, tendon-or-muscle, bone-or-joint or unknown"}

// ulcerOf reads depth and probe-to-bone.
func ulcerOf(a *Args) wound.Ulcer {
	var u wound.Ulcer
	w := a.Word("depth", "closed", "skin", "subcutis", "tendon-or-muscle", "bone-or-joint", "unknown")
	if w != "unknown" {
		_ = u.Depth.UnmarshalText([]byte(w)) // Word has checked it
	}
	u.ProbeToBone = answer(a.Tri("probe-to-bone"))
	for _, p := range wound.Problems(u) {
		a.Bad("probe-to-bone", p.Says)
	}
	return u
}

var probeInput = Input{Name: "probe-to-bone", Says: "bone felt with a sterile probe: yes, no or unknown"}

// lastPart is the name of an input from its path in an exam.
func lastPart(paths []string) []string {
	var names []string
	for _, p := range paths {
		names = append(names, p[strings.LastIndexByte(p, '.')+1:])
	}
	return names
}
