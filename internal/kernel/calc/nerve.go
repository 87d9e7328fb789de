package calc

import (
	"fmt"
	"strings"

	"tengram/internal/kernel/foot"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/neuro"
	"tengram/internal/kernel/source"
)

// nerveCalculators lists the calculators of this room.
func nerveCalculators() []Calculator {
	return []Calculator{
		lopsCalculator(), ipswichCalculator(), siteCalculator(), vptCalculator(), filamentCalculator(),
		ndsCalculator(), nssCalculator(), mnsiCalculator(), torontoCalculator(), perkinsCalculator(),
	}
}

const (
	feltSays   = "felt, not-felt, absent (lost to amputation), not-possible, refused or unknown"
	normalSays = "normal, abnormal, absent (lost to amputation), not-possible, refused or unknown"
	reflexSays = "present, with-reinforcement, absent, not-possible, refused or unknown"
	voltsSays  = "vibration perception threshold, volts, 0.0 to 50.0, or too-high"
)

func lopsCalculator() Calculator {
	c := Calculator{
		Name:  "lops",
		Title: "loss of protective sensation, by each published definition",
		Inputs: []Input{
			{Name: "definition", Says: "the definition to explain: " + strings.Join(definitionIDs(), ", ") + "; not given is the first"},
			{Name: "protocol", Says: "plan of sites: three-sites, four-sites, five-sites or ten-sites; not given is ten-sites"},
		},
		Example: "protocol=five-sites right=felt left=felt left-mth1=not-felt left-heel=not-felt right-vibration=normal left-vibration=normal",
		Run:     runLOPS,
	}
	for _, side := range foot.Sides {
		name := side.String()
		c.Inputs = append(c.Inputs,
			Input{Name: name, Says: "monofilament at every site of the protocol, unless a site is given: " + feltSays},
			Input{Name: name + "-loss", Says: "amputation of that leg: whole, transmetatarsal, midfoot, hindfoot, ankle, below-knee, through-knee, above-knee or hip"})
		for _, s := range neuro.TenSites.Sites() {
			c.Inputs = append(c.Inputs, Input{Name: name + "-" + s.String(), Says: "monofilament at the site: " + feltSays})
		}
		c.Inputs = append(c.Inputs,
			Input{Name: name + "-vibration", Says: "128 Hz tuning fork: " + normalSays}, Input{Name: name + "-pinprick", Says: normalSays},
			Input{Name: name + "-warm-cold", Says: normalSays}, Input{Name: name + "-reflex", Says: "ankle reflex: " + reflexSays},
			Input{Name: name + "-volts", Says: voltsSays})
	}
	return c
}

func definitionIDs() (ids []string) {
	for _, d := range neuro.Definitions() {
		ids = append(ids, d.ID)
	}
	return ids
}

func runLOPS(a *Args) (Output, error) {
	definitions := neuro.Definitions()
	chosen := definitions[0]
	if id := a.Word("definition", definitionIDs()...); id != "" {
		chosen, _ = neuro.ByID(id)
	}
	tests := neuro.Tests{Protocol: neuro.TenSites}
	if w := a.Word("protocol", "three-sites", "four-sites", "five-sites", "ten-sites"); w != "" {
		_ = tests.Protocol.UnmarshalText([]byte(w)) // Word has checked it
	}
	for _, side := range foot.Sides {
		name := side.String()
		tests.Loss[side] = lossOf(a, name+"-loss")
		f := &tests.Feet[side]
		for _, s := range tests.Protocol.Sites() {
			f.Filament[s] = felt(a, name)
		}
		for _, s := range neuro.TenSites.Sites() {
			if a.Has(name + "-" + s.String()) {
				f.Filament[s] = felt(a, name+"-"+s.String())
			}
		}
		f.Vibration, f.Pinprick, f.WarmCold = finding(a, name+"-vibration"), finding(a, name+"-pinprick"), finding(a, name+"-warm-cold")
		f.Reflex, f.VPT = reflex(a, name+"-reflex"), volts(a, name+"-volts")
	}
	r := chosen.Judge(tests)
	var others Fields
	for _, d := range definitions {
		others = append(others, Field{d.ID, d.Judge(tests).LOPS.String()})
	}
	return lopsOutput(r, others), nil
}

