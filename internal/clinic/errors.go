package clinic

import (
	"errors"
	"fmt"
)

// Code is the kind of an error that a use case can return on purpose.
type Code string

// The codes. Anything without a code is Internal: a bug or a broken disk.
const (
	Internal  Code = "internal"
	Invalid   Code = "invalid"
	NotFound  Code = "not-found"
	Conflict  Code = "conflict"
	Forbidden Code = "forbidden"
)

// ErrMoved is the cause of a Conflict: the record changed between the reading
// and the writing. Whoever wrote reads again and tries again.
var ErrMoved = errors.New("the record changed meanwhile")

// Error is an error that may be shown to a person: what was wrong and what to
// do. It never holds patient data; ids only.
type Error struct {
	Code    Code
	Message string
	Err     error
}

// Error returns the message with its cause.
func (e *Error) Error() string {
	if e.Err != nil {
		return e.Message + ": " + e.Err.Error()
	}
	return e.Message
}

// Unwrap returns the cause.
func (e *Error) Unwrap() error { return e.Err }

// Errorf makes an error with a code.
func Errorf(code Code, format string, args ...any) *Error {
	return &Error{Code: code, Message: fmt.Sprintf(format, args...)}
}

// CodeOf returns the code of an error, Internal where it has none.
func CodeOf(err error) Code {
	var e *Error
	if errors.As(err, &e) {
		return e.Code
	}
	return Internal
}
