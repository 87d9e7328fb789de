package scan

import (
	"bytes"
	"errors"
	"io"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"testing"

	"github.com/go-json-experiment/json/jsontext"
)

// oracle reads a text with an independent strict parser into the same values as
// tree, and says how deep its containers lie.
func oracle(text []byte) (v any, depth int, err error) {
	d := jsontext.NewDecoder(bytes.NewReader(text), jsontext.AllowDuplicateNames(true))
	v, err = oracleValue(d, &depth)
	if err != nil {
		return nil, depth, err
	}
	switch _, err := d.ReadToken(); {
	case err == nil:
		return nil, depth, errors.New("a second value")
	case !errors.Is(err, io.EOF):
		return nil, depth, err
	}
	return v, depth, nil
}

func oracleValue(d *jsontext.Decoder, depth *int) (any, error) {
	t, err := d.ReadToken()
	if err != nil {
		return nil, err
	}
	*depth = max(*depth, d.StackDepth())
	switch t.Kind() {
	case '{':
		m := map[string]any{}
		for d.PeekKind() != '}' {
			name, err := d.ReadToken()
			if err != nil {
				return nil, err
			}
			k := name.String()
			if m[k], err = oracleValue(d, depth); err != nil {
				return nil, err
			}
		}
		_, err := d.ReadToken()
		return m, err
	case '[':
		a := []any{}
		for d.PeekKind() != ']' {
			e, err := oracleValue(d, depth)
			if err != nil {
				return nil, err
			}
			a = append(a, e)
		}
		_, err := d.ReadToken()
		return a, err
	case '"':
		return t.String(), nil
	case '0':
		return number(t.String()), nil
	case 't', 'f':
		return t.Bool(), nil
	}
	return nil, nil
}

// FuzzAgainstOracle holds the Scanner to an independent strict parser: both
// accept the same texts and read the same values from them. The one difference
// that is meant is the limit on depth.
func FuzzAgainstOracle(f *testing.F) {
	for _, seed := range []string{
		``, `{}`, `[]`, `null`, `"x"`, `-0.5e+10`, ` {"a" : [1, true, null, {"b":"c"}]} `,
		`{"a":1,"a":2}`, `"\u00e9\ud83e\uddb6\n"`, `"\ud800"`, `{"a":1,}`, `[01]`, `{} {}`, "\"\xff\"", "\"\x01\"", `"abcdefgh\"abcdefgh"`,
		`{"resourceType":"Patient","id":"17","birthDate":"1960","name":[{"family":"Märtens","given":["Ø"]}]}`,
	} {
		f.Add([]byte(seed))
	}
	for _, line := range resources(f) {
		f.Add(line)
	}
	var s Scanner
	f.Fuzz(func(t *testing.T, text []byte) { compare(t, &s, text) })
}

// compare reads a text both ways.
func compare(t *testing.T, s *Scanner, text []byte) {
	before := bytes.Clone(text)
	want, depth, wrong := oracle(text)
	s.Reset(text)
	got := tree(s)
	err := s.End()
	s.Reset(text)
	skipped := s.End()
	if !bytes.Equal(text, before) {
		t.Fatal("the text was written to")
	}
	if (err == nil) != (skipped == nil) {
		t.Fatalf("%q: read: %v; skipped: %v", text, err, skipped)
	}
	if depth > MaxDepth {
		if err == nil {
			t.Fatalf("accepted %d levels", depth)
		}
		return
	}
	if (err == nil) != (wrong == nil) {
		t.Fatalf("%q: scanner: %v; oracle: %v", text, err, wrong)
	}
	if err != nil {
		return
	}
	if !reflect.DeepEqual(want, got) { // a structural diff takes for ever on deep values
		t.Fatalf("%q: got %v, want %v", text, got, want)
	}
}

// resources are the made-up resources that the decoders are tested with.
func resources(tb testing.TB) (lines [][]byte) {
	tb.Helper()
	inputs, err := filepath.Glob("../testdata/golden/*.ndjson")
	if err != nil || len(inputs) == 0 {
		tb.Fatal("no resources", err)
	}
	for _, input := range inputs {
		b, err := os.ReadFile(input)
		if err != nil {
			tb.Fatal(err)
		}
		for line := range bytes.Lines(b) {
			lines = append(lines, bytes.TrimSpace(line))
		}
	}
	return lines
}

// Every resource is broken at every seventh byte in ways that happen: cut off,
// a byte lost, a byte changed.
func TestBrokenResourcesAreRefusedAsTheOracleRefusesThem(t *testing.T) {
	var s Scanner
	n := 0
	for _, line := range resources(t) {
		compare(t, &s, line)
		for at := 0; at < len(line); at += 7 {
			compare(t, &s, line[:at])
			compare(t, &s, slices.Concat(line[:at], line[at+1:]))
			for _, c := range []byte{'"', '\\', '}', ',', '0', '\t', 0x00, 0xC3, 0xED} {
				compare(t, &s, slices.Concat(line[:at], []byte{c}, line[at+1:]))
				n++
			}
		}
	}
	if n < 10_000 {
		t.Errorf("only %d broken resources: that is no test", n)
	}
}
