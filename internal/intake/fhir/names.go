package fhir

import (
	"tengram/internal/kernel/term"
	"tengram/internal/kernel/when"
)

// names keeps what is read again and again: words, concepts and moments. The
// scanner lends bytes; a look-up by bytes allocates nothing. A cache that is
// full starts anew, so that memory stays bounded whatever the input.
type names struct {
	words    map[string]string
	concepts map[string]*concept
	moments  map[string]when.Moment
	targets  map[string]target
}

// full is the size at which a cache starts anew.
const full = 1 << 14

// concept is a CodeableConcept.
type concept struct {
	codes []term.Code
	text  string
}

func newNames() names {
	return names{map[string]string{}, map[string]*concept{}, map[string]when.Moment{}, map[string]target{}}
}

// of returns the bytes as a string.
func (n *names) of(b []byte) string {
	if s, ok := n.words[string(b)]; ok {
		return s
	}
	if len(n.words) >= full {
		clear(n.words)
	}
	s := string(b)
	n.words[s] = s
	return s
}

// moment parses a FHIR date, dateTime or instant; ok is false for none.
func (n *names) moment(b []byte) (m when.Moment, ok bool) {
	if m, ok := n.moments[string(b)]; ok {
		return m, !m.IsZero()
	}
	if len(n.moments) >= full {
		clear(n.moments)
	}
	m, err := when.ParseMoment(string(b))
	if err != nil || m.Precision() == when.Span {
		m = when.Moment{}
	}
	n.moments[string(b)] = m
	return m, !m.IsZero()
}

// target parses a reference.
func (n *names) target(b []byte) target {
	if t, ok := n.targets[string(b)]; ok {
		return t
	}
	if len(n.targets) >= full {
		clear(n.targets)
	}
	t := parseReference(string(b))
	n.targets[string(b)] = t
	return t
}

func (n *names) concept(raw []byte) *concept { return n.concepts[string(raw)] }

func (n *names) keep(raw []byte, c *concept) {
	if len(n.concepts) >= full {
		clear(n.concepts)
	}
	n.concepts[string(raw)] = c
}

// has reports whether one of the codings has that bare code.
func (c *concept) has(code string) bool {
	if c == nil {
		return false
	}
	for _, k := range c.codes {
		if k.Value() == code {
			return true
		}
	}
	return false
}

// word returns the bare code of the first coding, or the text.
func (c *concept) word() string {
	switch {
	case c == nil:
		return ""
	case len(c.codes) > 0:
		return c.codes[0].Value()
	}
	return c.text
}
