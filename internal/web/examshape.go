package web

import (
	"encoding"
	"fmt"
	"reflect"
	"strings"

	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/foot"
	"tengram/internal/kernel/heat"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/neuro"
)

// leafKind says how the text of a form control becomes JSON.
type leafKind string

const (
	branch      leafKind = ""        // has parts of its own
	wordLeaf    leafKind = "word"    // a word of a closed list, or a date
	textLeaf    leafKind = "text"    // free text, kept as typed
	numberLeaf  leafKind = "number"  // a plain number
	readingLeaf leafKind = "reading" // a whole number, or why there is none
	tenthsLeaf  leafKind = "tenths"  // a number with one decimal, or why there is none
	wordsLeaf   leafKind = "words"   // several words, one control each
	numbersLeaf leafKind = "numbers" // several whole numbers, one control each
)

// shape is the form of the exam document at one path, read off the Go types, so
// that a field added there can be filled in here without a second list.
type shape struct {
	kind leafKind
	typ  reflect.Type
	// names and parts are the fields of an object, in order.
	names []string
	parts map[string]*shape
	// elem is the form of each element of a list of objects.
	elem *shape
}

var documentShape = shapeOf(reflect.TypeFor[exam.Draft]())

var textMarshaler = reflect.TypeFor[encoding.TextMarshaler]()

func shapeOf(t reflect.Type) *shape {
	switch t {
	case reflect.TypeFor[known.Reading]():
		return &shape{kind: readingLeaf, typ: t}
	case reflect.TypeFor[known.Tenths]():
		return &shape{kind: tenthsLeaf, typ: t}
	case reflect.TypeFor[foot.Toes]():
		return &shape{kind: numbersLeaf, typ: t}
	case reflect.TypeFor[neuro.Filament]():
		return namedArray(int(neuro.SiteCount), func(i int) string { return neuro.Site(i).String() }, t)
	case reflect.TypeFor[heat.Temperatures]():
		return namedArray(int(heat.SpotCount), func(i int) string { return heat.Spot(i).String() }, t)
	}
	if t.Implements(textMarshaler) {
		return &shape{kind: wordLeaf, typ: t}
	}
	switch t.Kind() {
	case reflect.Pointer:
		return shapeOf(t.Elem())
	case reflect.String:
		return &shape{kind: textLeaf, typ: t}
	case reflect.Int, reflect.Float64:
		return &shape{kind: numberLeaf, typ: t}
	case reflect.Slice:
		if e := shapeOf(t.Elem()); e.kind == branch {
			return &shape{typ: t, elem: e}
		}
		return &shape{kind: wordsLeaf, typ: t}
	case reflect.Struct:
		return structShape(t)
	}
	panic(fmt.Sprintf("web: the exam document holds a %s, which no form control can fill", t))
}

func structShape(t reflect.Type) *shape {
	s := &shape{typ: t, parts: map[string]*shape{}}
	for i := range t.NumField() {
		name, _, _ := strings.Cut(t.Field(i).Tag.Get("json"), ",")
		s.names = append(s.names, name)
		s.parts[name] = shapeOf(t.Field(i).Type)
	}
	return s
}

// namedArray is an array whose JSON is an object with a name for each place.
func namedArray(n int, name func(int) string, t reflect.Type) *shape {
	s := &shape{typ: t, parts: map[string]*shape{}}
	for i := range n {
		s.names = append(s.names, name(i))
		s.parts[name(i)] = shapeOf(t.Elem())
	}
	return s
}

// at finds the shape under a path such as "right.look.lesions.0.kind".
func (s *shape) at(path string) (*shape, bool) {
	for part := range strings.SplitSeq(path, ".") {
		if s.elem != nil {
			if _, ok := listIndex(part); !ok {
				return nil, false
			}
			s = s.elem
			continue
		}
		next, ok := s.parts[part]
		if !ok {
			return nil, false
		}
		s = next
	}
	return s, true
}

// maxList bounds the lists of a document, so that no form can ask for a huge one.
const maxList = 200

func listIndex(part string) (int, bool) {
	n := 0
	if part == "" || len(part) > 3 {
		return 0, false
	}
	for _, c := range part {
		if c < '0' || c > '9' {
			return 0, false
		}
		n = n*10 + int(c-'0')
	}
	return n, n < maxList
}

// leaves calls visit with the path of every leaf; an element of a list stands
// as "*".
func (s *shape) leaves(prefix string, visit func(path string, leaf *shape)) {
	switch {
	case s.kind != branch:
		visit(strings.TrimSuffix(prefix, "."), s)
	case s.elem != nil:
		s.elem.leaves(prefix+"*.", visit)
	default:
		for _, name := range s.names {
			s.parts[name].leaves(prefix+name+".", visit)
		}
	}
}
