package fhir

import (
	"strings"

	"tengram/internal/kernel/known"
	"tengram/internal/kernel/record"
	"tengram/internal/kernel/term"
)

// Addresses of the extensions for race and ethnicity (US Core).
const (
	raceURL      = "http://hl7.org/fhir/us/core/StructureDefinition/us-core-race"
	ethnicityURL = "http://hl7.org/fhir/us/core/StructureDefinition/us-core-ethnicity"
)

// patient reads a Patient. One without a birth date or a gender is taken in,
// and named as a problem.
func (r *resource) patient() {
	var p record.Person
	var dead known.Tri
	var organisation string
	for r.s.OpenObject(); r.s.Next(); {
		switch string(r.s.Key()) {
		case "identifier":
			p.Identifiers = r.identifiers()
		case "name":
			p.Family, p.Given = r.humanNames()
		case "telecom":
			p.Phone = r.phone()
		case "birthDate":
			p.Birth = r.moment()
		case "gender":
			p.Sex = r.word()
		case "deceasedBoolean":
			dead = known.Unknown
			if is, given := r.s.Bool(); given {
				dead = known.Of(is)
			}
		case "deceasedDateTime":
			mark := r.s.Mark()
			p.DiedAt = r.moment()
			r.s.Rewind(mark)
			if r.s.Text() != nil {
				dead = known.Yes
			}
		case "active":
			is, given := r.s.Bool()
			p.Inactive = given && !is
		case "link":
			p.ReplacedBy, p.Replaces = r.links()
		case "extension":
			p.Race, p.Ethnicity = r.origins()
		case "communication":
			p.Language = r.language()
		case "generalPractitioner":
			p.Clinician, organisation = r.practitioners()
		case "managingOrganization":
			p.Site = r.label(r.reference())
		case "animal":
			r.otherVersion("STU3")
		default:
			r.common()
		}
	}
	if !r.whole() {
		return
	}
	p.ID, p.Deceased, p.Origin, p.Version = r.id, dead, r.origin(), r.fact.Version
	if p.Site == "" {
		p.Site = organisation
	}
	if p.Birth.IsZero() {
		r.problem("there is no birth date, so that age and measures stay unknown")
	}
	if p.Sex == "" {
		r.problem("there is no gender")
	}
	if p.ReplacedBy == p.ID {
		p.ReplacedBy = ""
		r.problem("it is said to be replaced by itself")
	}
	r.out.taken["Patient"]++
	r.out.person(p)
	r.report()
}

// identifiers reads "system|value" of each identifier. Numbers of the state
// that foot care has no use for (social security, driving licence, passport:
// codes SS, DL, PPN of HL7 table 0203) are not taken in.
func (r *resource) identifiers() []string {
	var all []string
	for r.s.OpenArray(); r.s.Next(); {
		var system, value string
		var typ *concept
		for r.s.OpenObject(); r.s.Next(); {
			switch string(r.s.Key()) {
			case "system":
				system = r.word()
			case "value":
				value = string(r.s.Text())
			case "type":
				typ = r.concept()
			}
		}
		state := typ.has("SS") || typ.has("DL") || typ.has("PPN") || system == "http://hl7.org/fhir/sid/us-ssn"
		if value != "" && !state {
			all = append(all, system+"|"+value)
		}
	}
	return all
}

// humanNames returns the name to call the person by.
func (d *decoder) humanNames() (family, given string) {
	best := len(nameUses) + 1
	for d.s.OpenArray(); d.s.Next(); {
		var use, text, last string
		var first []string
		for d.s.OpenObject(); d.s.Next(); {
			switch string(d.s.Key()) {
			case "use":
				use = d.word()
			case "text":
				text = string(d.s.Text())
			case "family":
				last = string(d.s.Text())
			case "given":
				first = nil
				for d.s.OpenArray(); d.s.Next(); {
					if b := d.s.Text(); b != nil {
						first = append(first, string(b))
					}
				}
			}
		}
		if last == "" && len(first) == 0 {
			last = text
		}
		if rank := nameRank(use); rank < best && (last != "" || len(first) > 0) {
			best, family, given = rank, last, strings.Join(first, " ")
		}
	}
	return family, given
}

