package scan

import (
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// tree builds Go values with the Scanner, the way a decoder would read them.
func tree(s *Scanner) any {
	switch s.Peek() {
	case Object:
		m := map[string]any{}
		for s.OpenObject(); s.Next(); {
			k := string(s.Key())
			m[k] = tree(s)
		}
		return m
	case Array:
		a := []any{}
		for s.OpenArray(); s.Next(); {
			a = append(a, tree(s))
		}
		return a
	case String:
		return string(s.Text())
	case Number:
		return number(s.Number())
	case Bool:
		is, _ := s.Bool()
		return is
	}
	s.Skip()
	return nil
}

// number keeps the text of a number apart from a string.
type number string

func parse(text string) (any, error) {
	var s Scanner
	s.Reset([]byte(text))
	v := tree(&s)
	return v, s.End()
}

func check(text string) error {
	var s Scanner
	s.Reset([]byte(text))
	return s.End()
}

func TestRightTextsAreRead(t *testing.T) {
	for _, c := range []struct {
		says, text string
		want       any
	}{
		{"an empty object", `{}`, map[string]any{}},
		{"white space of all four kinds", "\t\r\n { \"a\" :\n[ 1 , 2 ] } ", map[string]any{"a": []any{number("1"), number("2")}}},
		{"a number keeps its digits", `[1.50, -0, 1E+2, 0.0e-1]`, []any{number("1.50"), number("-0"), number("1E+2"), number("0.0e-1")}},
		{"every escape", `"\"\\\/\b\f\n\r\tA\u00e9"`, "\"\\/\b\f\n\r\tA\u00e9"},
		{"a surrogate pair", `"\ud83e\uddB6"`, "\U0001F9B6"},
		{"an escape in a name", `{"\u0069d":"x"}`, map[string]any{"id": "x"}},
		{"UTF-8 of two, three and four bytes", `"é€🦶é plain again 12345678"`, "é€🦶é plain again 12345678"},
		{"the replacement character itself", "\"\uFFFD\"", "\uFFFD"},
		{"the last of two members of one name", `{"a":1,"a":{"b":2},"a":3}`, map[string]any{"a": number("3")}},
		{"null for nothing", `{"a":null}`, map[string]any{"a": nil}},
		{"64 levels", strings.Repeat("[", 64) + strings.Repeat("]", 64), nil},
	} {
		t.Run(c.says, func(t *testing.T) {
			got, err := parse(c.text)
			if err != nil {
				t.Fatal(err)
			}
			if err := check(c.text); err != nil {
				t.Errorf("skipping it: %v", err)
			}
			if c.want != nil {
				if diff := cmp.Diff(c.want, got); diff != "" {
					t.Error(diff)
				}
			}
		})
	}
}

func TestWrongTextsAreRefusedWithPlaceAndReason(t *testing.T) {
	for _, c := range []struct {
		says, text string
		fault      Fault
		want       string
	}{
		{"nothing", ``, Early, "the text ends too early (byte 1)"},
		{"only white space", " \n", Early, "the text ends too early (byte 3)"},
		{"an object that ends early", `{"a":{"b":1`, Early, "a.b: the text ends too early (byte 12)"},
		{"a string that ends early", `{"id":"x`, Early, "id: the text ends inside a string (byte 9)"},
		{"a string that ends in an escape", `"\`, Early, "the text ends inside a string (byte 3)"},
		{"a string that ends in a \\u escape", `"\u00`, Early, "the text ends inside a string (byte 6)"},
		{"a string that ends inside a surrogate pair", `"\ud83e\u`, Early, "the text ends inside a string (byte 10)"},
		{"a word that ends early", `{"a":tru`, Early, "a: the text ends too early (byte 9)"},
		{"a missing comma", `{"a":1 "b":2}`, Syntax, "a: a comma or the end of the object or array is missing (byte 8)"},
		{"a comma too many in an object", `{"a":1,}`, Syntax, "a name in quotes is missing (byte 8)"},
		{"a comma too many in an array", `{"a":[1,]}`, Syntax, "a[1]: a value is missing (byte 9)"},
		{"only a comma", `[,1]`, Syntax, "[0]: a value is missing (byte 2)"},
		{"a name without quotes", `{a:1}`, Syntax, "a name in quotes is missing (byte 2)"},
		{"a missing colon", `{"a" 1}`, Syntax, "a: a colon is missing behind a name (byte 6)"},
		{"brackets that do not match", `{"a":[1}`, Syntax, "a[0]: a comma or the end of the object or array is missing (byte 8)"},
		{"a leading zero", `[01]`, Syntax, "[0]: a comma or the end of the object or array is missing (byte 3)"},
		{"a leading plus", `[+1]`, Syntax, "[0]: a value is missing (byte 2)"},
		{"a number without digits behind the point", `[1.]`, Syntax, "[0]: a digit is missing in a number (byte 4)"},
		{"a number without digits in the exponent", `[1e]`, Syntax, "[0]: a digit is missing in a number (byte 4)"},
		{"a bare minus", `[-]`, Syntax, "[0]: a digit is missing in a number (byte 3)"},
		{"an unknown word", `[True]`, Syntax, "[0]: a value is missing (byte 2)"},
		{"a misspelt word", `[nul]`, Syntax, "[0]: a value is none that JSON knows (byte 2)"},
		{"an unknown escape", `["\x"]`, Syntax, "[0]: an escape in a string is none that JSON knows (byte 3)"},
		{"a lone high surrogate", `["\ud800"]`, Syntax, "[0]: half of a surrogate pair stands alone in a string (byte 3)"},
		{"a lone low surrogate", `["\udc00"]`, Syntax, "[0]: half of a surrogate pair stands alone in a string (byte 3)"},
		{"two high surrogates", `["\ud800\ud800"]`, Syntax, "[0]: half of a surrogate pair stands alone in a string (byte 3)"},
		{"a tab in a string", "[\"a\tb\"]", Syntax, "[0]: a control character stands unescaped in a string (byte 4)"},
		{"a NUL behind the value", "{}\x00", Trailing, "something follows the value (byte 3)"},
		{"a byte that is not UTF-8", "[\"a\xffb\"]", Syntax, "[0]: a string is not UTF-8 (byte 4)"},
		{"an overlong slash", "[\"\xc0\xaf\"]", Syntax, "[0]: a string is not UTF-8 (byte 3)"},
		{"an encoded surrogate", "[\"\xed\xa0\x80\"]", Syntax, "[0]: a string is not UTF-8 (byte 3)"},
		{"a second value", `{} {}`, Trailing, "something follows the value (byte 4)"},
		{"65 levels", strings.Repeat("[", 65) + strings.Repeat("]", 65), Syntax, strings.Repeat("[0]", 64) + ": lies more than 64 deep in objects and arrays (byte 65)"},
		{"a name that could be a person's is not told", `{"Jane Roe, 1960":[1,}`, Syntax, "?[1]: a value is missing (byte 22)"},
	} {
		t.Run(c.says, func(t *testing.T) {
			_, err := parse(c.text)
			for way, err := range map[string]error{"read": err, "skipped": check(c.text)} {
				if err == nil {
					t.Fatalf("%s: accepted", way)
				}
				if got := err.Error(); got != c.want {
					t.Errorf("%s: got %q, want %q", way, got, c.want)
				}
				if f, _ := FaultOf(err); f != c.fault {
					t.Errorf("%s: fault %d, want %d", way, f, c.fault)
				}
			}
		})
	}
}

func TestAValueOfAnotherKindIsNamedWithItsPath(t *testing.T) {
	var s Scanner
	s.Reset([]byte(`{"x":[9,8],"code":{"coding":[{"system":"s"},{"system":[5]}]},"more":true}`))
	for s.OpenObject(); s.Next(); {
		if string(s.Key()) != "code" {
			continue
		}
		for s.OpenObject(); s.Next(); {
			for s.OpenArray(); s.Next(); {
				for s.OpenObject(); s.Next(); {
					s.Text()
				}
			}
		}
	}
	const want = "code.coding[1].system: must be a string (byte 55)"
	err := s.End()
	if err == nil || err.Error() != want {
		t.Errorf("got %v, want %s", err, want)
	}
	if f, ok := FaultOf(err); !ok || f != Type {
		t.Errorf("fault %d, want Type", f)
	}
}

func TestNullIsAbsentToEveryReader(t *testing.T) {
	var s Scanner
	s.Reset([]byte(`{"a":null,"b":null,"c":null,"d":null,"e":null,"f":"x"}`))
	var seen string
	for s.OpenObject(); s.Next(); {
		seen += string(s.Key())
		switch string(s.Key()) {
		case "a":
			if s.Text() != nil {
				t.Error("text")
			}
		case "b":
			if s.Number() != nil {
				t.Error("number")
			}
		case "c":
			if _, given := s.Bool(); given {
				t.Error("bool")
			}
		case "d":
			for s.OpenObject(); s.Next(); {
				t.Error("object")
			}
		case "e":
			for s.OpenArray(); s.Next(); {
				t.Error("array")
			}
		}
	}
	if err := s.End(); err != nil || seen != "abcdef" {
		t.Errorf("seen %q, error %v", seen, err)
	}
}

func TestWhatWasLentStaysUntilReset(t *testing.T) {
	var s Scanner
	s.Reset([]byte(`["\u0041","` + strings.Repeat(`\n`, 5000) + `","\u0042"]`))
	var lent [][]byte
	for s.OpenArray(); s.Next(); {
		lent = append(lent, s.Text())
	}
	if err := s.End(); err != nil {
		t.Fatal(err)
	}
	if string(lent[0]) != "A" || string(lent[2]) != "B" || len(lent[1]) != 5000 {
		t.Errorf("got %q, %d bytes, %q", lent[0], len(lent[1]), lent[2])
	}
}

func TestRewindReadsAValueAgain(t *testing.T) {
	var s Scanner
	s.Reset([]byte(`{"a":[1,[2,{"b":3}]],"c":4}`))
	var raw, again string
	for s.OpenObject(); s.Next(); {
		if string(s.Key()) == "a" {
			m := s.Mark()
			raw = string(s.Raw())
			s.Rewind(m)
			again = string(s.Raw())
		}
	}
	if err := s.End(); err != nil || raw != `[1,[2,{"b":3}]]` || again != raw {
		t.Errorf("got %q, then %q, error %v", raw, again, err)
	}
}

func TestEveryPlaceOfASpecialByteIsFound(t *testing.T) {
	for length := range 40 {
		for at := range length {
			for _, special := range []byte{'"', '\\', 0x00, 0x1F, 0x80, 0xFF} {
				b := []byte(strings.Repeat("~", length))
				b[at] = special
				if got := plain(b, 0); got != at {
					t.Fatalf("byte %#x at %d of %d: found at %d", special, at, length, got)
				}
			}
			for c := byte(0x20); c < 0x80; c++ {
				b := []byte(strings.Repeat("~", length))
				b[at] = c
				if got := plain(b, 0); c != '"' && c != '\\' && got != length {
					t.Fatalf("byte %#x at %d of %d: stopped at %d", c, at, length, got)
				}
			}
		}
	}
}
