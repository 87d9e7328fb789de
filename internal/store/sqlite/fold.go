package sqlite

import (
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"
)

// fold brings a text into the form in which names are compared: lower case,
// without accents, words separated by one space. Letters that are no letter
// with an accent, such as the Danish o with a stroke, stay as they are.
func fold(text string) string {
	var b strings.Builder
	b.Grow(len(text))
	space := false
	for _, r := range norm.NFD.String(text) {
		switch {
		case unicode.Is(unicode.Mn, r):
		case unicode.IsSpace(r):
			space = b.Len() > 0
		default:
			if space {
				b.WriteByte(' ')
				space = false
			}
			b.WriteRune(unicode.ToLower(r))
		}
	}
	return b.String()
}
