package scan

import (
	"errors"
	"fmt"
)

// Fault is the kind of an Error.
type Fault uint8

// The faults. Early is a text that was right as far as it went. Type is a right
// text with another value than the caller asked for. Trailing is a whole value
// with something behind it.
const (
	Syntax Fault = iota
	Early
	Type
	Trailing
)

// Error is the first thing wrong with a text. It quotes nothing of the text but
// the names of members on the way.
type Error struct {
	Fault Fault
	// Offset is the byte in the text, counted from 0.
	Offset int
	// Path leads to the value, such as "code.coding[0].system"; empty for the
	// whole.
	Path string
	Says string
}

// Error returns path, what is wrong, and the byte counted from 1.
func (e *Error) Error() string {
	if e.Path == "" {
		return fmt.Sprintf("%s (byte %d)", e.Says, e.Offset+1)
	}
	return fmt.Sprintf("%s: %s (byte %d)", e.Path, e.Says, e.Offset+1)
}

// FaultOf returns the fault of an error from End; ok is false for another error.
func FaultOf(err error) (f Fault, ok bool) {
	var e *Error
	if !errors.As(err, &e) {
		return 0, false
	}
	return e.Fault, true
}

func (s *Scanner) fail(pos int, fault Fault, says string) {
	if s.err != nil {
		return
	}
	s.err = &Error{Fault: fault, Offset: pos, Path: pathTo(s.data, pos), Says: says}
}

// Fail sets an error at the value that stands here: it is right as JSON and not
// what the caller can use.
func (s *Scanner) Fail(says string) {
	if s.err == nil {
		s.space()
	}
	s.fail(s.at.pos, Type, says)
}

// unexpected says what is missing here, or that the text ends.
func (s *Scanner) unexpected(says string) {
	if s.at.pos >= len(s.data) {
		s.fail(len(s.data), Early, "the text ends too early")
		return
	}
	s.fail(s.at.pos, Syntax, says)
}

// wrong says that a value is of another kind than wanted.
func (s *Scanner) wrong(want string) {
	if s.err != nil {
		return
	}
	if s.Peek() == None {
		s.unexpected("a value is missing")
		return
	}
	s.fail(s.at.pos, Type, "must be "+want)
}
