// Package known holds answers that can be unknown.
//
// The zero value of every type here is "not recorded". Nothing in the kernel
// turns a missing answer into a normal one: rules read a Tri, and a Tri that is
// Unknown stays Unknown until somebody looks.
package known

import "fmt"

// Tri is a truth value that can be unknown (Kleene's strong three-valued
// logic). The zero value is Unknown.
type Tri uint8

// The three truth values.
const (
	Unknown Tri = iota
	No
	Yes
)

// Of turns a Go bool into a known truth value.
func Of(b bool) Tri {
	if b {
		return Yes
	}
	return No
}

// Known reports whether the value is Yes or No.
func (t Tri) Known() bool { return t != Unknown }

// Not negates; unknown stays unknown.
func (t Tri) Not() Tri {
	switch t {
	case Yes:
		return No
	case No:
		return Yes
	}
	return Unknown
}

// Any is Yes if one value is Yes, No if all are No, else Unknown.
// Any of nothing is No.
func Any(ts ...Tri) Tri {
	out := No
	for _, t := range ts {
		switch t {
		case Yes:
			return Yes
		case Unknown:
			out = Unknown
		}
	}
	return out
}

// All is No if one value is No, Yes if all are Yes, else Unknown.
// All of nothing is Yes.
func All(ts ...Tri) Tri {
	out := Yes
	for _, t := range ts {
		switch t {
		case No:
			return No
		case Unknown:
			out = Unknown
		}
	}
	return out
}

var triNames = []string{"unknown", "no", "yes"}

// String returns "unknown", "no" or "yes".
func (t Tri) String() string { return name(triNames, int(t)) }

// MarshalText writes "unknown", "no" or "yes".
func (t Tri) MarshalText() ([]byte, error) { return text(triNames, int(t), "truth value") }

// UnmarshalText reads "unknown", "no" or "yes".
func (t *Tri) UnmarshalText(b []byte) error {
	i, err := index(triNames, b, "truth value")
	*t = Tri(i)
	return err
}

// Answer is what was answered to a question put to the person, or read in the
// record: is there X, has there been X?
type Answer uint8

// The answers. Unsure means asked, and the person does not know; Prevented
// means it could not be asked or seen today.
const (
	NotAsked Answer = iota
	AnswerNo
	AnswerYes
	Unsure
	Declined
	Prevented
)

var answerNames = []string{"", "no", "yes", "unsure", "declined", "prevented"}

// Tri reduces the answer to what a rule may conclude from it.
func (a Answer) Tri() Tri {
	switch a {
	case AnswerNo:
		return No
	case AnswerYes:
		return Yes
	}
	return Unknown
}

// Recorded reports whether anything at all was recorded, "unsure" included.
func (a Answer) Recorded() bool { return a != NotAsked }

// IsZero reports a question that was not asked; JSON leaves such fields out.
func (a Answer) IsZero() bool { return a == NotAsked }

// String returns the JSON word of the answer, or "not recorded".
func (a Answer) String() string {
	if a == NotAsked {
		return "not recorded"
	}
	return name(answerNames, int(a))
}

// MarshalText writes the JSON word of the answer.
func (a Answer) MarshalText() ([]byte, error) { return text(answerNames, int(a), "answer") }

// UnmarshalText reads one of "", "no", "yes", "unsure", "declined", "prevented".
func (a *Answer) UnmarshalText(b []byte) error {
	i, err := index(answerNames, b, "answer")
	*a = Answer(i)
	return err
}

// Finding is the result of one look or one test at one place.
type Finding uint8

// The findings. Absent means the part is not there (lost to amputation):
// neither normal nor abnormal. Prevented means the part is there and could not
// be tested today, for example under a dressing or on a callus.
const (
	NotDone Finding = iota
	Normal
	Abnormal
	Absent
	NotPossible
	Refused
)

var findingNames = []string{"", "normal", "abnormal", "absent", "not-possible", "refused"}

// Abnormal answers "is it abnormal?"; absent and untested parts are Unknown.
func (f Finding) Abnormal() Tri {
	switch f {
	case Normal:
		return No
	case Abnormal:
		return Yes
	}
	return Unknown
}

// Tested reports whether the test gave a result.
func (f Finding) Tested() bool { return f == Normal || f == Abnormal }

// Recorded reports whether anything at all was recorded.
func (f Finding) Recorded() bool { return f != NotDone }

// IsZero reports a place that was not looked at; JSON leaves such fields out.
func (f Finding) IsZero() bool { return f == NotDone }

// String returns the JSON word of the finding, or "not recorded".
func (f Finding) String() string {
	if f == NotDone {
		return "not recorded"
	}
	return name(findingNames, int(f))
}

// MarshalText writes the JSON word of the finding.
func (f Finding) MarshalText() ([]byte, error) { return text(findingNames, int(f), "finding") }

// UnmarshalText reads one of "", "normal", "abnormal", "absent",
// "not-possible", "refused".
func (f *Finding) UnmarshalText(b []byte) error {
	i, err := index(findingNames, b, "finding")
	*f = Finding(i)
	return err
}

func name(names []string, i int) string {
	if i < len(names) {
		return names[i]
	}
	return fmt.Sprintf("invalid(%d)", i)
}

// Word returns names[i]; it is the shared MarshalText of the kernel's closed
// lists. kind names the list in the error.
func Word(names []string, i int, kind string) ([]byte, error) { return text(names, i, kind) }

// Index is the shared UnmarshalText of the kernel's closed lists: the place of
// b in names, or an error that lists what is allowed.
func Index(names []string, b []byte, kind string) (int, error) { return index(names, b, kind) }

func text(names []string, i int, kind string) ([]byte, error) {
	if i >= len(names) {
		return nil, fmt.Errorf("%s %d is not one of %q", kind, i, names)
	}
	return []byte(names[i]), nil
}

func index(names []string, b []byte, kind string) (int, error) {
	for i, n := range names {
		if n == string(b) {
			return i, nil
		}
	}
	return 0, fmt.Errorf("%s %q is not one of %q", kind, b, names)
}
