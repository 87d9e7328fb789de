package fhir

import "tengram/internal/kernel/record"

// handOver completes the fact and gives it, with its parts, to the person it is
// about. A fact about a group, a device or a place is counted as not used.
func (r *resource) handOver(kind record.Kind) {
	r.handTo(kind, []reference{r.subject})
}

// handTo is handOver for several people.
func (r *resource) handTo(kind record.Kind, people []reference) {
	var ids []string
	for _, ref := range people {
		id, why := r.person(ref)
		switch {
		case why != "":
			r.aside(r.line, r.name(), why, r.raw)
			return
		case id != "":
			ids = append(ids, id)
		}
	}
	if len(ids) == 0 {
		r.out.unused(r.typ + " (not about a patient)")
		return
	}
	r.fact.Kind, r.fact.Key, r.fact.Origin = kind, r.typ+"/"+r.id, r.origin()
	r.out.taken[r.typ]++
	for _, id := range ids {
		r.out.fact(id, r.fact)
		for _, part := range r.parts {
			r.out.fact(id, part)
		}
	}
	r.report()
}
