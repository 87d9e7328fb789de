package qrda

import (
	"slices"
	"strconv"
)

// data is one population: its count, its supplemental data, its id.
func (r *Report) data(p population) node {
	o := el("observation", "classCode", "OBS", "moodCode", "EVN").with(r.Release.of(partData)...).with(
		el("code", "code", "ASSERTION", "codeSystem", actCodeOID),
		el("statusCode", "code", "completed"),
		el("value", "xsi:type", "CD", "code", p.code, "codeSystem", actCodeOID),
		r.count(p.count(r.Counts)),
	)
	for _, c := range r.supplemental(p.code) {
		o = o.with(r.group(c))
	}
	return o.with(el("reference", "typeCode", "REFR").with(
		el("externalObservation", "classCode", "OBS", "moodCode", "EVN").with(el("id", "root", p.id(r.Measure.Published))),
	))
}

func (r *Report) count(n int) node {
	return el("entryRelationship", "typeCode", "SUBJ", "inversionInd", "true").with(
		el("observation", "classCode", "OBS", "moodCode", "EVN").with(r.Release.of(partCount)...).with(
			el("code", "code", "MSRAGG", "codeSystem", actCodeOID),
			el("value", "xsi:type", "INT", "value", strconv.Itoa(n)),
			el("methodCode", "code", "COUNT", "codeSystem", methodOID),
		),
	)
}

// supplemental lists the groups of a population to write. A population of
// nobody still has each element once, with nobody of no known group, because
// CMS wants every element in every population.
func (r *Report) supplemental(code string) []Cell {
	if r.Breakdown == nil {
		return nil
	}
	var list []Cell
	put := func(c Cell) {
		if c.Element == Payer && r.Release == CMS2025 {
			c.Code = cmsPayer(c.Code)
		}
		i := slices.IndexFunc(list, func(x Cell) bool { return x.Element == c.Element && x.Code == c.Code })
		if i >= 0 {
			list[i].Count += c.Count
			return
		}
		list = append(list, c)
	}
	cells := r.Breakdown.Cells()
	for e := range elementCount {
		found := false
		for _, c := range cells {
			if c.Population == code && c.Element == e {
				found = true
				put(c)
			}
		}
		if !found {
			put(Cell{code, e, unknownFlavor, 0})
		}
	}
	return list
}

// cmsPayer groups a source of payment as CMS does: A Medicare, B Medicaid, C
// private, D other. Grouping by the first digit is our proposal (measures
// reference, section 6.2, not verified).
func cmsPayer(code string) string {
	switch code {
	case "1":
		return "A"
	case "2":
		return "B"
	case "5", "6":
		return "C"
	}
	return "D"
}

func (r *Report) group(c Cell) node {
	e := elements[c.Element]
	return el("entryRelationship", "typeCode", "COMP").with(
		el("observation", "classCode", "OBS", "moodCode", "EVN").with(r.Release.of(e.part)...).with(
			el("id", "root", r.id(c.Population, e.name, c.Code)),
			el("code", "code", e.code, "codeSystem", loincOID),
			el("statusCode", "code", "completed"),
			r.groupValue(c),
			r.count(c.Count),
		),
	)
}

func (r *Report) groupValue(c Cell) node {
	system := map[Element]string{Sex: genderOID, Ethnicity: raceOID, Race: raceOID, Payer: paymentOID}[c.Element]
	switch {
	case c.Element == Payer && r.Release == CMS2025:
		return el("value", "xsi:type", "CD", "nullFlavor", otherFlavor).with(el("translation", "code", c.Code, "codeSystem", cmsClinical))
	case c.Code == unknownFlavor || c.Code == otherFlavor:
		return el("value", "xsi:type", "CD", "nullFlavor", c.Code)
	}
	return el("value", "xsi:type", "CD", "code", c.Code, "codeSystem", system)
}
