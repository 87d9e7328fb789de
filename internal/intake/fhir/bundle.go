package fhir

import (
	"strings"

	"tengram/internal/intake/fhir/scan"
)

// bundle is what the entries of one Bundle need to know of each other.
type bundle struct {
	// targets are the resources by the address (fullUrl) that stands for them.
	targets map[string]target
	// names are those of clinicians, organisations and places.
	names directory
	// medications go by key.
	medications map[string]*concept
}

// entry is one entry of a Bundle.
type entry struct {
	fullURL     string
	resource    []byte
	method, url string
	target
}

// readBundle reads the entries of a Bundle, in two passes: references may point
// forward. line is the Bundle's own line in its file; 0 makes the number of the
// entry take its place. A Bundle that breaks off gives the entries before the
// break, and the error.
func (d *decoder) readBundle(raw []byte, line int) error {
	typ, entries, broken := d.entries(raw)
	if f, ok := scan.FaultOf(broken); ok && f == scan.Trailing {
		return failure{"Bundle", broken}
	}
	if typ == "history" {
		return failure{"Bundle", refusal("is a Bundle of past versions (type history): export the present state")}
	}
	outer := d.bundle
	d.bundle = d.index(entries)
	defer func() { d.bundle = outer }()
	for i, e := range entries {
		at := line
		if at == 0 {
			at = i + 1
			d.out.lines++
		}
		d.entry(e, at)
	}
	if broken != nil {
		return failure{"Bundle", broken}
	}
	return nil
}

func (d *decoder) entry(e entry, line int) {
	switch {
	case strings.EqualFold(e.method, "DELETE"):
		t := parseReference(e.url)
		if t.typ == "" || t.id == "" {
			d.aside(line, "", "asks to delete in a form that cannot be followed", e.resource)
			return
		}
		d.out.removal(t.key)
	case e.resource == nil:
		d.out.unused("(entry without a resource)")
	default:
		if err := d.decode(e.resource, line, e.id); err != nil {
			d.failed(line, err, e.resource)
		}
	}
}

// entries splits a Bundle.
func (d *decoder) entries(raw []byte) (typ string, list []entry, err error) {
	d.s.Reset(raw)
	for d.s.OpenObject(); d.s.Next(); {
		switch string(d.s.Key()) {
		case "type":
			typ = d.word()
		case "entry":
			list = nil
			for d.s.OpenArray(); d.s.Next(); {
				if e, whole := d.split(); whole {
					list = append(list, e)
				}
			}
		}
	}
	return typ, list, d.s.End()
}

// split reads one entry; whole is false where the text broke off in it.
func (d *decoder) split() (e entry, whole bool) {
	for d.s.OpenObject(); d.s.Next(); {
		switch string(d.s.Key()) {
		case "fullUrl":
			e.fullURL = string(d.s.Text())
		case "resource":
			e.resource = nil
			if d.s.Peek() == scan.Object {
				e.resource = d.s.Raw()
			}
		case "request":
			for d.s.OpenObject(); d.s.Next(); {
				switch string(d.s.Key()) {
				case "method":
					e.method = d.word()
				case "url":
					e.url = string(d.s.Text())
				}
			}
		}
	}
	return e, d.s.Sound()
}

// index finds out what each entry is and fills in its target.
func (d *decoder) index(entries []entry) *bundle {
	b := &bundle{targets: map[string]target{}, names: directory{}, medications: map[string]*concept{}}
	for i := range entries {
		e := &entries[i]
		if e.resource == nil {
			continue
		}
		h := d.head(e.resource)
		if h.id == "" {
			h.id = parseReference(e.fullURL).id
		}
		if h.id == "" || h.typ == "" {
			continue
		}
		e.target = target{typ: h.typ, id: h.id}.keyed()
		if e.fullURL != "" {
			b.targets[e.fullURL] = e.target
		}
		b.names.add(e.target, h)
		if h.drug != nil {
			b.medications[e.key] = h.drug
		}
	}
	b.names.placeRoles()
	return b
}
