package calc

import (
	"fmt"
	"strconv"

	"tengram/internal/kernel/foot"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/neuro"
	"tengram/internal/kernel/source"
)

const senseSays = "present, reduced, absent or unknown"

func ndsCalculator() Calculator {
	c := Calculator{
		Name:    "nds",
		Title:   "modified neuropathy disability score, 0 to 10",
		Example: "right-vibration=abnormal right-pinprick=normal right-temperature=normal right-reflex=absent left-vibration=abnormal left-pinprick=normal left-temperature=normal left-reflex=absent",
		Run: func(a *Args) (Output, error) {
			var feet [2]neuro.Foot
			for _, side := range foot.Sides {
				name := side.String()
				feet[side] = neuro.Foot{
					Vibration: finding(a, name+"-vibration"), Pinprick: finding(a, name+"-pinprick"),
					WarmCold: finding(a, name+"-temperature"), Reflex: reflex(a, name+"-reflex"),
				}
			}
			s := neuro.NDS(feet)
			return output(scoreFields(s), s.Because), nil
		},
	}
	for _, side := range foot.Sides {
		for _, item := range []string{"vibration", "pinprick", "temperature"} {
			c.Inputs = append(c.Inputs, Input{Name: side.String() + "-" + item, Says: normalSays})
		}
		c.Inputs = append(c.Inputs, Input{Name: side.String() + "-reflex", Says: "ankle reflex: " + reflexSays})
	}
	return c
}

func nssCalculator() Calculator {
	return Calculator{
		Name:  "nss",
		Title: "neuropathy symptom score, 0 to 9, and neuropathy by both scores",
		Inputs: []Input{
			{Name: "symptom", Says: "burning (also numbness, tingling), fatigue (also cramp, ache), none or unknown"},
			{Name: "site", Says: "feet, calves, elsewhere or unknown"},
			{Name: "worse", Says: "night, day-and-night, day or unknown"},
			{Name: "woken", Says: "ever woken from sleep by it: yes, no or unknown"},
			{Name: "relief", Says: "walking, standing, sitting-or-none or unknown"},
			{Name: "nds", Says: "points of the neuropathy disability score, 0 to 10"},
		},
		Example: "symptom=burning site=feet worse=night woken=yes relief=standing nds=4",
		Run:     runNSS,
	}
}

func runNSS(a *Args) (Output, error) {
	in := neuro.Symptoms{
		Kind:    neuro.Symptom(choice(a, "symptom", "none", "fatigue", "burning")),
		Site:    neuro.SymptomSite(choice(a, "site", "elsewhere", "calves", "feet")),
		WorseAt: neuro.WorseAt(choice(a, "worse", "day", "day-and-night", "night")),
		Woken:   a.Tri("woken"),
		Relief:  neuro.Relief(choice(a, "relief", "sitting-or-none", "standing", "walking")),
	}
	s := neuro.NSS(in)
	result, why := scoreFields(s), s.Because
	if nds := a.Int("nds", 0, 10, "points"); nds.Known() {
		points := known.TenthsOf(10 * nds.Value)
		both, reason := neuro.NeuropathyByScores(neuro.Score{Low: points, High: points}, s)
		result = append(result, Field{"neuropathyByBoth", both.String()})
		why = append(why, reason)
	}
	return output(result, why), nil
}

// choice is the place of the word among the words, from 1; 0 is unknown.
func choice(a *Args, name string, words ...string) uint8 {
	w := a.Word(name, append(append([]string{}, words...), "unknown")...)
	for i, allowed := range words {
		if w == allowed {
			return uint8(i + 1)
		}
	}
	return 0
}

func mnsiCalculator() Calculator {
	c := Calculator{
		Name:    "mnsi",
		Title:   "Michigan neuropathy screening instrument: questionnaire 0 to 13, examination 0 to 8",
		Example: "q1=yes q2=yes q3=no q5=no q6=yes q7=no q8=no q9=no q11=no q12=no q13=yes q14=no q15=no right-appearance=yes right-ulcer=no right-reflex=with-reinforcement right-vibration=present left-appearance=yes left-ulcer=no left-reflex=present left-vibration=present",
		Run:     runMNSI,
	}
	for i := range len(neuro.MNSIQuestions{}) {
		c.Inputs = append(c.Inputs, Input{Name: "q" + strconv.Itoa(i+1), Says: "answer to question " + strconv.Itoa(i+1) + ": yes, no or unknown"})
	}
	for _, side := range foot.Sides {
		name := side.String()
		c.Inputs = append(c.Inputs,
			Input{Name: name + "-appearance", Says: "abnormal appearance: yes, no or unknown"}, Input{Name: name + "-ulcer", Says: "ulcer: yes, no or unknown"},
			Input{Name: name + "-reflex", Says: "ankle reflex: " + reflexSays}, Input{Name: name + "-vibration", Says: "128 Hz tuning fork: " + senseSays},
			Input{Name: name + "-filament", Says: "times the monofilament was felt of ten, 0 to 10"})
	}
	return c
}