func lopsOutput(r neuro.Result, others Fields) Output {
	result := Fields{{"lops", r.LOPS.String()}, {"definition", r.Definition}}
	for _, f := range r.Feet {
		result = append(result, Field{f.Side.String(), Fields{
			{"lops", f.LOPS.String()}, {"notFelt", f.Insensate}, {"tested", f.Tested}, {"absent", f.Absent},
			{"incomplete", f.Incomplete}, {"gone", f.Gone},
		}})
	}
	if others != nil {
		result = append(result, Field{"byDefinition", others})
	}
	result = append(result, Field{"settledBy", afterTest(r.SettledBy)})
	return output(result, r.Because)
}

// afterTest turns paths of an exam into inputs of a calculator.
func afterTest(paths []string) (names []string) {
	words := strings.NewReplacer(".test.filament.", "-", ".test.touch.toe", "-toe", ".test.ankle-reflex", "-reflex", ".test.vpt-volts", "-volts", ".test.", "-")
	for _, p := range paths {
		names = append(names, words.Replace(p))
	}
	return names
}

func ipswichCalculator() Calculator {
	c := Calculator{
		Name:    "ipswich",
		Title:   "Ipswich touch test: light touch at six toe tips",
		Example: "right-toe1=felt right-toe3=felt right-toe5=not-felt left-toe1=felt left-toe3=felt left-toe5=not-felt",
		Run:     runIpswich,
	}
	for _, side := range foot.Sides {
		for _, toe := range []string{"toe1", "toe3", "toe5"} {
			c.Inputs = append(c.Inputs, Input{Name: side.String() + "-" + toe, Says: "light touch at the tip: " + feltSays})
		}
		c.Inputs = append(c.Inputs, Input{Name: side.String() + "-gone", Says: "foot lost to amputation: yes, no or unknown"})
	}
	return c
}

func runIpswich(a *Args) (Output, error) {
	var tests neuro.Tests
	for _, side := range foot.Sides {
		name := side.String()
		tests.Feet[side].Touch = neuro.Touch{Toe1: felt(a, name+"-toe1"), Toe3: felt(a, name+"-toe3"), Toe5: felt(a, name+"-toe5")}
		if a.Tri(name+"-gone") == known.Yes {
			tests.Loss[side].Level = foot.BelowKnee
		}
	}
	d, _ := neuro.ByID("lops-ipswich-2011")
	return lopsOutput(d.Judge(tests), nil), nil
}

func siteCalculator() Calculator {
	const says = "answer: right, wrong or unable"
	return Calculator{
		Name:  "monofilament-site",
		Title: "one monofilament site from up to three answers",
		Inputs: []Input{
			{Name: "first", Says: says, Required: true}, {Name: "second", Says: says}, {Name: "third", Says: says},
			{Name: "rule", Says: "two-of-three (IWGDF) or first-or-two-of-three (survey NHANES); not given is two-of-three"},
		},
		Example: "first=right second=wrong third=right",
		Run:     runSite,
	}
}

func runSite(a *Args) (Output, error) {
	rule, reason := neuro.TwoOfThree, neuro.ReasonTwoOfThree
	if a.Word("rule", "two-of-three", "first-or-two-of-three") == "first-or-two-of-three" {
		rule, reason = neuro.FirstOrTwoOfThree, neuro.ReasonFirstOrTwo
	}
	var trials [3]neuro.Trial
	for i, name := range []string{"first", "second", "third"} {
		trials[i] = map[string]neuro.Trial{"right": neuro.TrialRight, "wrong": neuro.TrialWrong, "unable": neuro.TrialUnable}[a.Word(name, "right", "wrong", "unable")]
	}
	site := map[known.Finding]string{known.Normal: "felt", known.Abnormal: "not-felt", known.NotDone: "undecided"}[neuro.SiteFromTrials(rule, trials)]
	return output(Fields{{"site", site}}, source.Because{reason}), nil
}

