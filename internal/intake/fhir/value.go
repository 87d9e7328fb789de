package fhir

import (
	"strconv"

	"tengram/internal/kernel/record"
	"tengram/internal/kernel/when"
)

// value reads a member of value[x], or dataAbsentReason, and reports whether
// key is one. A value that says nothing (a quantity without a number, an empty
// text) is none.
func (r *resource) value(key string, v *record.Value) bool {
	given := func(is bool) { v.Given = is }
	switch key {
	case "valueQuantity":
		q := r.quantity()
		v.Number, v.Comparator, v.Unit = q.number, q.comparator, q.unit
		given(q.number != "")
	case "valueCodeableConcept":
		c := r.concept()
		c.put(&v.Codes, &v.Text)
		given(c != nil)
	case "valueString", "valueTime":
		v.Text = string(r.s.Text())
		given(v.Text != "")
	case "valueBoolean":
		is, known := r.s.Bool()
		v.Text = ""
		if known {
			v.Text = strconv.FormatBool(is)
		}
		given(known)
	case "valueInteger":
		v.Number = r.names.of(r.s.Number())
		given(v.Number != "")
	case "valueDateTime":
		m := r.moment()
		v.Text = m.String()
		given(!m.IsZero())
	case "valuePeriod":
		m := when.Between(r.period())
		v.Text = m.String()
		given(!m.IsZero())
	case "valueRange":
		low, high := r.span()
		v.Text = between(low.text(), high.text(), " to ")
		given(v.Text != "")
	case "valueRatio":
		v.Text = r.ratio()
		given(v.Text != "")
	case "valueSampledData":
		v.Text = "sampled data"
		r.s.Skip()
		given(true)
	case "dataAbsentReason":
		v.Absent = ""
		if c := r.concept(); c != nil {
			v.Absent = c.word()
		}
	default:
		return false
	}
	return true
}

// settle makes a value with a reason for its absence an absent one. What was
// sent beside the reason stays readable.
func settle(v *record.Value) {
	if v.Absent != "" {
		v.Given = false
	}
}

// ratio reads a Ratio as text.
func (d *decoder) ratio() string {
	var above, below quantity
	for d.s.OpenObject(); d.s.Next(); {
		switch string(d.s.Key()) {
		case "numerator":
			above = d.quantity()
		case "denominator":
			below = d.quantity()
		}
	}
	return between(above.text(), below.text(), " / ")
}

func (q quantity) text() string {
	if q.number == "" {
		return ""
	}
	return between(q.comparator+q.number, q.unit, " ")
}

// between puts a word between two texts, and leaves it out where one is missing.
func between(a, b, word string) string {
	if a == "" || b == "" {
		return a + b
	}
	return a + word + b
}
