package qrda

import (
	"fmt"
	"strings"
	"time"

	"tengram/internal/kernel/record"
	"tengram/internal/kernel/term"
	"tengram/internal/kernel/when"
)

// data is the section with what the answer rests on.
func (p *Patient) data() node {
	section := el("section").with(tpl("17.2.4", ""), tpl("24.2.1", "2021-08-01"),
		el("code", "code", "55188-7", "codeSystem", loincOID), el("title").saying("Patient Data"))
	var entries []node
	for i := range p.Record.Facts {
		if f := &p.Record.Facts[i]; p.named(f.Key) {
			entries = append(entries, p.entry(f)...)
		}
	}
	for i := range p.Record.Exams {
		if x := &p.Record.Exams[i]; p.named("exam." + x.Exam.ID) {
			entries = append(entries, p.signed(x)...)
		}
	}
	entries = append(entries, p.payer())
	text := "Nothing in the record counts for the measure."
	if n := len(entries) - 1; n > 0 {
		text = fmt.Sprintf("What the answer rests on: %d entries.", n)
	}
	return section.with(el("text").saying(text)).with(entries...)
}

func (p *Patient) named(fact string) bool {
	for _, b := range p.Result.Because {
		if b.Fact == fact {
			return true
		}
	}
	return false
}

// entry writes one fact by the template of its kind.
func (p *Patient) entry(f *record.Fact) []node {
	id := el("id", "root", p.id("fact", p.Pseudonym.Of("fact", f.Key)))
	done := el("statusCode", "code", "completed")
	switch f.Kind {
	case record.Encounter:
		return entryOf(el("encounter", "classCode", "ENC", "moodCode", "EVN").with(
			tpl("22.4.49", "2015-08-01"), tpl("24.3.23", "2021-08-01"), id, codeOf("code", f.Codes), done, span(f.Start, f.End)))
	case record.Condition:
		status := "active"
		if !f.End.IsZero() {
			status = "completed"
		}
		diagnosis := el("observation", "classCode", "OBS", "moodCode", "EVN").with(
			tpl("22.4.4", "2015-08-01"), tpl("24.3.135", "2021-08-01"), id,
			el("code", "code", "29308-4", "codeSystem", loincOID).with(el("translation", "code", "282291009", "codeSystem", snomedOID)),
			done, span(f.Start, f.End), typed(codeOf("value", f.Codes), "CD")).with(sites(f)...)
		return entryOf(el("act", "classCode", "ACT", "moodCode", "EVN").with(
			tpl("22.4.3", "2015-08-01"), tpl("24.3.137", "2021-08-01"), el("id", "root", p.id("concern", p.Pseudonym.Of("fact", f.Key))),
			el("code", "code", "CONC", "codeSystem", "2.16.840.1.113883.5.6"), el("statusCode", "code", status),
			el("effectiveTime").with(point("low", f.Start)), el("entryRelationship", "typeCode", "SUBJ").with(diagnosis)))
	case record.Procedure:
		return entryOf(el("procedure", "classCode", "PROC", "moodCode", "EVN").with(
			tpl("22.4.14", "2014-06-09"), tpl("24.3.64", "2021-08-01"), id, codeOf("code", f.Codes), done, span(f.Start, f.End)).with(sites(f)...))
	case record.Order:
		return entryOf(el("act", "classCode", "ACT", "moodCode", "RQO").with(
			tpl("22.4.39", "2014-06-09"), tpl("24.3.31", "2021-08-01"), id, codeOf("code", f.Codes), el("statusCode", "code", "active"),
			el("author").with(tpl("24.3.155", "2019-12-01"), point("time", f.Start), el("assignedAuthor").with(el("id", "nullFlavor", "NA")))))
	case record.Observation:
		value := p.value(f.Value)
		return entryOf(p.assessment(id, codeOf("code", f.Codes), f.Start, value, p.Pseudonym.Of("fact", f.Key)))
	}
	return nil
}

func entryOf(n node) []node { return []node{el("entry", "typeCode", "DRIV").with(n)} }

// assessment is an assessment performed, with its result.
func (p *Patient) assessment(id, code node, at when.Moment, value node, key string) node {
	return el("observation", "classCode", "OBS", "moodCode", "EVN").with(
		tpl("24.3.144", "2021-08-01"), id, code, el("statusCode", "code", "completed"), point("effectiveTime", at),
		el("entryRelationship", "typeCode", "REFR").with(el("observation", "classCode", "OBS", "moodCode", "EVN").with(
			tpl("22.4.2", "2015-08-01"), tpl("24.3.87", "2019-12-01"), el("id", "root", p.id("result", key)),
			code, el("statusCode", "code", "completed"), point("effectiveTime", at), value)))
}