func vptCalculator() Calculator {
	return Calculator{
		Name:    "vpt",
		Title:   "vibration perception threshold, by both edges in use",
		Inputs:  []Input{{Name: "right-volts", Says: voltsSays}, {Name: "left-volts", Says: voltsSays}},
		Example: "right-volts=25.0 left-volts=12.5",
		Run: func(a *Args) (Output, error) {
			var result Fields
			for _, side := range foot.Sides {
				if v := volts(a, side.String()+"-volts"); v.Recorded() {
					result = append(result, Field{side.String(), Fields{
						{"above25", neuro.VPTAbove25(v).String()}, {"from25", neuro.VPTFrom25(v).String()},
					}})
				}
			}
			if len(result) == 0 {
				return Output{}, fmt.Errorf("give right-volts or left-volts")
			}
			return output(result, neuro.VPTReasons()), nil
		},
	}
}

func filamentCalculator() Calculator {
	return Calculator{
		Name:  "filament",
		Title: "people a 10 g monofilament can test before it rests for 24 hours",
		Inputs: []Input{
			{Name: "sites", Says: "sites on a foot, 1 to 20", Required: true},
			{Name: "applications", Says: "real applications at a site, shams not counted, 1 to 5; not given is 1"},
			{Name: "feet", Says: "feet of a person, 1 or 2; not given is 2"},
			{Name: "used", Says: "compressions since the last rest, 0 to 10000; not given is 0"},
		},
		Example: "sites=10 applications=1",
		Run:     runFilament,
	}
}

func runFilament(a *Args) (Output, error) {
	sites := a.Int("sites", 1, 20, "sites")
	applications, feet := orElse(a.Int("applications", 1, 5, "applications"), 1), orElse(a.Int("feet", 1, 2, "feet"), 2)
	used := orElse(a.Int("used", 0, 10000, "compressions"), 0)
	if !sites.Known() {
		return Output{}, fmt.Errorf("input sites is needed: sites on a foot, 1 to 20")
	}
	each := neuro.Compressions(sites.Value, applications, feet)
	people := neuro.PeopleBeforeRest(used, each)
	out := output(Fields{{"compressionsEach", each}, {"people", people}, {"restDue", used >= neuro.RestAfter}},
		source.Because{{Says: fmt.Sprintf("A rest of 24 hours is due at %d compressions.", neuro.RestAfter), Source: neuro.SrcWear}})
	out.Steps = append(out.Steps, fmt.Sprintf("%d sites x %d applications x %d feet = %d compressions a person", sites.Value, applications, feet, each),
		fmt.Sprintf("%d compressions are left, enough for %d people", max(0, neuro.RestAfter-used), people))
	return out, nil
}

func orElse(r known.Reading, v int) int {
	if r.Known() {
		return r.Value
	}
	return v
}

// felt reads a site or a toe.
func felt(a *Args, name string) known.Finding {
	switch a.Word(name, "felt", "not-felt", "absent", "not-possible", "refused", "unknown") {
	case "felt":
		return known.Normal
	case "not-felt":
		return known.Abnormal
	case "absent":
		return known.Absent
	case "not-possible":
		return known.NotPossible
	case "refused":
		return known.Refused
	}
	return known.NotDone
}

func finding(a *Args, name string) (f known.Finding) {
	if w := a.Word(name, "normal", "abnormal", "absent", "not-possible", "refused", "unknown"); w != "unknown" {
		_ = f.UnmarshalText([]byte(w)) // Word has checked it
	}
	return f
}

func reflex(a *Args, name string) (r neuro.Reflex) {
	if w := a.Word(name, "present", "with-reinforcement", "absent", "not-possible", "refused", "unknown"); w != "unknown" {
		_ = r.UnmarshalText([]byte(w)) // Word has checked it
	}
	return r
}

func volts(a *Args, name string) known.Tenths {
	if a.Text(name) == "too-high" {
		return known.Tenths{State: known.TooHigh}
	}
	return a.Tenths(name, 0, 500, "volts")
}

func lossOf(a *Args, name string) (l foot.Loss) {
	if w := a.Word(name, "whole", "transmetatarsal", "midfoot", "hindfoot", "ankle", "below-knee", "through-knee", "above-knee", "hip", "unknown"); w != "unknown" {
		_ = l.Level.UnmarshalText([]byte(w)) // Word has checked it
	}
	return l
}
