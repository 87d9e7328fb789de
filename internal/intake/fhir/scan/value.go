package scan

import (
	"bytes"
	"math/bits"
)

// Kind is the kind of a JSON value.
type Kind byte

// The kinds of value. None is the end of the text, or what no value starts with.
const (
	None   Kind = 0
	Null   Kind = 'n'
	Bool   Kind = 't'
	Number Kind = '0'
	String Kind = '"'
	Object Kind = '{'
	Array  Kind = '['
)

// Peek returns the kind of the value that stands here, without reading it.
func (s *Scanner) Peek() Kind {
	switch c := s.begin(); c {
	case 't', 'f':
		return Bool
	case 'n', '"', '{', '[':
		return Kind(c)
	default:
		if c == '-' || '0' <= c && c <= '9' {
			return Number
		}
		return None
	}
}

// Text reads a string and returns what it says, nil for null. The bytes are
// lent until the next Reset; an empty string is not nil.
func (s *Scanner) Text() []byte {
	switch s.begin() {
	case '"':
		b := s.text()
		s.at.state = after
		return b
	case 'n':
		s.null()
		return nil
	}
	s.wrong("a string")
	return nil
}

// Number reads a number and returns it as written, nil for null.
func (s *Scanner) Number() []byte {
	c := s.begin()
	switch {
	case c == '-' || '0' <= c && c <= '9':
		start := s.at.pos
		s.number()
		if s.err != nil {
			return nil
		}
		return s.data[start:s.at.pos:s.at.pos]
	case c == 'n':
		s.null()
		return nil
	}
	s.wrong("a number")
	return nil
}

// Bool reads true or false; given is false for null.
func (s *Scanner) Bool() (is, given bool) {
	switch s.begin() {
	case 't':
		s.word("true")
		return s.err == nil, s.err == nil
	case 'f':
		s.word("false")
		return false, s.err == nil
	case 'n':
		s.null()
		return false, false
	}
	s.wrong("true or false")
	return false, false
}

// Raw reads the value whatever it is, and returns its text.
func (s *Scanner) Raw() []byte {
	s.begin()
	start := s.at.pos
	s.Skip()
	if s.err != nil {
		return nil
	}
	return s.data[start:s.at.pos:s.at.pos]
}

// Skip reads the value whatever it is.
func (s *Scanner) Skip() {
	outside := s.at.depth
	s.scalar(s.begin())
	for s.err == nil && s.at.depth > outside {
		s.inside()
	}
}

// inside takes one step in a container that is being skipped: its end, or one
// member or element with the comma before it.
func (s *Scanner) inside() {
	c := s.space()
	array := s.at.arrays&1 != 0
	if c == ']' && array || c == '}' && !array {
		s.at.pos++
		s.at.depth--
		s.at.arrays >>= 1
		s.at.state = after
		return
	}
	if s.at.state == after {
		if c != ',' {
			s.unexpected("a comma or the end of the object or array is missing")
			return
		}
		s.at.pos++
		c = s.space()
	}
	if !array {
		if c != '"' {
			s.unexpected("a name in quotes is missing")
			return
		}
		s.pass()
		if s.err != nil {
			return
		}
		if s.space() != ':' {
			s.unexpected("a colon is missing behind a name")
			return
		}
		s.at.pos++
		c = s.space()
	}
	s.scalar(c)
}

// scalar passes over a value that starts with c, or opens it.
func (s *Scanner) scalar(c byte) {
	switch c {
	case '"':
		s.pass()
	case '{', '[':
		s.push(c)
		return
	case 't':
		s.word("true")
	case 'f':
		s.word("false")
	case 'n':
		s.word("null")
	default:
		if c != '-' && (c < '0' || c > '9') {
			s.unexpected("a value is missing")
			return
		}
		s.number()
	}
	s.at.state = after
}

// begin returns the first byte of the value that stands here, 0 after an error.
func (s *Scanner) begin() byte {
	if s.err != nil {
		return 0
	}
	return s.space()
}

func (s *Scanner) null() { s.word("null") }

func (s *Scanner) word(w string) {
	end := s.at.pos + len(w)
	if end > len(s.data) || string(s.data[s.at.pos:end]) != w {
		if bytes.HasPrefix([]byte(w), s.data[s.at.pos:min(end, len(s.data))]) {
			s.at.pos = len(s.data)
		}
		s.unexpected("a value is none that JSON knows")
		return
	}
	s.at.pos = end
	s.at.state = after
}

// number checks -?(0|[1-9][0-9]*)(\.[0-9]+)?([eE][+-]?[0-9]+)?
func (s *Scanner) number() {
	if s.data[s.at.pos] == '-' {
		s.at.pos++
	}
	if s.peek() == '0' {
		s.at.pos++
	} else if !s.digits() {
		return
	}
	if s.peek() == '.' {
		s.at.pos++
		if !s.digits() {
			return
		}
	}
	if c := s.peek(); c == 'e' || c == 'E' {
		s.at.pos++
		if c := s.peek(); c == '+' || c == '-' {
			s.at.pos++
		}
		if !s.digits() {
			return
		}
	}
	s.at.state = after
}

func (s *Scanner) digits() bool {
	start := s.at.pos
	for c := s.peek(); '0' <= c && c <= '9'; c = s.peek() {
		s.at.pos++
	}
	if s.at.pos == start {
		s.unexpected("a digit is missing in a number")
		return false
	}
	return true
}

func (s *Scanner) peek() byte {
	if s.at.pos < len(s.data) {
		return s.data[s.at.pos]
	}
	return 0
}

const (
	ones  = 0x0101010101010101
	highs = 0x8080808080808080
)

// special flags, with the high bit of each byte, those of eight bytes that a
// string cannot pass over: quote, backslash, below 0x20, above 0x7F. Only the
// lowest flag is exact: a borrow may set flags above it.
func special(w uint64) uint64 {
	quote, slash := w^(ones*'"'), w^(ones*'\\')
	return (w | (w - ones*0x20) | (quote - ones) | (slash - ones)) & highs
}

func lowest(flags uint64) int { return bits.TrailingZeros64(flags) >> 3 }
