package fhir

import (
	"slices"
	"strconv"
	"strings"

	"tengram/internal/kernel/record"
	"tengram/internal/kernel/term"
	"tengram/internal/kernel/when"
)

// word reads a code or another short string that comes again and again.
func (d *decoder) word() string {
	b := d.s.Text()
	if b == nil {
		return ""
	}
	return d.names.of(b)
}

// concept reads a CodeableConcept; nil is none.
func (d *decoder) concept() *concept {
	mark := d.s.Mark()
	raw := d.s.Raw()
	if c := d.names.concept(raw); c != nil {
		return c
	}
	d.s.Rewind(mark)
	var c concept
	var display string
	for d.s.OpenObject(); d.s.Next(); {
		switch string(d.s.Key()) {
		case "coding":
			c.codes, display = nil, ""
			for d.s.OpenArray(); d.s.Next(); {
				code, shown := d.coding()
				if code != (term.Code{}) && !slices.Contains(c.codes, code) {
					c.codes = append(c.codes, code)
				}
				if display == "" {
					display = shown
				}
			}
		case "text":
			c.text = string(d.s.Text())
		}
	}
	if c.text == "" {
		c.text = display
	}
	c.codes = slices.Clip(c.codes)
	if raw == nil || c.codes == nil && c.text == "" {
		return nil
	}
	d.names.keep(raw, &c)
	return &c
}

// coding reads a Coding. Without a code it is none, whatever it shows.
func (d *decoder) coding() (code term.Code, display string) {
	var system, value []byte
	for d.s.OpenObject(); d.s.Next(); {
		switch string(d.s.Key()) {
		case "system":
			system = d.s.Text()
		case "code":
			value = d.s.Text()
		case "display":
			display = d.word()
		}
	}
	if strings.TrimSpace(string(value)) == "" {
		return term.Code{}, display
	}
	return term.New(string(system), string(value)), display
}

// conceptList reads an array of CodeableConcepts as one: all codings, and the
// first text.
func (d *decoder) conceptList() *concept {
	var all *concept
	for d.s.OpenArray(); d.s.Next(); {
		c := d.concept()
		switch {
		case c == nil:
		case all == nil:
			all = c
		default:
			both := &concept{codes: slices.Clone(all.codes), text: all.text}
			for _, k := range c.codes {
				if !slices.Contains(both.codes, k) {
					both.codes = append(both.codes, k)
				}
			}
			if both.text == "" {
				both.text = c.text
			}
			all = both
		}
	}
	return all
}

// put sets codes and text from a concept, which may be nil.
func (c *concept) put(codes *[]term.Code, text *string) {
	*codes = nil
	if c != nil {
		*codes = c.codes
	}
	if text != nil {
		*text = ""
		if c != nil {
			*text = c.text
		}
	}
}

// moment reads a date, dateTime or instant. One that is none is a problem of
// the resource, which goes in without it.
func (r *resource) moment() when.Moment {
	key := string(r.s.Key())
	b := r.s.Text()
	if b == nil {
		return when.Moment{}
	}
	m, ok := r.names.moment(b)
	if !ok {
		r.problem(key + " is no date of the calendar written YYYY, YYYY-MM, YYYY-MM-DD or with a time and its offset, and is left out")
	}
	return m
}

// period reads a Period.
func (r *resource) period() (start, end when.Moment) {
	for r.s.OpenObject(); r.s.Next(); {
		switch string(r.s.Key()) {
		case "start":
			start = r.moment()
		case "end":
			end = r.moment()
		}
	}
	return start, end
}

// sometime reads a Period in which one point of time lies, and its two ends. Of
// a period with one end the point is taken to be that end.
func (r *resource) sometime() (m, low, high when.Moment) {
	low, high = r.period()
	return when.Between(low, high), low, high
}

// quantity is a Quantity, or an Age.
type quantity struct{ number, comparator, unit string }

func (d *decoder) quantity() (q quantity) {
	code := ""
	for d.s.OpenObject(); d.s.Next(); {
		switch string(d.s.Key()) {
		case "value":
			q.number = d.names.of(d.s.Number())
		case "comparator":
			q.comparator = d.word()
		case "unit":
			q.unit = d.word()
		case "code":
			code = d.word()
		}
	}
	if code != "" {
		q.unit = code
	}
	return q
}

// span reads a Range.
func (d *decoder) span() (low, high quantity) {
	for d.s.OpenObject(); d.s.Next(); {
		switch string(d.s.Key()) {
		case "low":
			low = d.quantity()
		case "high":
			high = d.quantity()
		}
	}
	return low, high
}

// age reads an Age, ageRange a Range of ages. An age that cannot be used (no
// number, a unit that is none, "less than") is left out.
func (r *resource) age() record.Ages {
	key := string(r.s.Key())
	q := r.quantity()
	return r.ages(key, q, q)
}

func (r *resource) ageRange() record.Ages {
	key := string(r.s.Key())
	low, high := r.span()
	if low.number == "" {
		low = high
	}
	if high.number == "" {
		high = low
	}
	return r.ages(key, low, high)
}

func (r *resource) ages(key string, low, high quantity) record.Ages {
	if low == (quantity{}) && high == (quantity{}) {
		return record.Ages{}
	}
	unit := ageUnit(low.unit)
	a, okLow := wholeUnits(low)
	b, okHigh := wholeUnits(high)
	if !okLow || !okHigh || b < a || unit == "" || ageUnit(high.unit) != unit {
		r.problem(key + " is no age in years, months, weeks or days, and is left out")
		return record.Ages{}
	}
	return record.Ages{Low: a, High: b, Unit: unit}
}

// ageUnit returns the UCUM unit, also for the words that stand in its place.
func ageUnit(unit string) string {
	switch unit {
	case "a", "yr", "year", "years":
		return "a"
	case "mo", "month", "months":
		return "mo"
	case "wk", "week", "weeks":
		return "wk"
	case "d", "day", "days":
		return "d"
	}
	return ""
}

// wholeUnits drops a fraction: 45.5 years is some time at 45, which is wider
// and never wrong.
func wholeUnits(q quantity) (n int, ok bool) {
	v, err := strconv.ParseFloat(q.number, 64)
	if err != nil || v < 0 || v > 60_000 || q.comparator != "" {
		return 0, false
	}
	return int(v), true
}
