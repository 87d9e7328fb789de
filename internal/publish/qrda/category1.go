package qrda

import (
	"errors"
	"fmt"

	"tengram/internal/kernel/measure"
	"tengram/internal/kernel/record"
	"tengram/internal/kernel/when"
	"tengram/internal/publish/guard"
)

// Patient is one person's data for one measure.
type Patient struct {
	Measure measure.Measure
	Record  *record.Record
	// Result must have been explained: what it rests on is what is written.
	Result       measure.Result
	At           when.Moment
	Organisation Organisation
	Software     string
	// Names adds the person's name, birth date and sex; without it they are
	// masked.
	Names     bool
	Pseudonym guard.Pseudonym
}

// CategoryI writes what the measure's answer for one person rests on as QRDA
// Category I, by the templates of HL7 STU 5.3: the visits, diagnoses,
// procedures, orders and assessments that the reasons name, the exams signed
// here as assessments, and the payer.
//
// The templates and their extensions were read in the guide's own sample. The
// document is held to the CDA schema; the schematron of STU 5.3 was not at hand,
// so conformance to it is not verified.
func CategoryI(p Patient) ([]byte, error) {
	switch {
	case p.Names && p.Pseudonym.On():
		return nil, guard.ErrNamesAndPseudonyms
	case p.Measure.Published.VersionSpecific == "":
		return nil, fmt.Errorf("measure %s has no published id: only a published electronic measure can be reported as QRDA I", p.Measure.ID)
	case p.At.Precision() != when.Instant:
		return nil, errors.New("the time of the report must be a date and time with its offset")
	case p.Organisation.Name == "" || p.Software == "":
		return nil, errors.New("say which organisation reports, and which software made the report")
	case p.Record == nil || p.Record.Person.ID != p.Result.Patient:
		return nil, errors.New("the record and the result are not of the same person")
	}
	return document(p.document()), nil
}

func (p *Patient) id(parts ...string) string {
	return nameUUID(append([]string{p.Organisation.Name, p.Measure.ID, p.Measure.Version, p.Result.Period.String(),
		p.Pseudonym.Of("person", p.Result.Patient)}, parts...)...)
}

// tpl is a template outside Category III, with its whole root.
func tpl(root, ext string) node { return el("templateId", "root", prefix+root, "extension", ext) }

func (p *Patient) document() node {
	at := timestamp(p.At)
	nowhere := []node{el("addr", "nullFlavor", "NI"), el("telecom", "nullFlavor", "NI")}
	organisation := el("representedCustodianOrganization").with(
		el("id", "root", nameUUID("organisation", p.Organisation.Name)), el("name").saying(p.Organisation.Name)).with(
		el("telecom", "nullFlavor", "NI"), el("addr", "nullFlavor", "NI"))
	return el("ClinicalDocument", "xmlns", "urn:hl7-org:v3", "xmlns:xsi", "http://www.w3.org/2001/XMLSchema-instance").with(
		el("realmCode", "code", "US"), el("typeId", "root", typeIDOID, "extension", typeIDPart),
		tpl("22.1.1", "2015-08-01"), tpl("24.1.1", "2017-08-01"), tpl("24.1.2", "2021-08-01"),
		el("id", "root", p.id("document", at)),
		el("code", "code", "55182-0", "codeSystem", loincOID),
		el("title").saying(p.Measure.Title+", one person, "+p.Result.Period.String()),
		el("effectiveTime", "value", at),
		el("confidentialityCode", "code", "N", "codeSystem", confidential),
		el("languageCode", "code", "en"),
		p.target(),
		el("author").with(el("time", "value", at), el("assignedAuthor").with(el("id", "root", nameUUID("software", p.Software))).with(nowhere...).with(
			el("assignedAuthoringDevice").with(el("manufacturerModelName").saying("Tengram"), el("softwareName").saying(p.Software)))),
		el("custodian").with(el("assignedCustodian").with(organisation)),
		el("legalAuthenticator").with(el("time", "value", at), el("signatureCode", "code", "S"),
			el("assignedEntity").with(el("id", "root", nameUUID("authenticator", p.Organisation.Name))).with(nowhere...).with(
				el("assignedPerson").with(el("name").saying(p.Organisation.Name)))),
		el("documentationOf", "typeCode", "DOC").with(el("serviceEvent", "classCode", "PCPR").with(
			p.period(), el("performer", "typeCode", "PRF").with(el("assignedEntity").with(
				el("id", "root", npiOID, "nullFlavor", "UNK"),
				el("representedOrganization").with(el("id", "root", tinOID, "nullFlavor", "UNK"), el("name").saying(p.Organisation.Name)))))),
		el("component").with(el("structuredBody").with(
			el("component").with(p.measureSection()),
			el("component").with(p.parameters()),
			el("component").with(p.data()),
		)),
	)
}

