package fhir

import (
	"net/url"
	"strings"

	"tengram/internal/intake/fhir/scan"
)

// reference is a Reference, resolved as far as the text at hand allows.
type reference struct {
	// given is true where anything was said at all.
	given bool
	target
	display string
}

// target is what a reference points at: an id, or else an identifier.
type target struct {
	// typ is the resource type, "" where the reference does not tell.
	typ string
	id  string
	// identifier is "system|value" for a search and for a logical reference.
	identifier string
	// contained is the local id of a contained resource.
	contained string
	// odd is a reference in none of the known forms.
	odd bool
	// key is "Type/id", the id alone where the type is not known, or a search.
	key string
}

// byIdentifier marks, in front of "system|value", a person who is only known by
// an identifier. No FHIR id holds this character.
const byIdentifier = "?identifier="

func (d *decoder) reference() (r reference) {
	var typ, identifier string
	for d.s.OpenObject(); d.s.Next(); {
		r.given = true
		switch string(d.s.Key()) {
		case "reference":
			if b := d.s.Text(); b != nil {
				r.target = d.resolve(b)
			}
		case "type":
			typ = d.word()
		case "identifier":
			if system, value := d.identifier(); value != "" {
				identifier = system + "|" + value
			}
		case "display":
			r.display = d.word()
		}
	}
	if identifier != "" && r.id == "" && r.identifier == "" && r.contained == "" {
		r.target = target{typ: r.typ, identifier: identifier}.keyed()
	}
	if r.typ == "" {
		r.typ = typ
	}
	return r
}

// identifier reads an Identifier.
func (d *decoder) identifier() (system, value string) {
	for d.s.OpenObject(); d.s.Next(); {
		switch string(d.s.Key()) {
		case "system":
			system = d.word()
		case "value":
			value = string(d.s.Text())
		}
	}
	return system, value
}

// resolve reads a reference, within its Bundle where there is one.
func (d *decoder) resolve(ref []byte) target {
	if d.bundle != nil {
		if t, ok := d.bundle.targets[string(ref)]; ok {
			return t
		}
	}
	return d.names.target(ref)
}

// parseReference reads the forms of a reference: "Type/id", the same at the end
// of an address, with or without a version, "urn:uuid:…", "#contained", and
// "Type?identifier=system|value" or "Type?_id=id".
func parseReference(ref string) target {
	ref = strings.TrimSpace(ref)
	if local, ok := strings.CutPrefix(ref, "#"); ok {
		return target{contained: local, odd: local == ""}
	}
	for _, urn := range []string{"urn:uuid:", "urn:oid:"} {
		if len(ref) > len(urn) && strings.EqualFold(ref[:len(urn)], urn) {
			return target{id: ref[len(urn):]}.keyed()
		}
	}
	if path, query, ok := strings.Cut(ref, "?"); ok {
		return parseSearch(path[strings.LastIndexByte(path, '/')+1:], query)
	}
	if i := strings.Index(ref, "/_history/"); i >= 0 {
		ref = ref[:i]
	}
	parts := strings.Split(strings.TrimSuffix(ref, "/"), "/")
	t := target{id: parts[len(parts)-1]}
	if len(parts) > 1 {
		t.typ = parts[len(parts)-2]
		t.odd = !plainWord(t.typ)
	}
	if t.odd || !usableID(t.id) {
		return target{odd: true}
	}
	return t.keyed()
}

func parseSearch(typ, query string) target {
	values, err := url.ParseQuery(query)
	if err != nil || len(values) != 1 {
		return target{typ: typ, odd: true}
	}
	if id := values.Get("_id"); usableID(id) {
		return target{typ: typ, id: id}.keyed()
	}
	if identifier := values.Get("identifier"); identifier != "" {
		return target{typ: typ, identifier: identifier}.keyed()
	}
	return target{typ: typ, odd: true}
}

// keyed fills in the key.
func (t target) keyed() target {
	switch {
	case t.id != "" && t.typ != "":
		t.key = t.typ + "/" + t.id
	case t.id != "":
		t.key = t.id
	case t.identifier != "":
		t.key = t.typ + byIdentifier + t.identifier
	}
	return t
}

// label returns what to call a clinician or a place by: the name in the same
// Bundle or export, or else the one that came with the reference, or else what
// it points at.
func (d *decoder) label(r reference) string {
	if d.bundle != nil {
		if e, ok := d.bundle.names[r.key]; ok {
			return e.name
		}
	}
	if e, ok := d.directory[r.key]; ok {
		return e.name
	}
	if r.display != "" {
		return r.display
	}
	return r.key
}

// person returns the id of the person whom a fact is about, or byIdentifier
// with an identifier. Where there is none, why says so, or is empty for a fact
// about something else than a patient.
func (r *resource) person(ref reference) (id, why string) {
	if ref.contained != "" {
		ref = r.containedSubject(ref)
	}
	switch {
	case !ref.given:
		return "", "does not say whom it is about"
	case ref.typ != "" && !isType(ref.typ):
		return "", "says whom it is about in a form that cannot be followed"
	case ref.typ != "" && ref.typ != "Patient":
		return "", ""
	case ref.id != "":
		return ref.id, ""
	case ref.identifier != "":
		return byIdentifier + ref.identifier, ""
	}
	return "", "says whom it is about in a form that cannot be followed"
}

// containedSubject resolves a reference to a contained resource. A contained
// patient has no id of its own that means anything elsewhere; an identifier
// does.
func (r *resource) containedSubject(ref reference) reference {
	out := reference{given: ref.given}
	r.eachContained(func(typ, id string) {
		if id != ref.contained {
			return
		}
		out.typ = typ
		for r.s.OpenObject(); r.s.Next(); {
			if string(r.s.Key()) != "identifier" {
				continue
			}
			for r.s.OpenArray(); r.s.Next(); {
				if system, value := r.identifier(); value != "" && out.identifier == "" {
					out.identifier = system + "|" + value
				}
			}
		}
	})
	return out
}

// eachContained goes through the contained resources; f may read each through
// the scanner.
func (r *resource) eachContained(f func(typ, id string)) {
	if r.contained == nil {
		return
	}
	outer := r.s
	r.s = &r.inner
	defer func() { r.s = outer }()
	r.s.Reset(r.contained)
	for r.s.OpenArray(); r.s.Next(); {
		mark := r.s.Mark()
		typ, id := "", ""
		if r.s.Peek() == scan.Object {
			for r.s.OpenObject(); r.s.Next(); {
				switch string(r.s.Key()) {
				case "resourceType":
					typ = string(r.s.Text())
				case "id":
					id = string(r.s.Text())
				}
			}
		}
		r.s.Rewind(mark)
		f(typ, id)
	}
}
