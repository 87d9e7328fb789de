package fhir

import (
	"bytes"
	"context"
	"strings"
	"sync"
)

// directory holds the names of clinicians, organisations and places by the key
// of a reference to them: "Practitioner/17", or a search by identifier.
type directory map[string]card

// card is one entry: a name, or for the role of a clinician who that is.
type card struct{ name, role string }

// head is what others need to know of a resource that they point at.
type head struct {
	target
	name        string
	identifiers []string
	// practitioner is whose role it is.
	practitioner reference
	drug         *concept
}

// head reads the head of a resource. It relies on the type standing first; a
// resource where it does not has no name here, and no other loss.
func (d *decoder) head(raw []byte) (h head) {
	d.s.Reset(raw)
	for d.s.OpenObject(); d.s.Next(); {
		switch string(d.s.Key()) {
		case "resourceType":
			h.typ = d.word()
		case "id":
			h.id = string(d.s.Text())
		case "name":
			switch h.typ {
			case "Practitioner":
				family, given := d.humanNames()
				h.name = strings.TrimSpace(given + " " + family)
			case "Organization", "Location":
				h.name = string(d.s.Text())
			}
		case "identifier":
			switch h.typ {
			case "Practitioner", "Organization", "Location":
				h.identifiers = nil
				for d.s.OpenArray(); d.s.Next(); {
					if system, value := d.identifier(); value != "" {
						h.identifiers = append(h.identifiers, system+"|"+value)
					}
				}
			}
		case "practitioner":
			if h.typ == "PractitionerRole" {
				h.practitioner = d.reference()
			}
		case "code":
			if h.typ == "Medication" {
				h.drug = d.concept()
			}
		}
	}
	return h
}

// add enters a resource under its target and its identifiers.
func (n directory) add(t target, h head) {
	if h.practitioner.given {
		n[t.key] = card{name: h.practitioner.display, role: h.practitioner.key}
	}
	if h.name == "" {
		return
	}
	n[t.key] = card{name: h.name}
	for _, identifier := range h.identifiers {
		n[target{typ: t.typ, identifier: identifier}.keyed().key] = card{name: h.name}
	}
}

// placeRoles gives roles the name of the clinician whose they are, now that
// everybody is known, and drops those without a name.
func (n directory) placeRoles() {
	for key, c := range n {
		if c.role == "" {
			continue
		}
		if who, ok := n[c.role]; ok && who.name != "" {
			c.name = who.name
		}
		if c.name == "" {
			delete(n, key)
			continue
		}
		n[key] = card{name: c.name}
	}
}

// readDirectory collects the names in those files of a bulk export that are
// called after the types which have them. It is a pass of its own because the
// visits that point there come earlier. What is wrong with a file is found and
// named when it is read again with all the others.
func (r *Reader) readDirectory(ctx context.Context, files []file) directory {
	names := directory{}
	var here []file
	for _, f := range files {
		if f.lines && namesPeople(f.base) {
			here = append(here, f)
		}
	}
	if len(here) == 0 {
		return names
	}
	pieces, unused := make(chan *piece, 1), make(chan *piece, 1)
	ctx, stop := context.WithCancel(ctx)
	defer stop()
	var running sync.WaitGroup
	running.Go(func() {
		defer close(pieces)
		c := cutter{ctx: ctx, work: pieces, ordered: unused, buffers: newBuffers(r.limits.piece), limits: r.limits}
		for _, f := range here {
			if !c.cut(f) {
				return
			}
		}
	})
	d := newDecoder(nil)
	for p := range pieces {
		<-unused
		for line := range bytes.Lines(p.data) {
			h := d.head(line)
			if d.s.End() == nil && h.typ != "" && h.id != "" {
				names.add(target{typ: h.typ, id: h.id}.keyed(), h)
			}
		}
	}
	running.Wait()
	names.placeRoles()
	return names
}

func namesPeople(base string) bool {
	base = strings.ToLower(base)
	for _, typ := range []string{"practitioner", "organization", "location"} {
		if strings.HasPrefix(base, typ) {
			return true
		}
	}
	return false
}
