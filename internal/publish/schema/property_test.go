package schema_test

import (
	"encoding/json"
	"reflect"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/foot"
	"tengram/internal/kernel/heat"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/when"
	"tengram/internal/publish/schema"
)

// TestAnyDraftIsWrittenAsAValidDocument fills every field of a draft by its
// type: whatever a draft can hold, the schema allows, and what was written is
// read back as the same draft.
func TestAnyDraftIsWrittenAsAValidDocument(t *testing.T) {
	s := compiled(t)
	rapid.Check(t, func(t *rapid.T) {
		var d exam.Draft
		fill(t, reflect.ValueOf(&d).Elem(), "exam.Draft", false)
		text := write(t, d)
		if err := validate(s, text); err != nil {
			t.Fatalf("%v\n%s", err, text)
		}
		var back exam.Draft
		if err := json.Unmarshal(text, &back); err != nil {
			t.Fatalf("%v\n%s", err, text)
		}
		if !reflect.DeepEqual(d, back) {
			t.Fatalf("read back as another draft:\n%s", cmp.Diff(string(text), string(write(t, back))))
		}
	})
}

// fill gives a value something of its type. key names the field, whose value
// may be left out where optional.
func fill(t *rapid.T, v reflect.Value, key string, optional bool) {
	if optional && rapid.IntRange(0, 2).Draw(t, key+" left out") == 0 {
		return
	}
	low, high := schema.Range(key)
	switch x := v.Addr().Interface().(type) {
	case *when.Moment:
		*x = when.MustMoment(rapid.SampledFrom(moments(key)).Draw(t, key))
		return
	case *known.Reading:
		*x = known.Reading{State: known.ReadingState(rapid.IntRange(1, int(known.MeasureDeclined)).Draw(t, key))}
		if x.Known() {
			x.Value = rapid.IntRange(low, high).Draw(t, key)
		}
		return
	case *known.Tenths:
		*x = known.Tenths{State: known.ReadingState(rapid.IntRange(1, int(known.MeasureDeclined)).Draw(t, key))}
		if x.Known() {
			x.Value = rapid.IntRange(low, high).Draw(t, key)
		}
		return
	case *heat.Temperatures:
		for i := range x {
			fill(t, v.Index(i), key, true)
		}
		return
	case *foot.Toes:
		*x = foot.Toes(rapid.IntRange(1, 31).Draw(t, key))
		return
	}
	switch v.Kind() {
	case reflect.Struct:
		for i := range v.NumField() {
			f := v.Type().Field(i)
			fill(t, v.Field(i), v.Type().String()+"."+f.Name, strings.Contains(f.Tag.Get("json"), "omit"))
		}
	case reflect.Pointer:
		v.Set(reflect.New(v.Type().Elem()))
		fill(t, v.Elem(), key, false)
	case reflect.Slice:
		v.Set(reflect.MakeSlice(v.Type(), rapid.IntRange(1, 3).Draw(t, key), 3))
		for i := range v.Len() {
			fill(t, v.Index(i), key, false)
		}
	case reflect.Array:
		for i := range v.Len() {
			fill(t, v.Index(i), key, true)
		}
	case reflect.Uint8:
		word := rapid.SampledFrom(schema.Words(v.Type())).Draw(t, key)
		if err := v.Addr().Interface().(interface{ UnmarshalText([]byte) error }).UnmarshalText([]byte(word)); err != nil {
			t.Fatal(err)
		}
	case reflect.String:
		v.SetString(rapid.StringN(1, 12, -1).Draw(t, key))
		if key == "exam.Draft.Schema" {
			v.SetString(exam.SchemaID)
		}
	case reflect.Int:
		if high == 0 {
			high = 1_000_000
		}
		v.SetInt(int64(rapid.IntRange(max(low, 1), high).Draw(t, key)))
	case reflect.Float64:
		v.SetFloat(rapid.Float64Range(0.001, 5000).Draw(t, key))
	default:
		t.Fatalf("no rule for %s at %s", v.Type(), key)
	}
}

func moments(key string) []string {
	instants := []string{"2026-04-06T09:30:00-05:00", "2024-02-29T23:59:60Z", "2026-12-31T00:00+14:00", "1999-01-01T00:00:00.123456Z"}
	if strings.HasSuffix(key, ".At") {
		return instants
	}
	return append(instants, "2026", "2026-04", "2026-04-06", "2026-04-06T09:30")
}
