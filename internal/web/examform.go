package web

import (
	"bytes"
	"encoding/json"
	"fmt"
	"net/url"
	"reflect"
	"slices"
	"strconv"
	"strings"

	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/known"
)

// The exam form and the exam document are one thing in two spellings: each
// control is named by the path of its answer in the document, such as
// "right.test.filament.hallux". decodeForm goes from controls to document,
// encodeForm back; the script in web/src/document.ts goes the same way in the
// browser and posts JSON, which flatten turns into the same paths.
//
// Names that begin with "-" steer the page and are no part of the document.

// decodeForm reads the controls of an exam form. A control that cannot be read
// is left out of the draft and comes back as a problem at its path; the rest
// stands.
func decodeForm(form url.Values) (exam.Draft, []exam.Problem) {
	root := &object{}
	var problems []exam.Problem
	paths := make([]string, 0, len(form))
	for path := range form {
		if path != "" && !strings.HasPrefix(path, "-") {
			paths = append(paths, path)
		}
	}
	slices.Sort(paths)
	for _, path := range paths {
		given := slices.DeleteFunc(slices.Clone(form[path]), func(v string) bool { return v == "" })
		if len(given) == 0 {
			continue
		}
		leaf, ok := documentShape.at(path)
		if !ok || leaf.kind == branch {
			problems = append(problems, unreadable(path, "The exam has no such answer: reload the page and try again."))
			continue
		}
		raw, says := leafJSON(leaf, given)
		if says != "" {
			problems = append(problems, unreadable(path, says))
			continue
		}
		root.set(documentShape, strings.Split(path, "."), raw)
	}
	var d exam.Draft
	if err := json.Unmarshal(root.json(nil), &d); err != nil {
		// Each leaf was read on its own, so this is a fault of this file.
		problems = append(problems, unreadable("", fmt.Sprintf("The answers do not make an exam: %v", err)))
	}
	return d, problems
}

func unreadable(path, says string) exam.Problem {
	return exam.Problem{Field: path, Says: says, Blocks: true}
}

// leafJSON turns the values of one path into JSON, or says what is wrong in
// words for the person at the form.
func leafJSON(leaf *shape, given []string) (raw []byte, says string) {
	switch leaf.kind {
	case wordsLeaf:
		return tried(leaf.typ, mustJSON(given), "One of these is not on the list.")
	case numbersLeaf:
		return tried(leaf.typ, []byte("["+strings.Join(given, ",")+"]"), "One of these is not on the list.")
	}
	if len(slices.Compact(given)) > 1 {
		return nil, "There are two answers here: keep the number or the reason why there is none."
	}
	v := given[0]
	switch leaf.kind {
	case textLeaf:
		return mustJSON(strings.ReplaceAll(v, "\r\n", "\n")), ""
	case wordLeaf:
		return tried(leaf.typ, mustJSON(strings.TrimSpace(v)), "This is not one of the answers that can be given here.")
	case numberLeaf:
		return numberJSON(leaf.typ, strings.TrimSpace(v))
	}
	return measurementJSON(leaf, strings.TrimSpace(v))
}

func numberJSON(t reflect.Type, v string) ([]byte, string) {
	if t.Kind() == reflect.Int {
		n, err := strconv.Atoi(v)
		if err != nil {
			return nil, "Write a whole number."
		}
		return strconv.AppendInt(nil, int64(n), 10), ""
	}
	if _, err := strconv.ParseFloat(v, 64); err != nil {
		return nil, "Write a number."
	}
	return tried(t, []byte(v), "Write a number.")
}

func measurementJSON(leaf *shape, v string) ([]byte, string) {
	if v[0] >= 'a' && v[0] <= 'z' {
		return tried(leaf.typ, mustJSON(v), "Write a number, or choose why there is none.")
	}
	if leaf.kind == tenthsLeaf {
		n, err := known.ParseTenths(v)
		if err != nil {
			return nil, "Write a number with at most one decimal, such as 7.2."
		}
		return mustJSON(known.TenthsOf(n)), ""
	}
	n, err := strconv.Atoi(v)
	if err != nil {
		return nil, "Write a whole number, such as 120."
	}
	return mustJSON(known.Value(n)), ""
}

