package fhir

import "tengram/internal/kernel/term"

// Systems of HL7 that the elements below are bound to.
const (
	absentSystem         = "http://terminology.hl7.org/CodeSystem/data-absent-reason"
	interpretationSystem = "http://terminology.hl7.org/CodeSystem/v3-ObservationInterpretation"
	categorySystem       = "http://terminology.hl7.org/CodeSystem/observation-category"
)

// Standard is one code of SNOMED CT or LOINC that an exported exam may hold.
type Standard struct {
	System string
	Code   string
	// For says what the code stands for here, in our words; the codes' own
	// descriptions are not shipped.
	For string
	// Verified says how surely the code was checked, in the words of the code
	// table: "valueset" stands in a published measure, "gps" in the Global
	// Patient Set, "component" had its component checked and not its other
	// parts, "public-sources" agrees over several public code sets.
	Verified string
}

func (s *Standard) coding() coding { return coding{System: s.System, Code: s.Code} }

const (
	snomed = "http://snomed.info/sct"
	loinc  = "http://loinc.org"
)

// The codes in use. None may be added that the code table marks as not
// verified; a test compares them with it.
var (
	visualExam   = &Standard{snomed, "401191002", "the visual exam of both feet", "gps"}
	filamentTest = &Standard{snomed, "134388005", "the 10 g monofilament test of both feet", "gps"}
	pulseCheck   = &Standard{snomed, "91161007", "the check of the foot pulses", "valueset"}
	riskExam     = &Standard{snomed, "394683006", "the assessment of foot risk", "gps"}
	footTeaching = &Standard{snomed, "385956002", "foot care education", "gps"}
	ulcerExam    = &Standard{snomed, "713130008", "the assessment of an ulcer", "gps"}
	refused      = &Standard{snomed, "105480006", "refused by the person, as a reason why there is no result", "gps"}

	normalResult   = &Standard{snomed, "17621005", "everything asked for was found normal", "gps"}
	abnormalResult = &Standard{snomed, "263654008", "something was found abnormal", "gps"}
	noSensation    = &Standard{snomed, "33653009", "the monofilament was not felt at a site", "gps"}
	noPulse        = &Standard{snomed, "414617007", "a foot pulse was not felt", "gps"}

	leftFoot  = &Standard{snomed, "22335008", "body site: left foot", "public-sources"}
	rightFoot = &Standard{snomed, "7769000", "body site: right foot", "public-sources"}

	callus        = &Standard{snomed, "229811005", "callus", "gps"}
	cornOfToe     = &Standard{snomed, "46014006", "corn on a toe", "gps"}
	tineaPedis    = &Standard{snomed, "6020002", "fungus of the skin", "gps"}
	fungalNails   = &Standard{snomed, "403059006", "fungal nails", "gps"}
	hammerToe     = &Standard{snomed, "122481008", "hammer toe", "gps"}
	clawToes      = &Standard{snomed, "86380000", "claw toe", "gps"}
	halluxValgus  = &Standard{snomed, "122480009", "hallux valgus", "gps"}
	flatFoot      = &Standard{snomed, "53226007", "flat foot", "gps"}
	highArch      = &Standard{snomed, "36755004", "high arch", "gps"}
	footDrop      = &Standard{snomed, "6077001", "foot drop", "gps"}
	footDeformity = &Standard{snomed, "229844004", "another deformity", "gps"}
	footUlcer     = &Standard{snomed, "95345008", "an open ulcer, and the outcome that a risk is told for", "gps"}

	neverSmoked   = &Standard{snomed, "266919005", "never smoked", "gps"}
	exSmoker      = &Standard{snomed, "8517006", "smoked in the past", "gps"}
	smoker        = &Standard{snomed, "77176002", "smokes", "gps"}
	smokingStatus = &Standard{loinc, "72166-2", "smoking status", "valueset"}

	vibration       = &Standard{loinc, "65711-4", "128 Hz tuning fork; an item of a research protocol", "component"}
	pinprick        = &Standard{loinc, "65710-6", "pinprick; an item of a research protocol", "component"}
	skinTemperature = &Standard{loinc, "98663-8", "skin temperature of the foot", "valueset"}
	abiLeft         = &Standard{loinc, "8579-5", "ankle-brachial index left, where it rests on the posterior tibial artery", "component"}
	abiRight        = &Standard{loinc, "8580-3", "ankle-brachial index right, where it rests on the posterior tibial artery", "component"}
	tbiLeft         = &Standard{loinc, "77617-9", "toe-brachial index left", "component"}
	tbiRight        = &Standard{loinc, "77618-7", "toe-brachial index right", "component"}
)

// Standards lists the standard codes in use.
func Standards() []Standard {
	var all []Standard
	for _, s := range []*Standard{
		visualExam, filamentTest, pulseCheck, riskExam, footTeaching, ulcerExam, refused,
		normalResult, abnormalResult, noSensation, noPulse, leftFoot, rightFoot,
		callus, cornOfToe, tineaPedis, fungalNails, hammerToe, clawToes, halluxValgus, flatFoot, highArch, footDrop,
		footDeformity, footUlcer, neverSmoked, exSmoker, smoker, smokingStatus,
		vibration, pinprick, skinTemperature, abiLeft, abiRight, tbiLeft, tbiRight,
	} {
		all = append(all, *s)
	}
	return all
}

// concepts puts codings of standard and own codes and a text together. Codes of
// our own come last: a reader who knows none of the others still has the text.
func coded(text string, codings ...coding) *concept {
	return &concept{Coding: codings, Text: text}
}

// absent is a reason for a missing value (data-absent-reason), with a more
// exact code where there is one.
func absent(code, text string, more ...coding) *concept {
	return &concept{Coding: append([]coding{{System: absentSystem, Code: code}}, more...), Text: text}
}

// interpret says normal ("N"), abnormal ("A") or critical ("AA").
func interpret(code string) []concept {
	if code == "" {
		return nil
	}
	return []concept{{Coding: []coding{{System: interpretationSystem, Code: code}}}}
}

// local is one of our own codes.
func local(code string) coding {
	return coding{System: term.LocalURI, Code: code, Display: displayOf(code)}
}
