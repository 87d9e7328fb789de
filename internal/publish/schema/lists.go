package schema

import (
	"bytes"
	"encoding"
	"encoding/json"
	"iter"
	"maps"
	"reflect"
)

// The patterns of dates. They check the form; whether a day exists is checked
// when the document is read.
const (
	momentPattern  = `^[0-9]{4}(-[0-9]{2}(-[0-9]{2}(T[0-9]{2}:[0-9]{2}(:[0-9]{2}(\.[0-9]+)?)?(Z|[+-][0-9]{2}:[0-9]{2})?)?)?)?$`
	instantPattern = `^[0-9]{4}-[0-9]{2}-[0-9]{2}T[0-9]{2}:[0-9]{2}(:[0-9]{2}(\.[0-9]+)?)?(Z|[+-][0-9]{2}:[0-9]{2})$`
)

// readingWords are the words of a measurement without a number.
var readingWords = []string{"no-signal", "too-high", "not-possible", "refused"}

// Words lists the words of one of the kernel's closed lists in their order,
// without the empty word; nil for a type that is no such list.
func Words(t reflect.Type) []string {
	if t.Kind() != reflect.Uint8 {
		return nil
	}
	var list []string
	for i := range 256 {
		v := reflect.New(t).Elem()
		v.SetUint(uint64(i))
		m, ok := v.Interface().(encoding.TextMarshaler)
		if !ok {
			return nil
		}
		word, err := m.MarshalText()
		if err != nil {
			break
		}
		if len(word) > 0 {
			list = append(list, string(word))
		}
	}
	return list
}

// object is a JSON object whose members keep their order, so that the schema
// reads in the order of the exam.
type object []member

type member struct {
	name  string
	value any
}

// MarshalJSON writes the members in order.
func (o object) MarshalJSON() ([]byte, error) {
	var b bytes.Buffer
	b.WriteByte('{')
	for i, m := range o {
		if i > 0 {
			b.WriteByte(',')
		}
		name, err := plain(m.name)
		if err != nil {
			return nil, err
		}
		value, err := plain(m.value)
		if err != nil {
			return nil, err
		}
		b.Write(name)
		b.WriteByte(':')
		b.Write(value)
	}
	b.WriteByte('}')
	return b.Bytes(), nil
}

// plain writes JSON without escaping <, > and &, which descriptions may hold.
func plain(v any) ([]byte, error) {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	err := e.Encode(v)
	return bytes.TrimSpace(b.Bytes()), err
}

func keys(m map[string]object) iter.Seq[string] { return maps.Keys(m) }
