// Package qrda writes measure results as QRDA, the reporting documents of CDA:
// Category III for a panel in numbers, Category I for one person.
//
// A report is checked before it is written and read back afterwards, because
// the public schema and schematrons let through what would be wrong: a wrong
// population code, a rate that is none, groups that do not add up.
package qrda

import (
	"crypto/sha1"
	"fmt"
	"strconv"
	"strings"

	"tengram/internal/kernel/measure"
	"tengram/internal/kernel/when"
)

// Organisation is who reports.
type Organisation struct {
	Name string
	// TIN is the tax number, nine digits, and NPI the provider number of a
	// clinician. Both are asked for by CMS only; a group reports without NPI.
	TIN, NPI string
	// Certification is the CMS EHR certification id, fifteen letters and digits,
	// for CMS only. The program itself has none: without the id of a certified
	// system that the practice uses, the rule CMS_140 stays unmet.
	Certification string
}

// Report is one measure of a panel over one period.
type Report struct {
	Measure measure.Measure
	Period  measure.Period
	Counts  measure.Counts
	// Breakdown holds the supplemental data; nil leaves them out, which CMS
	// does not accept.
	Breakdown *Breakdown
	Release   Release
	// At is when the report was made, an instant.
	At           when.Moment
	Organisation Organisation
	// Version counts the reports of one measure and period; 0 is 1.
	Version int
	// Program is the CMS program, "MIPS_GROUP" or "MIPS_INDIV"; for CMS2025.
	Program string
	// Software names the program that made the report.
	Software string
}

// CategoryIII writes the report. It refuses one that does not hold together and
// says all that is wrong with it; warnings name groups that may point at a
// person.
func CategoryIII(r Report) (doc []byte, warnings []string, err error) {
	if ps := r.Check(); len(ps) > 0 {
		return nil, nil, fmt.Errorf("the report cannot be written as QRDA III: %s", strings.Join(ps, "; "))
	}
	doc = document(r.document())
	if ps := Verify(doc, Expect{Release: r.Release, Measure: r.Measure.Published, Supplemental: r.Breakdown != nil}); len(ps) > 0 {
		return nil, nil, fmt.Errorf("the written QRDA III does not hold together: %s", strings.Join(ps, "; "))
	}
	if r.Breakdown != nil {
		warnings = r.Breakdown.SmallCells()
	}
	return doc, warnings, nil
}

// id is a UUID made from what it stands for, so that the same report has the
// same ids.
func (r *Report) id(parts ...string) string {
	return nameUUID(append([]string{r.Organisation.Name, r.Measure.ID, r.Measure.Version, r.Period.String()}, parts...)...)
}

// nameUUID is a UUID of version 5 in a space of its own.
func nameUUID(parts ...string) string {
	h := sha1.New()
	h.Write([]byte("https://tengram.example/qrda\x00" + strings.Join(parts, "\x00")))
	var b [16]byte
	copy(b[:], h.Sum(nil))
	b[6], b[8] = b[6]&0x0f|0x50, b[8]&0x3f|0x80
	return fmt.Sprintf("%x-%x-%x-%x-%x", b[0:4], b[4:6], b[6:8], b[8:10], b[10:])
}

// dayStamp writes a day.
func dayStamp(d when.Day) string { return strings.ReplaceAll(d.String(), "-", "") }

func (r *Report) version() string { return strconv.Itoa(max(r.Version, 1)) }

func (r *Report) document() node {
	at := timestamp(r.At)
	organisation := func(name string) node {
		return el(name).with(el("id", "root", nameUUID("organisation", r.Organisation.Name)), el("name").saying(r.Organisation.Name))
	}
	root := el("ClinicalDocument", "xmlns", "urn:hl7-org:v3", "xmlns:xsi", "http://www.w3.org/2001/XMLSchema-instance").
		with(el("realmCode", "code", "US"), el("typeId", "root", typeIDOID, "extension", typeIDPart)).
		with(r.Release.of(partDocument)...).
		with(
			el("id", "root", r.id("document", r.version(), at)),
			el("code", "code", documentCode3, "codeSystem", loincOID),
			el("title").saying(r.Measure.Title+", "+r.Period.String()),
			el("effectiveTime", "value", at),
			el("confidentialityCode", "code", "N", "codeSystem", confidential),
			el("languageCode", "code", "en"),
			el("setId", "root", r.id("set")),
			el("versionNumber", "value", r.version()),
			el("recordTarget").with(el("patientRole").with(el("id", "nullFlavor", "NA"))),
			el("author").with(
				el("time", "value", at),
				el("assignedAuthor").with(
					el("id", "root", nameUUID("software", r.Software)),
					el("assignedAuthoringDevice").with(el("softwareName").saying(r.Software)),
					organisation("representedOrganization"),
				),
			),
			el("custodian").with(el("assignedCustodian").with(organisation("representedCustodianOrganization"))),
		)
	if r.Release == CMS2025 {
		root = root.with(el("informationRecipient").with(el("intendedRecipient").with(el("id", "root", cmsProgram, "extension", r.Program))))
	}
	root = root.with(el("legalAuthenticator").with(
		el("time", "value", at), el("signatureCode", "code", "S"),
		el("assignedEntity").with(el("id", "root", nameUUID("authenticator", r.Organisation.Name)), organisation("representedOrganization")),
	))
	if r.Release == CMS2025 {
		root = root.with(r.certification()...).with(r.provider())
	}
	return root.with(el("component").with(el("structuredBody").with(el("component").with(r.section()))))
}

