// Package schema writes the JSON Schema of the exam document, so that others
// can check a document before they send it and know what each field means.
//
// The shape comes from the kernel's own types and closed lists, and only the
// words are kept here: a field without words, or words without a field, is an
// error, so the published schema cannot fall behind the code.
package schema

import (
	"bytes"
	"encoding/json"
	"fmt"
	"reflect"
	"slices"
	"strings"

	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/foot"
	"tengram/internal/kernel/heat"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/neuro"
	"tengram/internal/kernel/when"
)

// ID is the address that names the schema.
const ID = "https://tengram.example/schema/exam-1.schema.json"

// Exam returns the JSON Schema (draft 2020-12) of the exam document, indented.
// It fails only where code and words do not fit each other.
func Exam() ([]byte, error) {
	b := &builder{used: map[string]bool{}, defs: map[string]object{}}
	head := object{
		{"$schema", "https://json-schema.org/draft/2020-12/schema"},
		{"$id", ID},
		{"title", "Tengram exam document, version 1"},
	}
	root, err := b.structure(reflect.TypeFor[exam.Draft]())
	if err != nil {
		return nil, err
	}
	if err := b.leftOver(); err != nil {
		return nil, err
	}
	names := slices.Sorted(keys(b.defs))
	defs := make(object, 0, len(names))
	for _, name := range names {
		defs = append(defs, member{name, b.defs[name]})
	}
	text, err := plain(append(append(head, root...), member{"$defs", defs}))
	if err != nil {
		return nil, fmt.Errorf("write the exam schema: %w", err)
	}
	var out bytes.Buffer
	if err := json.Indent(&out, text, "", "  "); err != nil {
		return nil, fmt.Errorf("indent the exam schema: %w", err)
	}
	out.WriteByte('\n')
	return out.Bytes(), nil
}

type builder struct {
	// used are the keys of words that a type or field asked for.
	used map[string]bool
	defs map[string]object
}

// leftOver says which words belong to nothing any more.
func (b *builder) leftOver() error {
	var stale []string
	for key := range words {
		if !b.used[key] {
			stale = append(stale, key)
		}
	}
	if slices.Sort(stale); len(stale) > 0 {
		return fmt.Errorf("internal/publish/schema/words*.go describes what the exam document does not have: %s", strings.Join(stale, ", "))
	}
	return nil
}

func (b *builder) words(key string) (entry, error) {
	e, ok := words[key]
	if !ok {
		return entry{}, fmt.Errorf("internal/publish/schema/words*.go does not describe %s: say what it means, with its unit", key)
	}
	b.used[key] = true
	return e, nil
}

// structure is the schema of a struct: its fields in order, nothing else.
func (b *builder) structure(t reflect.Type) (object, error) {
	about, err := b.words(t.String())
	if err != nil {
		return nil, err
	}
	properties, required := object{}, []string{}
	for i := range t.NumField() {
		f := t.Field(i)
		name, options, _ := strings.Cut(f.Tag.Get("json"), ",")
		if name == "" || name == "-" {
			return nil, fmt.Errorf("field %s of %s has no name in JSON", f.Name, t)
		}
		if !strings.Contains(options, "omit") {
			required = append(required, name)
		}
		e, err := b.words(t.String() + "." + f.Name)
		if err != nil {
			return nil, err
		}
		value, err := b.value(f.Type, e)
		if err != nil {
			return nil, err
		}
		properties = append(properties, member{name, append(object{{"description", e.says}}, value...)})
	}
	s := object{{"description", about.says}, {"type", "object"}, {"properties", properties}}
	if len(required) > 0 {
		s = append(s, member{"required", required})
	}
	return append(s, member{"additionalProperties", false}), nil
}