// nameUses are the uses of a name, best first; no use comes behind "usual".
var nameUses = []string{"official", "usual", "", "nickname", "temp", "anonymous", "maiden", "old"}

func nameRank(use string) int {
	for i, u := range nameUses {
		if u == use {
			return i
		}
	}
	return len(nameUses)
}

// phone returns the telephone number to call: the one of best rank, then a
// mobile before a home number before others.
func (r *resource) phone() string {
	number, best := "", 0
	for r.s.OpenArray(); r.s.Next(); {
		var system, use, value string
		rank := 100
		for r.s.OpenObject(); r.s.Next(); {
			switch string(r.s.Key()) {
			case "system":
				system = r.word()
			case "use":
				use = r.word()
			case "value":
				value = string(r.s.Text())
			case "rank":
				if q := (quantity{number: string(r.s.Number())}); q.number != "" {
					if n, ok := wholeUnits(q); ok {
						rank = min(n, 100)
					}
				}
			}
		}
		place := rank * 10
		switch use {
		case "mobile":
		case "home":
			place++
		case "old":
			continue
		default:
			place += 2
		}
		if (system == "phone" || system == "sms") && value != "" && (number == "" || place < best) {
			number, best = value, place
		}
	}
	return number
}

// links returns who replaces this person and whom this person replaces.
func (r *resource) links() (by string, replaces []string) {
	for r.s.OpenArray(); r.s.Next(); {
		var other reference
		var typ string
		for r.s.OpenObject(); r.s.Next(); {
			switch string(r.s.Key()) {
			case "other":
				other = r.reference()
			case "type":
				typ = r.word()
			case "modifierExtension":
				r.modifier()
			}
		}
		if other.id == "" || other.typ != "" && other.typ != "Patient" {
			continue
		}
		switch typ {
		case "replaced-by", "replace": // "replace" is its name before FHIR R4
			by = other.id
		case "replaces":
			replaces = append(replaces, other.id)
		}
	}
	return by, replaces
}

// origins returns race and ethnicity: of several, the first.
func (r *resource) origins() (race, ethnicity term.Code) {
	for r.s.OpenArray(); r.s.Next(); {
		var address string
		var category term.Code
		for r.s.OpenObject(); r.s.Next(); {
			switch string(r.s.Key()) {
			case "url":
				address = r.word()
			case "extension":
				category = r.category()
			}
		}
		switch {
		case address == raceURL && race == (term.Code{}):
			race = category
		case address == ethnicityURL && ethnicity == (term.Code{}):
			ethnicity = category
		}
	}
	return race, ethnicity
}

// category returns the first coding of the part "ombCategory".
func (r *resource) category() (code term.Code) {
	for r.s.OpenArray(); r.s.Next(); {
		var part string
		var value term.Code
		for r.s.OpenObject(); r.s.Next(); {
			switch string(r.s.Key()) {
			case "url":
				part = r.word()
			case "valueCoding":
				value, _ = r.coding()
			}
		}
		if part == "ombCategory" && code == (term.Code{}) {
			code = value
		}
	}
	return code
}

// language returns the code of the preferred language, or else of the first.
func (r *resource) language() string {
	language, sure := "", false
	for r.s.OpenArray(); r.s.Next(); {
		var c *concept
		preferred := false
		for r.s.OpenObject(); r.s.Next(); {
			switch string(r.s.Key()) {
			case "language":
				c = r.concept()
			case "preferred":
				preferred, _ = r.s.Bool()
			}
		}
		if w := c.word(); w != "" && (language == "" || preferred && !sure) {
			language, sure = w, preferred
		}
	}
	return language
}

// practitioners returns the first clinician and the first organisation among
// the general practitioners.
func (r *resource) practitioners() (clinician, organisation string) {
	for r.s.OpenArray(); r.s.Next(); {
		ref := r.reference()
		switch {
		case ref.typ == "Organization" && organisation == "":
			organisation = r.label(ref)
		case ref.typ != "Organization" && clinician == "":
			clinician = r.label(ref)
		}
	}
	return clinician, organisation
}