// certification names the certified system of the practice.
func (r *Report) certification() []node {
	if r.Organisation.Certification == "" {
		return nil
	}
	return []node{el("participant", "typeCode", "DEV").with(el("associatedEntity", "classCode", "RGPR").with(
		el("id", "root", certificationOID, "extension", r.Organisation.Certification),
		el("code", "code", deviceCode, "codeSystem", snomedOID),
	))}
}

// provider names the practice, and the clinician where one reports, by their
// numbers.
func (r *Report) provider() node {
	npi := el("id", "root", npiOID, "nullFlavor", "NA")
	if r.Organisation.NPI != "" {
		npi = el("id", "root", npiOID, "extension", r.Organisation.NPI)
	}
	return el("documentationOf").with(el("serviceEvent", "classCode", "PCPR").with(el("performer", "typeCode", "PRF").with(
		el("assignedEntity").with(npi, el("representedOrganization").with(
			el("id", "root", tinOID, "extension", r.Organisation.TIN), el("name").saying(r.Organisation.Name),
		)),
	)))
}

func (r *Report) section() node {
	return el("section").with(r.Release.of(partSection)...).with(
		el("code", "code", sectionCode, "codeSystem", loincOID),
		el("title").saying("Measure Section"),
		r.narrative(),
		el("entry", "typeCode", "DRIV").with(
			el("act", "classCode", "ACT", "moodCode", "EVN").with(r.Release.of(partParameters)...).with(
				el("id", "root", r.id("parameters")),
				el("code", "code", parameterCode, "codeSystem", snomedOID),
				el("effectiveTime").with(el("low", "value", dayStamp(r.Period.First)), el("high", "value", dayStamp(r.Period.Last))),
			),
		),
		el("entry").with(r.organizer()),
	)
}

// narrative is what a person reads.
func (r *Report) narrative() node {
	body := el("tbody")
	row := func(name, value string) {
		body = body.with(el("tr").with(el("th").saying(name), el("td").saying(value)))
	}
	row("Measure", r.Measure.Title)
	row("Version", r.Measure.Version)
	row("Period", r.Period.String())
	for _, p := range populations {
		row(p.name, strconv.Itoa(p.count(r.Counts)))
	}
	if rate, ok := r.Counts.Rate(); ok {
		row("Performance rate", fmt.Sprintf("%.1f%%", 100*rate))
	} else {
		row("Performance rate", "undefined: nobody is left to divide by")
	}
	return el("text").with(el("table").with(body))
}

func (r *Report) organizer() node {
	p := r.Measure.Published
	o := el("organizer", "classCode", "CLUSTER", "moodCode", "EVN").with(r.Release.of(partMeasure)...).with(
		el("id", "root", r.id("measure")),
		el("statusCode", "code", "completed"),
		el("reference", "typeCode", "REFR").with(el("externalDocument", "classCode", "DOC", "moodCode", "EVN").with(
			el("id", "root", measureIDOID, "extension", p.VersionSpecific),
		).with(nqf(p)...).with(
			el("code", "code", measureCode, "codeSystem", loincOID),
			el("text").saying(r.Measure.Title),
			el("setId", "root", p.VersionNeutral),
		)),
		el("component").with(r.rate()),
	)
	for _, pop := range populations {
		o = o.with(el("component").with(r.data(pop)))
	}
	return o
}

func nqf(p measure.Published) []node {
	if p.NQF == "" {
		return nil
	}
	return []node{el("id", "root", nqfOID, "extension", p.NQF)}
}

// rate is the performance rate; where nobody is left to divide by, it is "not
// applicable" and not 0.
func (r *Report) rate() node {
	value := el("value", "xsi:type", "REAL", "nullFlavor", "NA")
	if rate, ok := r.Counts.Rate(); ok {
		value = el("value", "xsi:type", "REAL", "value", rateText(rate))
	}
	return el("observation", "classCode", "OBS", "moodCode", "EVN").with(r.Release.of(partRate)...).with(
		el("code", "code", rateCode, "codeSystem", loincOID),
		el("statusCode", "code", "completed"),
		value,
		el("reference", "typeCode", "REFR").with(el("externalObservation", "classCode", "OBS", "moodCode", "EVN").with(
			el("id", "root", r.Measure.Published.NumeratorPopulation),
			el("code", "code", "NUMER", "codeSystem", actCodeOID),
		)),
	)
}

// rateText is a rate with at most six decimals.
func rateText(rate float64) string {
	text := strings.TrimRight(strconv.FormatFloat(rate, 'f', 6, 64), "0")
	return strings.TrimSuffix(text, ".")
}
