package fhir

import (
	"fmt"
	"strings"
)

// The data types of FHIR R4, as far as they are written here. Field order is
// the order in which R4 lists them, so that a reader finds them there.

type coding struct {
	System  string `json:"system,omitempty"`
	Version string `json:"version,omitempty"`
	Code    string `json:"code,omitempty"`
	Display string `json:"display,omitempty"`
}

type concept struct {
	Coding []coding `json:"coding,omitempty"`
	Text   string   `json:"text,omitempty"`
}

type reference struct {
	Reference  string      `json:"reference,omitempty"`
	Type       string      `json:"type,omitempty"`
	Identifier *identifier `json:"identifier,omitempty"`
	Display    string      `json:"display,omitempty"`
}

type identifier struct {
	Use    string   `json:"use,omitempty"`
	Type   *concept `json:"type,omitempty"`
	System string   `json:"system,omitempty"`
	Value  string   `json:"value,omitempty"`
}

type period struct {
	Start string `json:"start,omitempty"`
	End   string `json:"end,omitempty"`
}

type quantity struct {
	Extension  []extension `json:"extension,omitempty"`
	Value      decimal     `json:"value,omitempty"`
	Comparator string      `json:"comparator,omitempty"`
	Unit       string      `json:"unit,omitempty"`
	System     string      `json:"system,omitempty"`
	Code       string      `json:"code,omitempty"`
}

type extension struct {
	URL                  string    `json:"url"`
	ValueCode            string    `json:"valueCode,omitempty"`
	ValueString          string    `json:"valueString,omitempty"`
	ValueCoding          *coding   `json:"valueCoding,omitempty"`
	ValueCodeableConcept *concept  `json:"valueCodeableConcept,omitempty"`
	Extension            subLister `json:"extension,omitempty"`
}

// subLister are the parts of an extension that has parts.
type subLister []extension

type meta struct {
	VersionID   string   `json:"versionId,omitempty"`
	LastUpdated string   `json:"lastUpdated,omitempty"`
	Profile     []string `json:"profile,omitempty"`
}

type annotation struct {
	Text string `json:"text"`
}

// decimal is a number written as it is, without going through binary floating
// point: 0.90 stays 0.90.
type decimal string

// MarshalJSON writes the digits.
func (d decimal) MarshalJSON() ([]byte, error) {
	if d == "" || strings.Trim(string(d), "-.0123456789") != "" {
		return nil, fmt.Errorf("%q is not a decimal number", string(d))
	}
	return []byte(d), nil
}

// hundredths writes 79 as 0.79.
func hundredths(v int) decimal {
	return decimal(fmt.Sprintf("%d.%02d", v/100, v%100))
}

// ucum is the address of the units of measure (UCUM).
const ucum = "http://unitsofmeasure.org"

// measured is a quantity with its UCUM unit.
func measured(value decimal, unit string) *quantity {
	return &quantity{Value: value, Unit: unit, System: ucum, Code: unit}
}
