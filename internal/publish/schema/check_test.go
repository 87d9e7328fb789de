package schema_test

import (
	"encoding/json"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"

	"tengram/internal/kernel/exam"
	"tengram/internal/publish/schema"
)

// TestTheSchemaAndTheExamsOwnCheckDrawTheSameLines goes to both ends of every
// range in the schema: inside, neither the schema nor the kernel's check
// complains; one step outside, both do.
func TestTheSchemaAndTheExamsOwnCheckDrawTheSameLines(t *testing.T) {
	s := compiled(t)
	for _, c := range []struct {
		path, key string
		tenths    bool
	}{
		{"/ask/a1c-percent", "exam.Ask.A1c", true},
		{"/arms/right", "perfusion.Arms.Right", false},
		{"/arms/left", "perfusion.Arms.Left", false},
		{"/vitals/temperature-c", "wound.Systemic.TemperatureC", true},
		{"/vitals/heart-rate", "wound.Systemic.HeartRate", false},
		{"/vitals/respiratory-rate", "wound.Systemic.RespiratoryRate", false},
		{"/vitals/white-cells", "wound.Systemic.WhiteCells", true},
		{"/vitals/immature-cells-percent", "wound.Systemic.ImmatureCells", true},
		{"/vitals/paco2-mmhg", "wound.Systemic.PaCO2", false},
		{"/right/feel/arteries/ankle-dp", "perfusion.Leg.AnkleDP", false},
		{"/left/feel/arteries/ankle-pt", "perfusion.Leg.AnklePT", false},
		{"/right/feel/arteries/toe-pressure", "perfusion.Leg.ToePressure", false},
		{"/left/feel/arteries/tcpo2", "perfusion.Leg.TcPO2", false},
		{"/right/test/vpt-volts", "neuro.Foot.VPT", true},
		{"/ulcers/0/infection/erythema-mm", "wound.Infection.ErythemaMM", false},
		{"/ulcers/0/size/length-mm", "wound.Size.LengthMM", false},
		{"/ulcers/0/size/width-mm", "wound.Size.WidthMM", false},
	} {
		low, high := schema.Range(c.key)
		if high == 0 {
			t.Fatalf("%s has no range", c.key)
		}
		for _, v := range []int{low - 1, low, high, high + 1} {
			doc := small(t)
			if strings.Contains(c.path, "/size/") { // two diameters, the length not the shorter one
				set(t, doc, "/ulcers/0/size", map[string]any{"method": "ellipse", "length-mm": 500, "width-mm": 1})
			}
			number := any(v)
			if c.tenths {
				number = float64(v) / 10
			}
			set(t, doc, c.path, number)
			allowed := v >= low && v <= high
			bySchema, byCheck := judged(t, s, doc, c.path)
			if bySchema != allowed || byCheck != allowed {
				t.Errorf("%s = %v: allowed by the schema %t, by the check %t, want %t", c.path, number, bySchema, byCheck, allowed)
			}
		}
	}
}

// TestSkinTemperaturesOutsideBothUnitsAreRefusedByBoth holds for the one range
// that depends on another field: the schema only knows the outer ends.
func TestSkinTemperaturesOutsideBothUnitsAreRefusedByBoth(t *testing.T) {
	s := compiled(t)
	for _, c := range []struct {
		unit    string
		degrees float64
		allowed bool
	}{
		{"C", 14.9, false}, {"C", 15, true}, {"C", 45, true},
		{"F", 59, true}, {"F", 113, true}, {"F", 113.1, false},
	} {
		doc := small(t)
		set(t, doc, "/temperature-unit", c.unit)
		set(t, doc, "/left/feel/temperatures/heel", c.degrees)
		bySchema, byCheck := judged(t, s, doc, "/left/feel/temperatures/heel")
		if bySchema != c.allowed || byCheck != c.allowed {
			t.Errorf("%v %s: allowed by the schema %t, by the check %t, want %t", c.degrees, c.unit, bySchema, byCheck, c.allowed)
		}
	}
}

// judged says whether the schema, and the exam's own check, let the field stand.
func judged(t *testing.T, s *jsonschema.Schema, doc map[string]any, path string) (bySchema, byCheck bool) {
	t.Helper()
	text := write(t, doc)
	var d exam.Draft
	if err := json.Unmarshal(text, &d); err != nil {
		t.Fatal(err)
	}
	field := strings.ReplaceAll(strings.TrimPrefix(path, "/"), "/", ".")
	byCheck = true
	_, problems := exam.Check(d)
	for _, p := range problems { // of an ulcer's size the check names the whole
		byCheck = byCheck && !(p.Blocks && (p.Field == field || strings.HasPrefix(field, p.Field+".")))
	}
	return validate(s, text) == nil, byCheck
}
