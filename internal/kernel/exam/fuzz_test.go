package exam

import (
	"encoding/json"
	"testing"
)

// Check, and everything that says what is missing, take any document that can
// be read, and a document that passes comes back as it was.
func FuzzCheckAnyDocument(f *testing.F) {
	d := normal()
	b, err := json.Marshal(d)
	if err != nil {
		f.Fatal(err)
	}
	f.Add(b)
	f.Add([]byte(`{"schema":"tengram/exam/1","revision":2,"amends":{"revision":1},"right":{"loss":{"level":"toes","toes":[1,2]}}}`))
	f.Add([]byte(`{"ulcers":[{"id":"u1","side":"left","place":"heel","size":{"outline":[{"x":0,"y":0},{"x":4,"y":0},{"x":0,"y":3}],"units-per-mm":1}},{}]}`))
	f.Add([]byte(`{"left":{"look":{"lesions":[{"place":"mth1","kind":"callus"}],"deformities":["claw-toe"]},"feel":{"arteries":{"toe-used":9}}},"override":{}}`))
	f.Fuzz(func(t *testing.T, b []byte) {
		var d Draft
		if json.Unmarshal(b, &d) != nil {
			return
		}
		checked, problems := Check(d)
		d.MissingForMeasure()
		d.MissingForComprehensive()
		for _, p := range problems {
			if p.Field == "" || p.Says == "" {
				t.Errorf("a problem names nothing: %+v", p)
			}
		}
		if Blocked(problems) {
			return
		}
		written, err := json.Marshal(checked)
		if err != nil {
			t.Fatalf("an exam that may be signed cannot be written: %v", err)
		}
		var back Draft
		if err := json.Unmarshal(written, &back); err != nil {
			t.Fatalf("what was written cannot be read: %v", err)
		}
		again, err := json.Marshal(back)
		if err != nil || string(again) != string(written) {
			t.Errorf("written and read again it differs: %v\n%s\n%s", err, written, again)
		}
	})
}
