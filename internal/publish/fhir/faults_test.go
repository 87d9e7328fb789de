package fhir

import (
	"encoding/json"
	"fmt"
	"maps"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"tengram/internal/kernel/term"
)

// faults finds what the validators do not look for: calendar dates, more than
// one of a choice, a missing status, empty elements, rules of R4 that speak of
// two elements at once, codes that are not ours and in no list, and references
// that lead nowhere. outside are the references that may leave the document.
func faults(t testing.TB, doc []byte, outside ...string) []string {
	t.Helper()
	var root map[string]any
	if err := json.Unmarshal(doc, &root); err != nil {
		t.Fatal(err)
	}
	c := &checker{has: map[string]bool{}, local: map[string]string{}, standard: map[string]bool{}}
	for _, l := range Locals() {
		c.local[l.Code] = l.Display
	}
	for _, s := range Standards() {
		c.standard[s.System+"|"+s.Code] = true
	}
	for _, ref := range outside {
		c.has[ref] = true
	}
	c.resources(root)
	c.walk("", root, root)
	return c.found
}

type checker struct {
	has      map[string]bool
	local    map[string]string
	standard map[string]bool
	found    []string
}

func (c *checker) fault(at, format string, args ...any) {
	c.found = append(c.found, at+": "+fmt.Sprintf(format, args...))
}

// resources notes what can be referred to, and checks addresses.
func (c *checker) resources(root map[string]any) {
	entries, _ := root["entry"].([]any)
	for _, e := range entries {
		e := e.(map[string]any)
		r, _ := e["resource"].(map[string]any)
		key := fmt.Sprintf("%v/%v", r["resourceType"], r["id"])
		if c.has[key] && !strings.HasPrefix(key, "Patient/") {
			c.fault(key, "twice in the Bundle")
		}
		c.has[key] = true
		if e["fullUrl"] != Base+"/"+key {
			c.fault(key, "its address is %v", e["fullUrl"])
		}
	}
}

var statusOf = map[string]bool{
	"Observation": true, "DiagnosticReport": true, "RiskAssessment": true, "ServiceRequest": true, "Procedure": true,
	"MeasureReport": true, "Measure": true, "List": true, "CodeSystem": true,
}

var (
	idForm  = regexp.MustCompile(`^[A-Za-z0-9.-]{1,64}$`)
	choices = []string{"value", "effective", "occurrence", "performed", "onset", "deceased", "multipleBirth"}
	days    = map[string]bool{"birthDate": true, "start": true, "end": true, "date": true, "authoredOn": true,
		"effectiveDateTime": true, "occurrenceDateTime": true, "performedDateTime": true, "valueDateTime": true}
	instants = map[string]bool{"issued": true, "recorded": true, "timestamp": true, "lastUpdated": true}
)

func (c *checker) walk(at string, v any, root map[string]any) {
	switch v := v.(type) {
	case map[string]any:
		if len(v) == 0 {
			c.fault(at, "an empty element")
		}
		if typ, ok := v["resourceType"].(string); ok {
			at = fmt.Sprintf("%s %v", typ, v["id"])
			root = v
			if id, _ := v["id"].(string); !idForm.MatchString(id) {
				c.fault(at, "no id that FHIR can hold")
			}
			if status, _ := v["status"].(string); statusOf[typ] && status == "" {
				c.fault(at, "no status")
			}
		}
		c.object(at, v, root)
		for _, k := range slices.Sorted(maps.Keys(v)) {
			c.walk(at+"."+k, v[k], root)
		}
	case []any:
		if len(v) == 0 {
			c.fault(at, "an empty list")
		}
		for i, x := range v {
			c.walk(fmt.Sprintf("%s[%d]", at, i), x, root)
		}
	case string:
		c.text(at, v)
	case nil:
		c.fault(at, "null")
	}
}

func (c *checker) object(at string, v, root map[string]any) {
	for _, choice := range choices {
		n := 0
		for k := range v {
			if rest, ok := strings.CutPrefix(k, choice); ok && rest != "" && rest[0] >= 'A' && rest[0] <= 'Z' {
				n++
			}
		}
		if n > 1 {
			c.fault(at, "%d of %s[x]", n, choice)
		}
		if choice == "value" && n > 0 && v["dataAbsentReason"] != nil {
			c.fault(at, "a value and a reason for its absence (obs-6)")
		}
	}
	if ref, ok := v["reference"].(string); ok && !c.resolves(ref, root) {
		c.fault(at, "refers to %s, which is not there", ref)
	}
	if system, ok := v["system"].(string); ok && v["code"] != nil {
		c.code(at, system, v["code"].(string), v["display"])
	}
	if parts, ok := v["component"].([]any); ok && hasValue(v) {
		for _, p := range parts {
			if fmt.Sprint(p.(map[string]any)["code"]) == fmt.Sprint(v["code"]) {
				c.fault(at, "a component with the code of the whole (obs-7)")
			}
		}
	}
}

