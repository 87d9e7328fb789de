package scan

import (
	"bytes"
	"errors"
	"io"
	"testing"

	"github.com/go-json-experiment/json/jsontext"
	"github.com/google/go-cmp/cmp"
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
	var s Scanner
	f.Fuzz(func(t *testing.T, text []byte) {
		before := bytes.Clone(text)
		want, depth, wrong := oracle(text)
		s.Reset(text)
		got := tree(&s)
		err := s.End()
		s.Reset(text)
		skipped := s.End()
		if !bytes.Equal(text, before) {
			t.Fatal("the text was written to")
		}
		if (err == nil) != (skipped == nil) {
			t.Fatalf("read: %v; skipped: %v", err, skipped)
		}
		if depth > MaxDepth {
			if err == nil {
				t.Fatalf("accepted %d levels", depth)
			}
			return
		}
		if (err == nil) != (wrong == nil) {
			t.Fatalf("scanner: %v; oracle: %v", err, wrong)
		}
		if err != nil {
			return
		}
		if diff := cmp.Diff(want, got); diff != "" {
			t.Fatal(diff)
		}
	})
}