func (p *Patient) period() node {
	return el("effectiveTime").with(el("low", "value", dayStamp(p.Result.Period.First)), el("high", "value", dayStamp(p.Result.Period.Last)))
}

// target is the person: by id, and by name where names may leave.
func (p *Patient) target() node {
	who := &p.Record.Person
	name, sex, birth := el("name", "nullFlavor", "MSK"), el("administrativeGenderCode", "nullFlavor", "MSK"), el("birthTime", "nullFlavor", "MSK")
	race, ethnicity := el("raceCode", "nullFlavor", "MSK"), el("ethnicGroupCode", "nullFlavor", "MSK")
	if p.Names {
		d := DemographicsOf(p.Record, p.Result.Period)
		name = el("name").with(el("given").saying(who.Given), el("family").saying(who.Family))
		sex = characteristic("administrativeGenderCode", d[Sex], genderOID)
		race, ethnicity = characteristic("raceCode", d[Race], raceOID), characteristic("ethnicGroupCode", d[Ethnicity], raceOID)
		birth = el("birthTime", "nullFlavor", "UNK")
		if t := timestamp(who.Birth); t != "" {
			birth = el("birthTime", "value", t)
		}
	}
	return el("recordTarget").with(el("patientRole").with(
		el("id", "root", nameUUID("people", p.Organisation.Name), "extension", p.Pseudonym.Of("person", who.ID)),
		el("addr", "nullFlavor", "MSK"), el("telecom", "nullFlavor", "MSK"),
		el("patient").with(name, sex, birth, race, ethnicity),
	))
}

func characteristic(name, code, system string) node {
	if code == unknownFlavor || code == otherFlavor {
		return el(name, "nullFlavor", code)
	}
	return el(name, "code", code, "codeSystem", system)
}

func (p *Patient) measureSection() node {
	m := p.Measure.Published
	return el("section").with(tpl("24.2.2", ""), tpl("24.2.3", ""),
		el("code", "code", sectionCode, "codeSystem", loincOID), el("title").saying("Measure Section"),
		el("text").saying(p.Measure.Title+", "+p.Measure.Version),
		el("entry").with(el("organizer", "classCode", "CLUSTER", "moodCode", "EVN").with(
			tpl("24.3.98", ""), tpl("24.3.97", ""), el("id", "root", p.id("measure")), el("statusCode", "code", "completed"),
			el("reference", "typeCode", "REFR").with(el("externalDocument", "classCode", "DOC", "moodCode", "EVN").with(
				el("id", "root", measureIDOID, "extension", m.VersionSpecific)).with(nqf(m)...).with(
				el("code", "code", measureCode, "codeSystem", loincOID), el("text").saying(p.Measure.Title), el("setId", "root", m.VersionNeutral),
			)),
		)),
	)
}

func (p *Patient) parameters() node {
	return el("section").with(tpl("17.2.1", ""),
		el("code", "code", "55187-9", "codeSystem", loincOID), el("title").saying("Reporting Parameters"),
		el("text").saying("Reporting period: "+p.Result.Period.String()),
		el("entry", "typeCode", "DRIV").with(el("act", "classCode", "ACT", "moodCode", "EVN").with(
			tpl("17.3.8", ""), el("id", "root", p.id("parameters")),
			el("code", "code", parameterCode, "codeSystem", snomedOID), p.period(),
		)),
	)
}