func hasValue(v map[string]any) bool {
	for k := range v {
		if strings.HasPrefix(k, "value") {
			return true
		}
	}
	return false
}

func (c *checker) resolves(ref string, root map[string]any) bool {
	if local, ok := strings.CutPrefix(ref, "#"); ok {
		contained, _ := root["contained"].([]any)
		return slices.ContainsFunc(contained, func(r any) bool { return r.(map[string]any)["id"] == local })
	}
	return c.has[ref]
}

func (c *checker) code(at, system, code string, display any) {
	switch system {
	case term.LocalURI:
		if d, ok := c.local[code]; !ok || d != display {
			c.fault(at, "our own code %q with %q is in no list", code, display)
		}
	case snomed, loinc:
		if !c.standard[system+"|"+code] {
			c.fault(at, "%s|%s is not among the standard codes", system, code)
		}
	case absentSystem, interpretationSystem, categorySystem, populationSystem, scoringSystem, typeSystem, improvementSystem, ucum:
	default:
		if !strings.HasSuffix(at, "valueCoding") {
			c.fault(at, "a code of %s", system)
		}
	}
}

func (c *checker) text(at, s string) {
	if strings.TrimSpace(s) == "" {
		c.fault(at, "an empty text")
	}
	field := at[strings.LastIndexByte(at, '.')+1:]
	if days[field] && !calendar(s) {
		c.fault(at, "%q is no date", s)
	}
	if _, err := time.Parse(time.RFC3339Nano, strings.Replace(s, ":60", ":59", 1)); instants[field] && err != nil {
		c.fault(at, "%q is no instant", s)
	}
}

func calendar(s string) bool {
	s = strings.Replace(s, ":60", ":59", 1)
	for _, form := range []string{"2006", "2006-01", "2006-01-02", time.RFC3339Nano} {
		if _, err := time.Parse(form, s); err == nil {
			return true
		}
	}
	return false
}

// TestTheOwnChecksFindWhatIsDamaged damages a right Bundle in each way that the
// two validators do not notice.
func TestTheOwnChecksFindWhatIsDamaged(t *testing.T) {
	doc, err := ExamBundle(example(t, "17"), anyone("tg-example-17"), Options{Names: true})
	if err != nil {
		t.Fatal(err)
	}
	if found := faults(t, doc); len(found) > 0 {
		t.Fatalf("the right one: %v", found)
	}
	for _, c := range []struct{ says, from, to, want string }{
		{"30 February", `"effectiveDateTime": "2026-04-28T09:30:00-05:00"`, `"effectiveDateTime": "2026-02-30T09:30:00-05:00"`, "is no date"},
		{"a day for an instant", `"timestamp": "2026-04-29T08:00:00-05:00"`, `"timestamp": "2026-04-29"`, "is no instant"},
		{"no status", `"status": "final",`, ``, "no status"},
		{"two values", `"valueBoolean": true`, `"valueBoolean": true, "valueInteger": 1`, "of value[x]"},
		{"a value beside its absence", `"valueBoolean": true`, `"valueBoolean": true, "dataAbsentReason": {"text": "x"}`, "obs-6"},
		{"a reference that leads nowhere", `"reference": "Observation/`, `"reference": "Observation/x`, "which is not there"},
		{"another code", `"code": "401191002"`, `"code": "401191003"`, "not among the standard codes"},
		{"a code of nobody", `"code": "felt"`, `"code": "felt-somewhat"`, "is in no list"},
		{"an empty list", `"result": [`, `"extension": [], "result": [`, "an empty list"},
	} {
		damaged := strings.Replace(string(doc), c.from, c.to, 1)
		if damaged == string(doc) {
			t.Errorf("%s: %s is not in the Bundle", c.says, c.from)
			continue
		}
		if found := strings.Join(faults(t, []byte(damaged)), "\n"); !strings.Contains(found, c.want) {
			t.Errorf("%s: found %q", c.says, found)
		}
	}
}