// tried returns raw if the type takes it.
func tried(t reflect.Type, raw []byte, says string) ([]byte, string) {
	if err := json.Unmarshal(raw, reflect.New(t).Interface()); err != nil {
		return nil, says
	}
	return raw, ""
}

func mustJSON(v any) []byte {
	raw, err := json.Marshal(v)
	if err != nil {
		panic(fmt.Sprintf("web: %T does not make JSON: %v", v, err))
	}
	return raw
}

// object is a JSON object or list being built from paths.
type object struct {
	leaf []byte
	list bool
	keys []string
	in   map[string]*object
}

func (o *object) set(s *shape, path []string, raw []byte) {
	if len(path) == 0 {
		o.leaf = raw
		return
	}
	next := s.elem
	o.list = next != nil
	if next == nil {
		next = s.parts[path[0]]
	}
	if o.in == nil {
		o.in = map[string]*object{}
	}
	child, ok := o.in[path[0]]
	if !ok {
		child = &object{}
		o.in[path[0]], o.keys = child, append(o.keys, path[0])
	}
	child.set(next, path[1:], raw)
}

// blankKeys are what an empty row of a list carries: which row it is, not what
// was seen.
var blankKeys = []string{"id", "side"}

// blank reports an element of a list that was offered and not filled in.
func (o *object) blank() bool {
	return o.leaf == nil && !slices.ContainsFunc(o.keys, func(k string) bool { return !slices.Contains(blankKeys, k) })
}

// empty reports a list of which no element was filled in.
func (o *object) empty() bool {
	return o.list && !slices.ContainsFunc(o.keys, func(k string) bool { return !o.in[k].blank() })
}

func (o *object) json(b []byte) []byte {
	if o.leaf != nil {
		return append(b, o.leaf...)
	}
	if o.list {
		return o.listJSON(b)
	}
	b = append(b, '{')
	n := 0
	for _, k := range o.keys {
		if o.in[k].empty() {
			continue
		}
		if n > 0 {
			b = append(b, ',')
		}
		b = strconv.AppendQuote(b, k)
		b = o.in[k].json(append(b, ':'))
		n++
	}
	return append(b, '}')
}

func (o *object) listJSON(b []byte) []byte {
	slices.SortFunc(o.keys, func(x, y string) int {
		nx, _ := listIndex(x)
		ny, _ := listIndex(y)
		return nx - ny
	})
	b = append(b, '[')
	n := 0
	for _, k := range o.keys {
		if o.in[k].blank() {
			continue
		}
		if n > 0 {
			b = append(b, ',')
		}
		b = o.in[k].json(b)
		n++
	}
	return append(b, ']')
}

// encodeForm spells a draft as the values of its controls. Answers that were
// not recorded have no value.
func encodeForm(d exam.Draft) url.Values {
	form, err := flatten(mustJSON(d))
	if err != nil {
		panic(fmt.Sprintf("web: a draft does not spell out: %v", err))
	}
	return form
}

// flatten turns the JSON of an exam document into paths and values.
func flatten(document []byte) (url.Values, error) {
	dec := json.NewDecoder(bytes.NewReader(document))
	dec.UseNumber()
	var root map[string]any
	if err := dec.Decode(&root); err != nil {
		return nil, fmt.Errorf("the exam document is not a JSON object: %w", err)
	}
	form := url.Values{}
	flattenInto(form, "", root)
	return form, nil
}

// maxDepth is deeper than any path of the document; what lies below is no part
// of it.
const maxDepth = 8

func flattenInto(form url.Values, path string, v any) {
	if strings.Count(path, ".") > maxDepth {
		form.Add(path, "too deep")
		return
	}
	switch v := v.(type) {
	case map[string]any:
		for k, part := range v {
			flattenInto(form, join(path, k), part)
		}
	case []any:
		for i, part := range v {
			if _, nested := part.(map[string]any); nested {
				flattenInto(form, join(path, strconv.Itoa(i)), part)
				continue
			}
			flattenInto(form, path, part)
		}
	case string:
		if v != "" {
			form.Add(path, v)
		}
	case json.Number:
		form.Add(path, v.String())
	case bool:
		form.Add(path, strconv.FormatBool(v))
	}
}

func join(path, part string) string {
	if path == "" {
		return part
	}
	return path + "." + part
}
