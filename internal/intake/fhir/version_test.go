package fhir

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"tengram/internal/clinic"
	"tengram/internal/kernel/record"
)

func TestTheVersionOfAResourceIsReadAndNeverARefusal(t *testing.T) {
	told := record.VersionOf("2024-01-01T10:00:00Z", "7")
	for _, c := range []struct {
		says, meta string
		want       record.Version
	}{
		{"both", `{"profile":["x"],"versionId":"7","lastUpdated":"2024-01-01T11:00:00+01:00","tag":[{"code":"y"}]}`, told},
		{"nothing", `{}`, record.Version{}},
		{"no object", `"7"`, record.Version{}},
		{"null", `null`, record.Version{}},
		{"numbers in the place of text", `{"versionId":7,"lastUpdated":20240101}`, record.Version{}},
		{"a number beside a text", `{"versionId":7,"lastUpdated":"2024-01-01T10:00:00Z"}`, record.Version{Updated: told.Updated}},
		{"lists", `{"versionId":["7"],"lastUpdated":{"value":"x"}}`, record.Version{}},
	} {
		t.Run(c.says, func(t *testing.T) {
			for _, form := range []string{`{"resourceType":"Observation","meta":%s,` + finalFoot, `{"meta":%s,"resourceType":"Observation",` + finalFoot, `{"resourceType":"Observation",` + finalFoot[:len(finalFoot)-1] + `,"meta":%s}`} {
				out := decodeLine(fmt.Sprintf(form, c.meta))
				if len(out.asides) != 0 || len(out.facts) != 2 {
					t.Fatalf("%d facts, asides %+v", len(out.facts), out.asides)
				}
				for _, f := range out.facts {
					if f.Fact.Version != c.want {
						t.Errorf("version %+v of %s, want %+v", f.Fact.Version, f.Fact.Key, c.want)
					}
				}
			}
			p := decodeLine(`{"resourceType":"Patient","id":"p","gender":"female","birthDate":"1960-01-02","meta":` + c.meta + `}`)
			if len(p.people) != 1 || p.people[0].Version != c.want {
				t.Errorf("people %+v", p.people)
			}
		})
	}
}

const finalFoot = `"id":"1","status":"final","subject":{"reference":"Patient/p"},"component":[{"code":{"text":"left"},"valueString":"felt"}]}`

func TestTheOrderOfVersionsOfAResourceNeverMatters(t *testing.T) {
	folder := t.TempDir()
	rapid.Check(t, func(t *rapid.T) {
		lines := []string{}
		for range rapid.IntRange(2, 12).Draw(t, "lines") {
			at := rapid.IntRange(0, 50).Draw(t, "at")
			// One instant in two writings; the content hangs on the instant alone.
			updated := fmt.Sprintf("2024-01-01T23:%02d:00Z", at)
			if rapid.Bool().Draw(t, "offset") {
				updated = fmt.Sprintf("2024-01-02T01:%02d:00.000+02:00", at)
			}
			meta := fmt.Sprintf(`"meta":{"lastUpdated":"%s","versionId":"%d"}`, updated, 99-at)
			switch rapid.IntRange(0, 2).Draw(t, "type") {
			case 0:
				lines = append(lines, fmt.Sprintf(`{"resourceType":"Patient","id":"p","gender":"female","birthDate":"19%02d",%s}`, at, meta))
			case 1:
				lines = append(lines, fmt.Sprintf(`{"resourceType":"Condition","id":"1",%s,"subject":{"reference":"Patient/p"},"onsetDateTime":"20%02d","verificationStatus":{"coding":[{"code":"%s"}]}}`,
					meta, at, []string{"confirmed", "entered-in-error"}[at%2]))
			case 2:
				component := strings.Repeat(`,{"valueString":"x"}`, at%4)
				lines = append(lines, fmt.Sprintf(`{"resourceType":"Observation","id":"1",%s,"status":"final","subject":{"reference":"Patient/p"},"component":[%s]}`, meta, strings.TrimPrefix(component, ",")))
			}
		}
		read := func(lines []string) (records []record.Record, orphans []record.Orphan) {
			path := filepath.Join(folder, "a.ndjson")
			if err := os.WriteFile(path, []byte(strings.Join(lines, "\n")), 0o600); err != nil {
				t.Fatal(err)
			}
			var g clinic.Gather
			if _, err := Open([]string{path}, Options{}).Read(context.Background(), &g); err != nil {
				t.Fatal(err)
			}
			return bare(g.Records()), g.Orphans()
		}
		one, orphans := read(lines)
		other, others := read(rapid.Permutation(lines).Draw(t, "other order"))
		if diff := cmp.Diff(one, other, moments); diff != "" {
			t.Fatal(diff)
		}
		if diff := cmp.Diff(orphans, others, elsewhere); diff != "" {
			t.Fatal(diff)
		}
	})
}
