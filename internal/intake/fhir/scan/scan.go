// Package scan reads one JSON text in one pass, strictly, and lends out the
// bytes it finds.
//
// Everything is checked: grammar, escapes, control characters, UTF-8, and that
// nothing follows the value. What is skipped is checked like what is read. A
// Scanner is a cursor:
//
//	s.Reset(line)
//	for s.OpenObject(); s.Next(); {
//		switch string(s.Key()) {
//		case "id":
//			id = s.Text()
//		case "name":
//			for s.OpenArray(); s.Next(); { ... }
//		}
//	}
//	err := s.End()
//
// A value that the body of a loop does not read is skipped. A loop runs until
// Next returns false and is never broken off. After an error every method
// returns nothing and every loop ends; End tells the error.
//
// null is read as an absent value. Where a name stands twice in an object, both
// values are handed out in turn, so that the last one wins with a caller that
// assigns. Containers may lie MaxDepth deep.
package scan

// MaxDepth is how deep objects and arrays may lie in each other. FHIR resources
// stay far below it.
const MaxDepth = 64

// Scanner reads one JSON text. The zero value is ready for Reset; it keeps its
// memory from text to text. It is not safe for use by several goroutines.
type Scanner struct {
	data []byte
	at   place
	key  []byte
	// loose is where escaped strings are put together. What was lent out stays
	// as it is until the next Reset.
	loose []byte
	err   *Error
}

// place is all that makes up the cursor.
type place struct {
	pos   int
	state state
	// depth counts the open containers; arrays has a bit for each, the
	// innermost lowest, set for an array.
	depth  int
	arrays uint64
}

// state says what the cursor stands before.
type state uint8

const (
	// pending: a value that has not been read.
	pending state = iota
	// opened: the inside of a container, nothing of which has been read.
	opened
	// after: behind a value, before a comma or the end of what it is in.
	after
	// absent: behind a null that was opened as a container.
	absent
)

// Reset starts on a new text. The Scanner lends out parts of data and never
// writes to it.
func (s *Scanner) Reset(data []byte) {
	s.data, s.at, s.key, s.err = data, place{}, nil, nil
	s.loose = s.loose[:0]
}

// OpenObject enters the object that stands here; null is an empty one.
func (s *Scanner) OpenObject() { s.open('{', "an object") }

// OpenArray enters the array that stands here; null is an empty one.
func (s *Scanner) OpenArray() { s.open('[', "an array") }

func (s *Scanner) open(bracket byte, want string) {
	switch c := s.begin(); c {
	case bracket:
		s.push(bracket)
	case 'n':
		s.null()
		s.at.state = absent
	default:
		s.wrong(want)
	}
}

func (s *Scanner) push(bracket byte) {
	if s.at.depth == MaxDepth {
		s.fail(s.at.pos, Syntax, "lies more than 64 deep in objects and arrays")
		return
	}
	s.at.pos++
	s.at.depth++
	s.at.arrays <<= 1
	if bracket == '[' {
		s.at.arrays |= 1
	}
	s.at.state = opened
}

// Next goes to the next member of the innermost object, or the next element of
// the innermost array. It returns false behind the last, having left the
// container, and after an error.
func (s *Scanner) Next() bool {
	switch s.at.state {
	case pending:
		s.Skip()
	case absent:
		s.at.state = after
		return false
	}
	if s.err != nil {
		return false
	}
	c := s.space()
	array := s.at.arrays&1 != 0
	if c == ']' && array || c == '}' && !array {
		s.at.pos++
		s.at.depth--
		s.at.arrays >>= 1
		s.at.state = after
		return false
	}
	if s.at.state == after {
		if c != ',' {
			s.unexpected("a comma or the end of the object or array is missing")
			return false
		}
		s.at.pos++
		c = s.space()
	}
	if !array && !s.member(c) {
		return false
	}
	s.at.state = pending
	return true
}

// member reads a name and its colon.
func (s *Scanner) member(c byte) bool {
	if c != '"' {
		s.unexpected("a name in quotes is missing")
		return false
	}
	s.key = s.text()
	if s.err != nil {
		return false
	}
	if s.space() != ':' {
		s.unexpected("a colon is missing behind a name")
		return false
	}
	s.at.pos++
	return true
}

// Key returns the name of the member that Next went to.
func (s *Scanner) Key() []byte { return s.key }

// Mark is a place in the text that Rewind can go back to.
type Mark struct{ at place }

// Mark remembers the place before a value.
func (s *Scanner) Mark() Mark { return Mark{s.at} }

// Rewind goes back to a place in the same text, so that the value there can be
// read again. It does not undo an error.
func (s *Scanner) Rewind(m Mark) { s.at = m.at }

// Sound reports that nothing wrong was met so far.
func (s *Scanner) Sound() bool { return s.err == nil }

// End checks that the text holds one whole value and nothing behind it, and
// returns the first error there was.
func (s *Scanner) End() error {
	if s.err == nil && s.at.state == pending {
		s.Skip()
	}
	if s.err == nil && s.space() != 0 || s.err == nil && s.at.pos < len(s.data) {
		s.fail(s.at.pos, Trailing, "something follows the value")
	}
	if s.err == nil {
		return nil
	}
	return s.err
}

// space passes over white space and returns the byte behind it, 0 at the end.
func (s *Scanner) space() byte {
	for s.at.pos < len(s.data) {
		c := s.data[s.at.pos]
		if c > ' ' || c != ' ' && c != '\n' && c != '\t' && c != '\r' {
			return c
		}
		s.at.pos++
	}
	return 0
}
