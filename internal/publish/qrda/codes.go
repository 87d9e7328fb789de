package qrda

import "strings"

// prefix is what the roots of all QRDA templates begin with.
const prefix = "2.16.840.1.113883.10.20."

// The code systems and namespaces by their object identifiers (measures
// reference, sections 6.1 and 7.2; code systems table).
const (
	loincOID         = "2.16.840.1.113883.6.1"
	snomedOID        = "2.16.840.1.113883.6.96"
	actCodeOID       = "2.16.840.1.113883.5.4"
	methodOID        = "2.16.840.1.113883.5.84"
	confidential     = "2.16.840.1.113883.5.25"
	genderOID        = "2.16.840.1.113883.5.1"
	raceOID          = "2.16.840.1.113883.6.238"
	paymentOID       = "2.16.840.1.113883.3.221.5"
	cmsClinical      = "2.16.840.1.113883.3.249.12"
	cmsProgram       = "2.16.840.1.113883.3.249.7"
	npiOID           = "2.16.840.1.113883.4.6"
	tinOID           = "2.16.840.1.113883.4.2"
	measureIDOID     = "2.16.840.1.113883.4.738"
	certificationOID = "2.16.840.1.113883.3.2074.1"
	nqfOID           = "2.16.840.1.113883.3.560.1"
	typeIDOID        = "2.16.840.1.113883.1.3"
	typeIDPart       = "POCD_HD000040"
	documentCode3    = "55184-6"
	sectionCode      = "55186-1"
	measureCode      = "57024-2"
	rateCode         = "72510-1"
	parameterCode    = "252116004"
	deviceCode       = "129465004"
)

// Release is a release of the QRDA III guide. A document is written whole in
// one of them: their extension dates differ, and a mixture satisfies neither.
type Release uint8

// The releases.
const (
	// STU21 is HL7 QRDA Category III, STU release 2.1.
	STU21 Release = iota
	// CMS2025 is the implementation guide of CMS for eligible clinicians, 2025,
	// on top of the current HL7 release.
	CMS2025
)

// String names the release.
func (r Release) String() string {
	if r == CMS2025 {
		return "CMS QRDA III 2025"
	}
	return "HL7 QRDA III STU 2.1"
}

// part is a part of a document that has templates.
type part uint8

const (
	partDocument part = iota
	partSection
	partParameters
	partMeasure
	partRate
	partData
	partCount
	partSex
	partEthnicity
	partRace
	partPayer
)

// template is a root, without the prefix, and its extension.
type template struct{ root, ext string }

// templates are those of each part in each release (QRDA templates table).
var templates = map[part][2][]template{
	partDocument:   {{{"27.1.1", "2017-06-01"}}, {{"27.1.1", "2020-12-01"}, {"27.1.2", "2024-07-01"}}},
	partSection:    {{{"24.2.2", ""}, {"27.2.1", "2017-06-01"}}, {{"24.2.2", ""}, {"27.2.1", "2020-12-01"}, {"27.2.3", "2022-05-01"}}},
	partParameters: {{{"17.3.8", ""}}, {{"17.3.8", "2020-12-01"}}},
	partMeasure:    {{{"24.3.98", ""}, {"27.3.1", "2016-09-01"}}, {{"24.3.98", ""}, {"27.3.1", "2020-12-01"}, {"27.3.17", "2022-05-01"}}},
	partRate:       {{{"27.3.30", "2016-09-01"}, {"27.3.14", "2016-09-01"}}, {{"27.3.30", "2016-09-01"}, {"27.3.14", "2020-12-01"}, {"27.3.25", "2022-05-01"}}},
	partData:       {{{"27.3.5", "2016-09-01"}}, {{"27.3.5", "2016-09-01"}, {"27.3.16", "2019-05-01"}}},
	partCount:      {{{"27.3.3", ""}}, {{"27.3.3", ""}}},
	partSex:        {{{"27.3.6", "2016-09-01"}}, {{"27.3.6", "2016-09-01"}}},
	partEthnicity:  {{{"27.3.7", "2016-09-01"}}, {{"27.3.7", "2016-09-01"}}},
	partRace:       {{{"27.3.8", "2016-09-01"}}, {{"27.3.8", "2016-09-01"}}},
	partPayer:      {{{"27.3.9", "2016-02-01"}}, {{"27.3.9", "2016-02-01"}, {"27.3.18", "2018-05-01"}}},
}

// of writes the templateId elements of a part.
func (r Release) of(p part) []node {
	var ids []node
	for _, t := range templates[p][r] {
		ids = append(ids, el("templateId", "root", prefix+t.root, "extension", t.ext))
	}
	return ids
}

// allowed lists every template of the release as "root" and "root extension".
func (r Release) allowed() map[string]bool {
	set := map[string]bool{}
	for _, releases := range templates {
		for _, t := range releases[r] {
			set[strings.TrimSpace(prefix+t.root+" "+t.ext)] = true
		}
	}
	return set
}
