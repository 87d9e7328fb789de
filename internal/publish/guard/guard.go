// Package guard keeps what leaves the practice from naming or pointing at a
// person more than was asked for: it replaces ids by pseudonyms, and finds the
// counts so small that they may point at somebody.
//
// A pseudonym hides who a record belongs to from everybody without the key. It
// makes a record no less personal: dates and findings stay as they are.
package guard

import (
	"crypto/hmac"
	"crypto/sha256"
	"errors"
	"fmt"
)

// minKey is the shortest key, in bytes, so that nobody can try all keys.
const minKey = 16

// Pseudonym replaces ids. The zero value leaves them as they are.
type Pseudonym struct{ key []byte }

// NewPseudonym makes a Pseudonym of a secret key, which must have at least 16
// bytes. The same key gives the same pseudonyms in every export, so that two
// exports can be joined; another key gives others.
func NewPseudonym(key []byte) (Pseudonym, error) {
	if len(key) < minKey {
		return Pseudonym{}, fmt.Errorf("the key for pseudonyms has %d bytes and needs at least %d: make one with a random generator and keep it apart from the export", len(key), minKey)
	}
	return Pseudonym{key: append([]byte{}, key...)}, nil
}

// ErrNamesAndPseudonyms is the answer to a wish for both.
var ErrNamesAndPseudonyms = errors.New("names and pseudonyms exclude each other: ask for one of them")

// On reports whether ids are replaced.
func (p Pseudonym) On() bool { return len(p.key) > 0 }

// Of returns the pseudonym of an id, in the form of a UUID, or the id itself
// where pseudonyms are not asked for. kind keeps ids of different things apart,
// such as "person" and "exam".
func (p Pseudonym) Of(kind, id string) string {
	if !p.On() || id == "" {
		return id
	}
	mac := hmac.New(sha256.New, p.key)
	mac.Write([]byte(kind))
	mac.Write([]byte{0})
	mac.Write([]byte(id))
	return uuid(mac.Sum(nil))
}

// uuid writes 16 bytes as a UUID of version 8, which stands for "made in a way
// of one's own" (RFC 9562, section 5.8).
func uuid(sum []byte) string {
	var b [16]byte
	copy(b[:], sum)
	b[6], b[8] = b[6]&0x0f|0x80, b[8]&0x3f|0x80
	return fmt.Sprintf("%x-%x-%x-%x-%x", b[0:4], b[4:6], b[6:8], b[8:10], b[10:])
}
