package fhir

import (
	"strconv"

	"tengram/internal/kernel/record"
	"tengram/internal/kernel/when"
)

// observation reads an Observation. Its time is effective[x], or else issued.
//
// Each component becomes a fact of its own, "Observation/17#1", with the
// component's codes and value and all else from the observation, so that a rule
// finds a code wherever the sender put it. An observation that has no value and
// no reason for that, and a component with a value, counts as having one: its
// Value is Given and empty.
func (r *resource) observation() {
	f := &r.fact
	var status string
	var issued when.Moment
	for r.s.OpenObject(); r.s.Next(); {
		switch key := string(r.s.Key()); key {
		case "status":
			status = r.word()
		case "code":
			r.concept().put(&f.Codes, &f.Text)
		case "category":
			f.Category = r.conceptList().word()
		case "bodySite":
			r.concept().put(&f.Sites, nil)
		case "effectiveDateTime", "effectiveInstant":
			r.point(r.moment())
		case "effectivePeriod":
			f.Start, f.End = r.period()
		case "effectiveTiming":
			f.Start, f.End = r.timing()
		case "issued":
			issued = r.moment()
		case "performer":
			for r.s.OpenArray(); r.s.Next(); {
				if label := r.label(r.reference()); f.By == "" {
					f.By = label
				}
			}
		case "component":
			r.components()
		case "triggeredBy", "bodyStructure", "instantiatesCanonical", "instantiatesReference":
			r.otherVersion("R5")
		default:
			if !r.value(key, &f.Value) {
				r.common()
			}
		}
	}
	if !r.whole() {
		return
	}
	r.status(status, observationStatus)
	if f.Start.IsZero() && f.End.IsZero() {
		r.point(issued)
	}
	settle(&f.Value)
	for i, part := range r.parts {
		if part.Value.Given && f.Value.IsZero() {
			f.Value.Given = true
		}
		whole := *f
		whole.Kind, whole.Origin = record.Observation, r.origin()
		whole.Key = "Observation/" + r.id + "#" + strconv.Itoa(i+1)
		whole.Codes, whole.Text, whole.Value = part.Codes, part.Text, part.Value
		r.parts[i] = whole
	}
	r.handOver(record.Observation)
}

// components reads codes, text and value of each component.
func (r *resource) components() {
	r.parts = r.parts[:0]
	for r.s.OpenArray(); r.s.Next(); {
		var p record.Fact
		for r.s.OpenObject(); r.s.Next(); {
			switch key := string(r.s.Key()); key {
			case "code":
				r.concept().put(&p.Codes, &p.Text)
			case "modifierExtension":
				r.modifier()
			default:
				r.value(key, &p.Value)
			}
		}
		settle(&p.Value)
		r.parts = append(r.parts, p)
	}
}

// timing returns the first and the last of the events of a Timing, in time.
func (r *resource) timing() (first, last when.Moment) {
	for r.s.OpenObject(); r.s.Next(); {
		if string(r.s.Key()) != "event" {
			continue
		}
		for r.s.OpenArray(); r.s.Next(); {
			m := r.moment()
			if first.IsZero() || !m.IsZero() && m.Compare(first) < 0 {
				first = m
			}
			if m.Compare(last) > 0 {
				last = m
			}
		}
	}
	return first, last
}
