package fhir

import (
	"encoding/json"
	"fmt"
	"reflect"
	"slices"
	"strings"
	"sync"

	"tengram/internal/kernel/danger"
	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/foot"
	"tengram/internal/kernel/heat"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/neuro"
	"tengram/internal/kernel/perfusion"
	"tengram/internal/kernel/plan"
	"tengram/internal/kernel/risk"
	"tengram/internal/kernel/term"
	"tengram/internal/kernel/wound"
)

// Local is one of our own codes, for what has no standard code that was found.
// The side is part of the code, so that nobody has to read it out of a text.
type Local struct {
	Code    string `json:"code"`
	Display string `json:"display"`
}

// Locals lists our own codes in order of code. They are made from the kernel's
// own lists, so that a new finding has its code.
var Locals = sync.OnceValue(func() []Local {
	var c catalogue
	c.sides()
	c.values()
	c.places()
	c.answers("ask", exam.Ask{})
	c.answers("footwear", exam.Footwear{})
	c.answers("infection", wound.Infection{})
	c.ulcers()
	c.conclusions()
	slices.SortFunc(c.all, func(a, b Local) int { return strings.Compare(a.Code, b.Code) })
	return c.all
})

func displayOf(code string) string {
	all := Locals()
	if i, ok := slices.BinarySearchFunc(all, code, func(l Local, c string) int { return strings.Compare(l.Code, c) }); ok {
		return all[i].Display
	}
	return ""
}

type catalogue struct{ all []Local }

func (c *catalogue) add(code, display string) { c.all = append(c.all, Local{code, display}) }

// both adds a code for each side.
func (c *catalogue) both(code, display string) {
	for _, s := range foot.Sides {
		c.add(code+"-"+s.String(), display+", "+s.String())
	}
}

// words adds the words of a closed list of the kernel.
func words[T ~uint8](c *catalogue, prefix, display string) {
	for i := 1; ; i++ {
		w := any(T(i)).(fmt.Stringer).String()
		if strings.HasPrefix(w, "invalid") {
			return
		}
		c.add(prefix+w, strings.TrimSpace(display+" "+plain(w)))
	}
}

func plain(word string) string { return strings.ReplaceAll(word, "-", " ") }

func (c *catalogue) sides() {
	for s := range neuro.SiteCount {
		c.both("monofilament-"+s.String(), "10 g monofilament at the "+s.Place().Words())
	}
	for s := range heat.SpotCount {
		c.both("temperature-"+s.String(), "skin temperature at the "+s.Place().Words())
	}
	for _, l := range []Local{
		{"foot", "the foot as a whole"},
		{"amputation-level", "what amputation has taken from the leg"},
		{"skin", "skin of the foot"}, {"wound", "open wound of the foot"}, {"gangrene", "gangrene of the foot"},
		{"nails", "nails of the foot"}, {"shape", "shape of the foot"}, {"mobility", "movement of ankle and great toe joint"},
		{"muscle-wasting", "muscle wasting of the foot"}, {"redness", "redness of the foot"},
		{"pulse-dorsalis-pedis", "dorsalis pedis pulse"}, {"pulse-posterior-tibial", "posterior tibial pulse"},
		{"capillary-refill", "capillary refill"}, {"posture-colour", "pallor on elevation or redness on hanging"},
		{"ankle-pressure-dorsalis-pedis", "ankle systolic pressure, dorsalis pedis"},
		{"ankle-pressure-posterior-tibial", "ankle systolic pressure, posterior tibial"},
		{"arm-pressure", "arm systolic pressure"}, {"toe-pressure", "toe systolic pressure"},
		{"tcpo2", "transcutaneous oxygen pressure"}, {"waveform", "Doppler waveform"},
		{"ankle-brachial-index", "ankle-brachial index"}, {"toe-brachial-index", "toe-brachial index"},
		{"vibration", "128 Hz tuning fork at the great toe"}, {"pinprick", "pinprick at the great toe"},
		{"warm-cold", "telling warm from cold"}, {"ankle-reflex", "ankle reflex"},
		{"touch-toe1", "light touch, great toe"}, {"touch-toe3", "light touch, third toe"}, {"touch-toe5", "light touch, little toe"},
		{"vpt", "vibration perception threshold"},
		{"oedema", "oedema"}, {"warm", "clearly warmer than the other foot"}, {"swollen", "clearly more swollen than the other foot"},
		{"suddenly-cold", "suddenly cold, pale, painful or numb"},
		{"lops", "loss of protective sensation"}, {"pad", "peripheral artery disease"},
	} {
		c.both(l.Code, l.Display)
	}
	for _, l := range []Local{
		{"ankle-reflexes", "ankle reflexes of both feet"}, {"warm-cold", "telling warm from cold, both feet"},
		{"light-touch", "light touch at the toe tips of both feet"}, {"vpt", "vibration perception threshold of both feet"},
		{"circulation-signs", "signs and pressures of the circulation of both feet"}, {"warmth-and-swelling", "warmth and swelling of both feet"},
		{"systemic-signs", "signs of a systemic response"},
		{"body-temperature", "body temperature"}, {"heart-rate", "heart rate"}, {"respiratory-rate", "respiratory rate"},
		{"white-cells", "white cell count"}, {"immature-cells", "share of immature white cells"}, {"paco2", "arterial carbon dioxide pressure"},
		{"unwell", "fever, shivering, vomiting, confusion or new weakness"},
		{"skin-finding", "a finding of the skin"}, {"nail-finding", "a finding of the nails"}, {"deformity", "a deformity"},
		{"deformity-present", "whether a foot has a deformity"}, {"foot-infection", "signs of infection of a foot without an ulcer"},
		{"foot-history", "history and symptoms asked for at the foot exam"}, {"a1c-told", "last HbA1c as told at the exam, of no known day"},
		{"footwear-adequate", "fit and wear of the footwear"}, {"foot-exam", "diabetes foot exam"},
	} {
		c.add(l.Code, l.Display)
	}
}