// value is the result of an observation.
func (p *Patient) value(v record.Value) node {
	switch {
	case len(v.Codes) > 0:
		return typed(codeOf("value", v.Codes), "CD")
	case v.Number != "" && v.Comparator == "":
		return el("value", "xsi:type", "PQ", "value", v.Number, "unit", v.Unit)
	case v.Number != "":
		return el("value", "xsi:type", "ST").saying(v.Comparator + v.Number + " " + v.Unit)
	case v.Text != "" && p.Names: // a free text may hold a name
		return el("value", "xsi:type", "ST").saying(v.Text)
	}
	return el("value", "xsi:type", "CD", "nullFlavor", "OTH")
}

// signed writes the parts that an exam signed here truly did, as assessments
// with the result that something was found.
func (p *Patient) signed(x *record.SignedExam) []node {
	done, key := x.Exam.Done(), p.Pseudonym.Of("exam", x.Exam.ID)
	var entries []node
	for _, part := range []struct {
		code string
		done bool
	}{{"401191002", done.Visual}, {"134388005", done.Filament}, {"91161007", done.Pulses}} {
		if !part.done {
			continue
		}
		entries = append(entries, entryOf(p.assessment(
			el("id", "root", p.id("exam", key, part.code)), el("code", "code", part.code, "codeSystem", snomedOID), x.Exam.At,
			el("value", "xsi:type", "ST").saying("done on every foot that is there"), key+part.code))...)
	}
	return entries
}

func (p *Patient) payer() node {
	code := DemographicsOf(p.Record, p.Result.Period)[Payer]
	value := el("value", "xsi:type", "CD", "nullFlavor", "UNK")
	if code != unknownFlavor {
		value = el("value", "xsi:type", "CD", "code", code, "codeSystem", paymentOID)
	}
	return el("entry", "typeCode", "DRIV").with(el("observation", "classCode", "OBS", "moodCode", "EVN").with(
		tpl("24.3.55", ""), el("id", "root", p.id("payer")), el("code", "code", "48768-6", "codeSystem", loincOID),
		el("statusCode", "code", "completed"), p.period(), value))
}

// oids are the object identifiers of the code systems that facts come in (code
// systems table).
var oids = map[term.System]string{
	term.SNOMED: snomedOID, term.ICD10CM: "2.16.840.1.113883.6.90", term.ICD9CM: "2.16.840.1.113883.6.103", term.LOINC: loincOID,
	term.CPT: "2.16.840.1.113883.6.12", term.HCPCS: "2.16.840.1.113883.6.285",
}

// codeOf writes codings: the first in a known system as the code, further ones
// as its translations.
func codeOf(name string, codes []term.Code) node {
	var n node
	found := false
	for _, c := range codes {
		oid := oids[c.System]
		switch {
		case oid == "":
		case !found:
			n, found = el(name, "code", c.Code, "codeSystem", oid), true
		default:
			n = n.with(el("translation", "code", c.Code, "codeSystem", oid))
		}
	}
	if !found {
		return el(name, "nullFlavor", "OTH")
	}
	return n
}

// typed puts the type of a value in front of its other attributes.
func typed(n node, typ string) node {
	n.attrs = append([][2]string{{"xsi:type", typ}}, n.attrs...)
	return n
}

func sites(f *record.Fact) []node {
	var list []node
	for _, s := range f.Sites {
		if oid := oids[s.System]; oid != "" {
			list = append(list, el("targetSiteCode", "code", s.Code, "codeSystem", oid))
		}
	}
	return list
}

func span(start, end when.Moment) node {
	return el("effectiveTime").with(point("low", start), point("high", end))
}

func point(name string, m when.Moment) node {
	if t := timestamp(m); t != "" {
		return el(name, "value", t)
	}
	return el(name, "nullFlavor", "UNK")
}

// timestamp writes a moment in its own precision: 2018, 201805, 20180510, or to
// the second with its offset. A time without an offset is written as its day, a
// moment between two others not at all.
func timestamp(m when.Moment) string {
	switch m.Precision() {
	case when.None, when.Span:
		return ""
	case when.Instant:
		ms, _ := m.UnixMilli()
		t := time.UnixMilli(ms).UTC()
		text := m.String()
		if len(text) > 6 && strings.ContainsAny(text[len(text)-6:len(text)-5], "+-") {
			if zone, err := time.Parse("-07:00", text[len(text)-6:]); err == nil {
				_, offset := zone.Zone()
				t = t.In(time.FixedZone("", offset))
			}
		}
		return t.Format("20060102150405-0700")
	}
	low, _ := m.Days(nil)
	digits := strings.ReplaceAll(low.String(), "-", "")
	switch m.Precision() {
	case when.Year:
		return digits[:4]
	case when.Month:
		return digits[:6]
	}
	return digits
}
