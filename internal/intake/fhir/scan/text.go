package scan

import (
	"encoding/binary"
	"unicode/utf16"
	"unicode/utf8"
)

// text reads the string that stands here.
func (s *Scanner) text() []byte {
	start := s.at.pos + 1
	escaped := s.pass()
	if s.err != nil {
		return nil
	}
	end := s.at.pos - 1
	if escaped {
		return s.unescape(s.data[start:end])
	}
	return s.data[start:end:end]
}

// pass goes over the string that stands here, checks it, and reports whether
// it holds escapes.
func (s *Scanner) pass() (escaped bool) {
	b, i := s.data, s.at.pos+1
	for {
		i = plain(b, i)
		if i >= len(b) {
			s.fail(len(b), Early, "the text ends inside a string")
			return escaped
		}
		switch c := b[i]; {
		case c == '"':
			s.at.pos = i + 1
			return escaped
		case c == '\\':
			escaped = true
			if i = s.escape(i); i < 0 {
				return escaped
			}
		case c < 0x20:
			s.fail(i, Syntax, "a control character stands unescaped in a string")
			return escaped
		default:
			for i < len(b) && b[i] >= utf8.RuneSelf {
				r, n := utf8.DecodeRune(b[i:])
				if r == utf8.RuneError && n == 1 {
					s.fail(i, Syntax, "a string is not UTF-8")
					return escaped
				}
				i += n
			}
		}
	}
}

// plain returns the place of the first byte from i on that a string cannot pass
// over.
func plain(b []byte, i int) int {
	for ; i+8 <= len(b); i += 8 {
		if flags := special(binary.LittleEndian.Uint64(b[i:])); flags != 0 {
			return i + lowest(flags)
		}
	}
	for ; i < len(b); i++ {
		if c := b[i]; c < 0x20 || c == '"' || c == '\\' || c >= utf8.RuneSelf {
			return i
		}
	}
	return i
}

// escape checks the escape that begins at i and returns the place behind it, or
// -1. A surrogate must be one half of a pair.
func (s *Scanner) escape(i int) int {
	b := s.data
	if i+1 >= len(b) {
		s.fail(len(b), Early, "the text ends inside a string")
		return -1
	}
	switch b[i+1] {
	case '"', '\\', '/', 'b', 'f', 'n', 'r', 't':
		return i + 2
	case 'u':
		r, ok := hex4(b, i+2)
		if !ok {
			break
		}
		if !utf16.IsSurrogate(r) {
			return i + 6
		}
		if i+8 <= len(b) && b[i+6] == '\\' && b[i+7] == 'u' {
			if low, ok := hex4(b, i+8); ok && utf16.DecodeRune(r, low) != utf8.RuneError {
				return i + 12
			}
		}
		if s.endsInEscape(i + 6) {
			return -1
		}
		s.fail(i, Syntax, "half of a surrogate pair stands alone in a string")
		return -1
	}
	if s.endsInEscape(i) {
		return -1
	}
	s.fail(i, Syntax, "an escape in a string is none that JSON knows")
	return -1
}

// endsInEscape says that the text ends where a \u escape at i should go on.
func (s *Scanner) endsInEscape(i int) bool {
	const most = len(`\uXXXX`)
	if i > len(s.data) || len(s.data)-i >= most {
		return false
	}
	for j, c := range s.data[i:] {
		if j == 0 && c != '\\' || j == 1 && c != 'u' || j > 1 && !isHex(c) {
			return false
		}
	}
	s.fail(len(s.data), Early, "the text ends inside a string")
	return true
}

func isHex(c byte) bool {
	return '0' <= c && c <= '9' || 'a' <= c|0x20 && c|0x20 <= 'f'
}

// hex4 reads four hexadecimal digits.
func hex4(b []byte, i int) (r rune, ok bool) {
	if i+4 > len(b) {
		return 0, false
	}
	for _, c := range b[i : i+4] {
		switch {
		case !isHex(c):
			return 0, false
		case c <= '9':
			r = r<<4 | rune(c-'0')
		default:
			r = r<<4 | rune(c|0x20-'a'+10)
		}
	}
	return r, true
}

// unescape writes what a checked string says to loose memory.
func (s *Scanner) unescape(b []byte) []byte {
	start := len(s.loose)
	out := s.loose
	for i := 0; i < len(b); i++ {
		if b[i] != '\\' {
			out = append(out, b[i])
			continue
		}
		i++
		switch c := b[i]; c {
		case 'b':
			out = append(out, '\b')
		case 'f':
			out = append(out, '\f')
		case 'n':
			out = append(out, '\n')
		case 'r':
			out = append(out, '\r')
		case 't':
			out = append(out, '\t')
		case 'u':
			r, _ := hex4(b, i+1)
			i += 4
			if utf16.IsSurrogate(r) {
				low, _ := hex4(b, i+3)
				r = utf16.DecodeRune(r, low)
				i += 6
			}
			out = utf8.AppendRune(out, r)
		default:
			out = append(out, c)
		}
	}
	s.loose = out
	return out[start:len(out):len(out)]
}