func (c *catalogue) values() {
	for _, l := range []Local{
		{"normal", "normal"}, {"abnormal", "abnormal"}, {"felt", "felt"}, {"not-felt", "not felt"},
		{"open-wound", "open wound"}, {"no-wound", "no open wound"},
		{"result-partial", "nothing abnormal where it was looked for, and not everything was"},
		{"part-absent", "the part is not there: lost to amputation"},
		{"not-possible", "the part is there and could not be tested"},
		{"not-every-foot", "not done on every foot that is there"},
		{"no-signal", "no signal was found"}, {"not-compressible", "too high to measure, or the artery cannot be compressed"},
		{"present", "present"}, {"weak", "weak"}, {"absent", "absent"}, {"doppler-only", "not felt, heard with a Doppler probe"},
		{"with-reinforcement", "present only with reinforcement"},
	} {
		c.add(l.Code, l.Display)
	}
	words[exam.LesionKind](c, "lesion-", "")
	words[exam.NailKind](c, "nail-", "")
	words[exam.Deformity](c, "deformity-", "")
	words[wound.Gangrene](c, "gangrene-", "gangrene:")
	words[wound.Depth](c, "depth-", "depth:")
	words[perfusion.Waveform](c, "waveform-", "")
	words[foot.Level](c, "loss-", "amputation:")
}

func (c *catalogue) places() {
	for _, p := range foot.Places() {
		c.both("place-"+p.String(), p.Words())
	}
}

// answers adds a code for each question that a struct of the exam holds, named
// as in the exam document.
func (c *catalogue) answers(prefix string, of any) {
	for _, q := range questions(of) {
		c.add(prefix+"-"+q.name, plain(q.name))
	}
}

// question is one answered field of a struct of the exam.
type question struct {
	name   string
	answer known.Answer
}

// questions lists the answers of a struct in the order of the exam document.
func questions(of any) []question {
	v := reflect.ValueOf(of)
	var all []question
	for i := range v.NumField() {
		if a, ok := v.Field(i).Interface().(known.Answer); ok {
			name, _, _ := strings.Cut(v.Type().Field(i).Tag.Get("json"), ",")
			all = append(all, question{name, a})
		}
	}
	return all
}