// value is the schema of a field's value, without its description.
func (b *builder) value(t reflect.Type, e entry) (object, error) {
	switch t {
	case reflect.TypeFor[when.Moment]():
		if e.instant {
			return object{{"type", "string"}, {"pattern", instantPattern}}, nil
		}
		return b.ref("moment", object{
			{"description", "A date or time in the precision in which it is known: YYYY, YYYY-MM, YYYY-MM-DD, or with a clock time and its offset from UTC."},
			{"type", "string"}, {"pattern", momentPattern},
		}), nil
	case reflect.TypeFor[known.Reading]():
		return b.measured("integer", e.low, e.high), nil
	case reflect.TypeFor[known.Tenths]():
		return b.measured("number", e.low/10, e.high/10), nil
	case reflect.TypeFor[foot.Toes]():
		return b.ref("toes", object{
			{"description", "Toes by number: 1 is the great toe, 5 the little toe."},
			{"type", "array"}, {"uniqueItems", true},
			{"items", object{{"type", "integer"}, {"minimum", 1}, {"maximum", 5}}},
		}), nil
	case reflect.TypeFor[neuro.Filament]():
		return b.sites(t, "filament", int(neuro.SiteCount), func(i int) (string, string) {
			s := neuro.Site(i)
			return s.String(), "10 g monofilament at the " + s.Place().Words() + "."
		}, func() (object, error) { return b.value(reflect.TypeFor[known.Finding](), entry{}) })
	case reflect.TypeFor[heat.Temperatures]():
		return b.sites(t, "temperatures", int(heat.SpotCount), func(i int) (string, string) {
			s := heat.Spot(i)
			return s.String(), "Skin temperature at the " + s.Place().Words() + ", in the document's temperature-unit."
		}, func() (object, error) { return b.measured("number", e.low/10, e.high/10), nil })
	}
	return b.kind(t, e)
}

// kind is the schema of a value by its Go kind.
func (b *builder) kind(t reflect.Type, e entry) (object, error) {
	switch t.Kind() {
	case reflect.Pointer:
		return b.value(t.Elem(), e)
	case reflect.Slice:
		items, err := b.value(t.Elem(), entry{})
		return object{{"type", "array"}, {"items", items}}, err
	case reflect.Struct:
		s, err := b.structure(t)
		return b.ref(name(t), s), err
	case reflect.Uint8:
		return b.list(t)
	case reflect.String:
		switch {
		case e.exactly != "":
			return object{{"const", e.exactly}}, nil
		case e.needed:
			return object{{"type", "string"}, {"minLength", 1}}, nil
		}
		return object{{"type", "string"}}, nil
	case reflect.Int:
		s := object{{"type", "integer"}, {"minimum", e.low}}
		if e.high > 0 {
			s = append(s, member{"maximum", e.high})
		}
		return s, nil
	case reflect.Float64:
		if e.positive {
			return object{{"type", "number"}, {"exclusiveMinimum", 0}}, nil
		}
		return object{{"type", "number"}}, nil
	}
	return nil, fmt.Errorf("the exam document holds a %s, for which the schema has no rule", t)
}

// ref keeps a definition under its name and returns the reference to it.
func (b *builder) ref(name string, definition object) object {
	b.defs[name] = definition
	return object{{"$ref", "#/$defs/" + name}}
}

// name is the name of a definition, such as "exam-foot" and "neuro-foot".
func name(t reflect.Type) string {
	return strings.ToLower(strings.ReplaceAll(t.String(), ".", "-"))
}

// list is the schema of a closed list of words. The empty word is left out: in
// a document, what was not recorded is not there.
func (b *builder) list(t reflect.Type) (object, error) {
	about, err := b.words(t.String())
	if err != nil {
		return nil, err
	}
	list := Words(t)
	if len(list) == 0 {
		return nil, fmt.Errorf("%s is not a closed list of words", t)
	}
	return b.ref(name(t), object{{"description", about.says}, {"enum", list}}), nil
}

// sites is the schema of an object with a fixed set of places.
func (b *builder) sites(t reflect.Type, name string, n int, site func(int) (word, says string), value func() (object, error)) (object, error) {
	about, err := b.words(t.String())
	if err != nil {
		return nil, err
	}
	properties := object{}
	for i := range n {
		v, err := value()
		if err != nil {
			return nil, err
		}
		word, says := site(i)
		properties = append(properties, member{word, append(object{{"description", says}}, v...)})
	}
	return b.ref(name, object{
		{"description", about.says}, {"type", "object"}, {"properties", properties}, {"additionalProperties", false},
	}), nil
}

// measured is a number in a range, or a word that says why there is none.
func (b *builder) measured(kind string, low, high int) object {
	return object{{"anyOf", []object{
		{{"type", kind}, {"minimum", low}, {"maximum", high}},
		b.ref("no-number", object{
			{"description", "Why a measurement has no number. no-signal: the probe found nothing. too-high: the vessel could not be compressed, or the value is above the device's range. A measurement that was not tried is left out."},
			{"enum", readingWords},
		}),
	}}}
}
