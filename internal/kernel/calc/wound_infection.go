package calc

import (
	"tengram/internal/kernel/wound"
)

var systemicInputs = []Input{
	{Name: "temperature-c", Says: "body temperature, degrees Celsius, 25.0 to 45.0"},
	{Name: "heart-rate", Says: "beats a minute, 0 to 300"},
	{Name: "respiratory-rate", Says: "breaths a minute, 0 to 100"},
	{Name: "paco2-mmhg", Says: "arterial carbon dioxide, mmHg, 5 to 150"},
	{Name: "white-cells", Says: "leucocytes, x10^9 a litre, 0 to 500.0"},
	{Name: "immature-cells-percent", Says: "immature forms, per cent, 0 to 100.0"},
}

func systemicOf(a *Args) wound.Systemic {
	return wound.Systemic{
		TemperatureC:    a.Tenths("temperature-c", 250, 450, "degrees Celsius"),
		HeartRate:       a.Int("heart-rate", 0, 300, "beats a minute"),
		RespiratoryRate: a.Int("respiratory-rate", 0, 100, "breaths a minute"),
		PaCO2:           a.Int("paco2-mmhg", 5, 150, "mmHg"),
		WhiteCells:      a.Tenths("white-cells", 0, 5000, "10^9 a litre"),
		ImmatureCells:   a.Tenths("immature-cells-percent", 0, 1000, "per cent"),
	}
}

func sirsCalculator() Calculator {
	return Calculator{
		Name: "sirs", Title: "Systemic response (SIRS) criteria met",
		Inputs:  systemicInputs,
		Example: "temperature-c=38.4 heart-rate=104 respiratory-rate=16 white-cells=9.8",
		Run: func(a *Args) (Output, error) {
			r := wound.SIRS(systemicOf(a))
			result := Fields{{"low", r.Low}, {"high", r.High}, {"sirs", r.Is.String()}, {"missing", lastPart(r.Missing)}}
			if r.Low == r.High {
				result = append(Fields{{"points", r.Low}}, result...)
			}
			return output(result, append(wound.SIRSBecause(), r.Because...)), nil
		},
	}
}

func infectionCalculator() Calculator {
	local := []Input{
		{Name: "swelling", Says: "local swelling or induration: yes, no or unknown"},
		{Name: "erythema-mm", Says: "how far redness reaches from the edge, whole millimetres, 0 (none) to 500"},
		{Name: "tenderness", Says: "local tenderness or pain: yes, no or unknown"},
		{Name: "warmth", Says: "local warmth: yes, no or unknown"},
		{Name: "pus", Says: "pus: yes, no or unknown"},
		{Name: "deep", Says: "abscess, septic joint, fasciitis, or infected tendon or muscle: yes, no or unknown"},
		{Name: "bone", Says: "osteomyelitis suspected or shown: yes, no or unknown"},
		{Name: "crepitus", Says: "crepitus or gas in the tissue: yes, no or unknown"},
	}
	return Calculator{
		Name: "infection", Title: "Infection grade by IWGDF/IDSA 2023, and by IDSA 2012",
		Inputs: append(local, systemicInputs...),
		Example: "swelling=no erythema-mm=20 tenderness=no warmth=yes pus=no deep=no bone=no crepitus=no " +
			"temperature-c=37.0 heart-rate=80 respiratory-rate=16",
		Run: runInfection,
	}
}

func runInfection(a *Args) (Output, error) {
	i := wound.Infection{
		Swelling: answer(a.Tri("swelling")), ErythemaMM: a.Int("erythema-mm", 0, 500, "mm"),
		Tenderness: answer(a.Tri("tenderness")), Warmth: answer(a.Tri("warmth")), Pus: answer(a.Tri("pus")),
		Deep: answer(a.Tri("deep")), Bone: answer(a.Tri("bone")), Crepitus: answer(a.Tri("crepitus")),
	}
	s := systemicOf(a)
	g23 := wound.GradeInfection("infection", i, s, wound.Infection2023)
	g12 := wound.GradeInfection("infection", i, s, wound.Infection2012)
	c23, c12 := g23.Class(), g12.Class()
	result := Fields{}
	if g23.Settled() {
		result = append(result, Field{"grade", c23.Low})
	}
	result = append(result,
		Field{"low", c23.Low}, Field{"high", c23.High}, Field{"words", c23.Words},
		Field{"infected", g23.Infected.String()}, Field{"sirs", g23.SIRS.Is.String()},
		Field{"idsa2012", Fields{{"low", c12.Low}, {"high", c12.High}, {"words", c12.Words}}},
		Field{"missing", lastPart(c23.Missing)})
	return output(result, append(c23.Because, c12.Because...)), nil
}