func (c *catalogue) ulcers() {
	for _, l := range []Local{
		{"ulcer-open", "open ulcer"}, {"ulcer-healed", "healed ulcer"}, {"ulcer-length", "longest diameter"},
		{"ulcer-width", "widest diameter at right angles"}, {"ulcer-area", "area"}, {"ulcer-depth", "deepest tissue"},
		{"ulcer-since", "first noticed"}, {"probe-to-bone", "hard bone felt with a probe"}, {"infection-erythema", "reach of the redness from the edge"},
		{"class-sinbad", "SINBAD score"}, {"class-texas", "University of Texas grade and stage"}, {"class-wagner", "Wagner grade"},
		{"class-pedis", "PEDIS class"}, {"class-infection-2023", "IWGDF/IDSA infection grade, 2023"},
		{"class-infection-2012", "infection grade, 2012"}, {"class-wifi", "WIfI class and stage"},
	} {
		c.add(l.Code, l.Display)
	}
}

func (c *catalogue) conclusions() {
	for l := perfusion.Unlikely; l <= perfusion.Likely; l++ {
		c.add("pad-"+l.String(), "peripheral artery disease "+l.String())
	}
	c.add("lops", "loss of protective sensation")
	c.add("pad", "peripheral artery disease")
	for _, s := range risk.Systems() {
		c.add(categoryCode(s.ID), "risk category by "+s.Name)
		c.add(s.ID, s.Name)
		for _, k := range s.Categories {
			c.add(categoryValue(s.ID, k.Code), s.Name+": "+k.Words())
		}
	}
	for _, l := range []Local{
		{"risk-low", "lowest category still possible"}, {"risk-high", "highest category still possible"},
		{"risk-literal", "category by the letter of the published table"}, {"risk-override", "category set by a clinician"},
		{"red-flag", "a finding that cannot wait"},
	} {
		c.add(l.Code, l.Display)
	}
	for _, id := range flagIDs {
		c.add("flag-"+id, plain(id))
	}
	for _, id := range referralIDs {
		c.add(id, plain(id))
	}
	for _, to := range []plan.Addressee{plan.EmergencyCare, plan.FootTeam, plan.FootSpecialist, plan.Vascular, plan.VascularLab,
		plan.Orthotics, plan.Practice, plan.Kidney, plan.StopSmoking} {
		c.add("to-"+string(to), plain(string(to)))
	}
	for u := danger.Now; u <= danger.Routine; u++ {
		c.add("urgency-"+u.String(), u.Words())
	}
}

// flagIDs and referralIDs are the red flags and the referrals that the kernel
// raises; a test over generated exams finds one that is missing.
var (
	flagIDs = []string{
		"gangrene", "ulcer-with-fever", "ulcer-with-ischaemia", "deep-infection", "infection-with-fever", "acute-limb-ischaemia",
		"spreading-infection", "new-rest-pain", "ulcer-checks-missing", "limb-threatening-ischaemia", "acute-charcot",
		"hot-red-swollen-foot", "open-ulcer", "foot-infection",
	}
	referralIDs = []string{"act-now", "refer-foot-team", "refer-vascular", "refer-foot-specialist"}
)

// categoryCode is the code of a risk category as an observation.
func categoryCode(system string) string {
	if system == "iwgdf-2023" {
		return "iwgdf-risk-category"
	}
	return system + "-risk-category"
}

// categoryValue is the code of one category of one system.
func categoryValue(system, code string) string {
	return system + "-" + strings.ReplaceAll(strings.ToLower(code), " ", "-")
}

// codeSystem is the published list of our own codes.
type codeSystem struct {
	ResourceType  string  `json:"resourceType"`
	ID            string  `json:"id"`
	URL           string  `json:"url"`
	Version       string  `json:"version"`
	Name          string  `json:"name"`
	Title         string  `json:"title"`
	Status        string  `json:"status"`
	Experimental  bool    `json:"experimental"`
	Description   string  `json:"description"`
	CaseSensitive bool    `json:"caseSensitive"`
	Content       string  `json:"content"`
	Count         int     `json:"count"`
	Concept       []Local `json:"concept"`
}

// CodeSystem is our own codes as a FHIR CodeSystem, as it stands in docs/fhir.
func CodeSystem() ([]byte, error) {
	return json.MarshalIndent(codeSystem{
		ResourceType: "CodeSystem", ID: "foot-exam", URL: term.LocalURI, Version: "1", Name: "FootExam",
		Title: "Codes of the diabetes foot exam", Status: "draft",
		Description:   "Own codes for what has no standard code that was found: per-site and per-side findings, answers and conclusions.",
		CaseSensitive: true, Content: "complete", Count: len(Locals()), Concept: Locals(),
	}, "", "  ")
}
