package access

import (
	"context"
	"crypto/rand"
	"crypto/subtle"
	"encoding/base64"
	"encoding/json"
	"fmt"
	"log/slog"
	"strings"
	"unicode/utf8"

	"golang.org/x/crypto/argon2"

	"tengram/internal/clinic"
)

// Secret is a text that never reaches a log, an error or a JSON document by
// accident: every way of printing it says "redacted". It is no string, because a
// string is printed bare where it is the key of a map; and it points at its
// text, because methods are not asked where a field is not exported.
type Secret struct{ text *string }

// Hide makes a Secret.
func Hide(text string) Secret { return Secret{&text} }

const redacted = "redacted"

// String says "redacted".
func (Secret) String() string { return redacted }

// GoString says "redacted".
func (Secret) GoString() string { return redacted }

// Format says "redacted" for every verb.
func (Secret) Format(f fmt.State, _ rune) { _, _ = f.Write([]byte(redacted)) }

// LogValue says "redacted".
func (Secret) LogValue() slog.Value { return slog.StringValue(redacted) }

// MarshalJSON says "redacted".
func (Secret) MarshalJSON() ([]byte, error) { return json.Marshal(redacted) }

// MarshalText says "redacted".
func (Secret) MarshalText() ([]byte, error) { return []byte(redacted), nil }

// Reveal returns the text itself, to be shown to its owner once.
func (s Secret) Reveal() string {
	if s.text == nil {
		return ""
	}
	return *s.text
}

// letters are those of a passphrase: no two of them are taken for each other
// when they are read from paper.
const letters = "abcdefghijkmnpqrstuvwxyz23456789"

// NewPassphrase makes a passphrase of four groups of four, 80 bits.
func NewPassphrase() Secret {
	var b [16]byte
	_, _ = rand.Read(b[:]) // never fails: crypto/rand ends the program instead
	out := make([]byte, 0, 19)
	for i, v := range b {
		if i > 0 && i%4 == 0 {
			out = append(out, '-')
		}
		out = append(out, letters[v%32])
	}
	return Hide(string(out))
}

// strong refuses a passphrase that a guesser would find. Length is what counts
// (NIST SP 800-63B, from memory: at least 8 characters, no rules about kinds of
// letters; 12 is our choice for a door to health records).
func strong(s Secret) error {
	if n := utf8.RuneCountInString(s.Reveal()); n < 12 {
		return clinic.Errorf(clinic.Invalid, "the passphrase has %d characters; it needs at least 12: take four words of your own", n)
	}
	return nil
}

// The cost of a hash: two passes over 19 MiB, one lane (a published
// recommendation for argon2id, from memory; 40 ms here). Two at a time at most,
// so that sign-ins cannot use up the memory of a small machine.
const (
	passes   = 2
	kibibyte = 19 * 1024
	lanes    = 1
	keySize  = 32
)

var turns = make(chan struct{}, 2)

// hash returns the encoded hash of a passphrase with a salt of its own, in the
// usual form "$argon2id$v=19$m=...,t=...,p=...$salt$key".
func hash(s Secret) (string, error) {
	var salt [16]byte
	_, _ = rand.Read(salt[:])
	turns <- struct{}{}
	defer func() { <-turns }()
	key := argon2.IDKey([]byte(s.Reveal()), salt[:], passes, kibibyte, lanes, keySize)
	return fmt.Sprintf("$argon2id$v=%d$m=%d,t=%d,p=%d$%s$%s", argon2.Version, kibibyte, passes, lanes,
		base64.RawStdEncoding.EncodeToString(salt[:]), base64.RawStdEncoding.EncodeToString(key)), nil
}

// fits reports whether a passphrase is the one of a hash.
func fits(ctx context.Context, encoded string, s Secret) (bool, error) {
	var version int
	var memory, time uint32
	var threads uint8
	parts := strings.Split(encoded, "$")
	if len(parts) != 6 || parts[1] != "argon2id" {
		return false, fmt.Errorf("the kept hash is not of a kind this program knows: renew the passphrase")
	}
	if _, err := fmt.Sscanf(parts[2], "v=%d", &version); err != nil || version != argon2.Version {
		return false, fmt.Errorf("the kept hash is of version %q: renew the passphrase", parts[2])
	}
	if _, err := fmt.Sscanf(parts[3], "m=%d,t=%d,p=%d", &memory, &time, &threads); err != nil || memory > 1<<20 || time > 100 || time == 0 || threads == 0 {
		return false, fmt.Errorf("the kept hash has costs %q that make no sense: renew the passphrase", parts[3])
	}
	salt, err := base64.RawStdEncoding.DecodeString(parts[4])
	if err != nil {
		return false, fmt.Errorf("the kept hash is damaged: renew the passphrase: %w", err)
	}
	key, err := base64.RawStdEncoding.DecodeString(parts[5])
	if err != nil || len(key) == 0 {
		return false, fmt.Errorf("the kept hash is damaged: renew the passphrase")
	}
	select {
	case turns <- struct{}{}:
	case <-ctx.Done():
		return false, ctx.Err()
	}
	defer func() { <-turns }()
	return subtle.ConstantTimeCompare(key, argon2.IDKey([]byte(s.Reveal()), salt, time, memory, threads, uint32(len(key)))) == 1, nil
}