func runMNSI(a *Args) (Output, error) {
	var questions neuro.MNSIQuestions
	var feet [2]neuro.MNSIFoot
	asked, examined, filament := false, false, false
	for i := range questions {
		questions[i] = a.Tri("q" + strconv.Itoa(i+1))
		asked = asked || questions[i].Known()
	}
	for _, side := range foot.Sides {
		name := side.String()
		feet[side] = neuro.MNSIFoot{
			Appearance: a.Tri(name + "-appearance"), Ulcer: a.Tri(name + "-ulcer"),
			Reflex: reflex(a, name+"-reflex"), Vibration: senseOf(a, name+"-vibration", "present"),
			FilamentFelt: a.Int(name+"-filament", 0, 10, "times felt"),
		}
		filament = filament || feet[side].FilamentFelt.Known()
		examined = examined || filament || feet[side] != neuro.MNSIFoot{}
	}
	if !asked && !examined {
		return Output{}, fmt.Errorf("give answers q1 to q15, or findings of the examination")
	}
	var result Fields
	var why source.Because
	if asked {
		s := neuro.MNSIQuestionnaire(questions)
		result = append(result, Field{"questionnaire", append(scoreFields(s), Field{"positiveFrom4", neuro.MNSIFrom4(questions).String()})})
		why = append(why, s.Because...)
	}
	if examined {
		s := neuro.MNSIExam(feet)
		result = append(result, Field{"examination", scoreFields(s)})
		why = append(why, s.Because...)
	}
	if filament {
		s := neuro.MNSIExamWithFilament(feet)
		result = append(result, Field{"withFilament", scoreFields(s)})
		why = append(why, s.Because...)
	}
	return output(result, why), nil
}

// The items of the Toronto score; their names are from memory, their number is
// second hand.
var (
	torontoSymptoms = []string{"foot-pain", "numbness", "tingling", "weakness", "unsteadiness", "upper-limb"}
	torontoReflexes = []string{"right-knee", "left-knee", "right-ankle", "left-ankle"}
	torontoSenses   = []string{"pinprick", "temperature", "light-touch", "vibration", "position"}
)

func torontoCalculator() Calculator {
	c := Calculator{
		Name:    "toronto",
		Title:   "Toronto clinical score, 0 to 19 (bands and item names from memory)",
		Example: "foot-pain=yes numbness=yes tingling=yes weakness=no unsteadiness=yes upper-limb=no right-knee=normal left-knee=normal right-ankle=absent left-ankle=absent pinprick=normal temperature=normal light-touch=normal vibration=abnormal position=abnormal",
		Run:     runToronto,
	}
	for _, name := range torontoSymptoms {
		c.Inputs = append(c.Inputs, Input{Name: name, Says: "symptom: yes, no or unknown"})
	}
	for _, name := range torontoReflexes {
		c.Inputs = append(c.Inputs, Input{Name: name, Says: "reflex: normal, reduced, absent or unknown"})
	}
	for _, name := range torontoSenses {
		c.Inputs = append(c.Inputs, Input{Name: name, Says: normalSays})
	}
	return c
}

func runToronto(a *Args) (Output, error) {
	var in neuro.Toronto
	for i, name := range torontoSymptoms {
		in.Symptoms[i] = a.Tri(name)
	}
	for i, name := range torontoReflexes {
		in.Reflexes[i] = senseOf(a, name, "normal")
	}
	for i, name := range torontoSenses {
		in.Senses[i] = finding(a, name).Abnormal()
	}
	s := in.Score()
	return output(scoreFields(s), s.Because), nil
}

func perkinsCalculator() Calculator {
	return Calculator{
		Name:  "perkins",
		Title: "eight monofilament stimuli on the back of both great toes",
		Inputs: []Input{
			{Name: "wrong", Says: "stimuli answered wrong, 0 to 8", Required: true},
			{Name: "unanswered", Says: "stimuli not given, 0 to 8; not given is 0"},
		},
		Example: "wrong=3",
		Run: func(a *Args) (Output, error) {
			wrong, open := a.Int("wrong", 0, 8, "stimuli"), orElse(a.Int("unanswered", 0, 8, "stimuli"), 0)
			if !wrong.Known() {
				return Output{}, fmt.Errorf("input wrong is needed: stimuli answered wrong, 0 to 8")
			}
			if wrong.Value+open > 8 {
				a.Bad("unanswered", "there are eight stimuli in all")
				return Output{}, nil
			}
			s := neuro.Perkins(wrong.Value, open)
			return output(scoreFields(s), s.Because), nil
		},
	}
}

// senseOf reads a sense or a reflex in three grades; best is the word for the
// first.
func senseOf(a *Args, name, best string) neuro.Sense {
	return neuro.Sense(choice(a, name, best, "reduced", "absent"))
}

// scoreFields shows a score, or the two that it lies between.
func scoreFields(s neuro.Score) Fields {
	fs := Fields{{"low", points(s.Low)}, {"high", points(s.High)}}
	if s.Low == s.High {
		fs = append(Fields{{"score", points(s.Low)}}, fs...)
	}
	if s.Band != "" {
		fs = append(fs, Field{"band", s.Band})
	}
	if s.Cut != "" {
		fs = append(fs, Field{"positive", s.Positive.String()}, Field{"cutOff", s.Cut})
	}
	return append(fs, Field{"unknownItems", s.Unknown})
}

// points writes whole points as a whole number, half points with one decimal.
func points(t known.Tenths) any {
	if t.Value%10 == 0 {
		return t.Value / 10
	}
	return decimal(t.Value, 1)
}
