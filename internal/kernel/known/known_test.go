package known

import (
	"encoding/json"
	"testing"
)

// Kleene's strong logic, in full: S. C. Kleene, Introduction to Metamathematics
// (1952), section 64 (from memory), three values, so nine rows each.
func TestThreeValuedLogicIsKleenes(t *testing.T) {
	rows := []struct{ a, b, any, all Tri }{
		{No, No, No, No}, {No, Unknown, Unknown, No}, {No, Yes, Yes, No},
		{Unknown, No, Unknown, No}, {Unknown, Unknown, Unknown, Unknown}, {Unknown, Yes, Yes, Unknown},
		{Yes, No, Yes, No}, {Yes, Unknown, Yes, Unknown}, {Yes, Yes, Yes, Yes},
	}
	for _, r := range rows {
		if got := Any(r.a, r.b); got != r.any {
			t.Errorf("Any(%v, %v) = %v, want %v", r.a, r.b, got, r.any)
		}
		if got := All(r.a, r.b); got != r.all {
			t.Errorf("All(%v, %v) = %v, want %v", r.a, r.b, got, r.all)
		}
		if got, want := Any(r.a, r.b).Not(), All(r.a.Not(), r.b.Not()); got != want {
			t.Errorf("De Morgan fails for %v, %v: %v and %v", r.a, r.b, got, want)
		}
	}
	if Any() != No || All() != Yes {
		t.Error("Any of nothing must be No, All of nothing Yes")
	}
}

func TestOnlyAClearAnswerIsKnown(t *testing.T) {
	for a := NotAsked; a <= Prevented; a++ {
		if known := a.Tri().Known(); known != (a == AnswerNo || a == AnswerYes) {
			t.Errorf("answer %v: known = %v", a, known)
		}
	}
	for f := NotDone; f <= Refused; f++ {
		if known := f.Abnormal().Known(); known != (f == Normal || f == Abnormal) {
			t.Errorf("finding %v: known = %v", f, known)
		}
	}
}

func TestZeroValuesAreNotRecordedAndLeftOutOfJSON(t *testing.T) {
	type all struct {
		A Answer  `json:"a,omitzero"`
		F Finding `json:"f,omitzero"`
		R Reading `json:"r,omitzero"`
		T Tenths  `json:"t,omitzero"`
	}
	b, err := json.Marshal(all{})
	if err != nil || string(b) != "{}" {
		t.Errorf("zero values marshal to %s, %v", b, err)
	}
	if (Answer(0).Recorded()) || Finding(0).Recorded() || (Reading{}).Recorded() || (Tenths{}).Recorded() {
		t.Error("a zero value reports that something was recorded")
	}
}

func TestReadingsRoundTripThroughJSON(t *testing.T) {
	for _, text := range []string{"0", "84", "-3", `"no-signal"`, `"too-high"`, `"not-possible"`, `"refused"`} {
		var r Reading
		if err := json.Unmarshal([]byte(text), &r); err != nil {
			t.Errorf("%s: %v", text, err)
			continue
		}
		if b, err := json.Marshal(r); err != nil || string(b) != text {
			t.Errorf("%s comes back as %s, %v", text, b, err)
		}
	}
	for _, text := range []string{"3.5", `"measured"`, `"high"`, "true", `""x`} {
		var r Reading
		if err := json.Unmarshal([]byte(text), &r); err == nil {
			t.Errorf("%s was read as %v", text, r)
		}
	}
}

func TestTenthsAreExactAndRefuseMoreDecimals(t *testing.T) {
	good := map[string]int{"33": 330, "33.1": 331, "33.10": 331, "0.5": 5, "-0.5": -5, "-12.3": -123, "36.000": 360}
	for text, want := range good {
		if got, err := ParseTenths(text); err != nil || got != want {
			t.Errorf("ParseTenths(%q) = %d, %v; want %d", text, got, err, want)
		}
	}
	for _, text := range []string{"", ".5", "33.15", "1e3", "abc", "3.x", "--3", "3..1"} {
		if got, err := ParseTenths(text); err == nil {
			t.Errorf("ParseTenths(%q) = %d, want an error", text, got)
		}
	}
	for v := -25; v <= 25; v++ {
		b, err := json.Marshal(TenthsOf(v))
		if err != nil {
			t.Fatal(err)
		}
		var back Tenths
		if err := json.Unmarshal(b, &back); err != nil || back != TenthsOf(v) {
			t.Errorf("%d tenths written as %s come back as %v, %v", v, b, back, err)
		}
	}
	// tests-and-wounds reference, section 4: 33.1 and 30.9 differ by exactly 2.2.
	a, _ := ParseTenths("33.1")
	b, _ := ParseTenths("30.9")
	if a-b != 22 {
		t.Errorf("33.1 - 30.9 = %d tenths, want 22", a-b)
	}
}

func TestClosedListsRefuseOtherWords(t *testing.T) {
	var a Answer
	if err := a.UnmarshalText([]byte("maybe")); err == nil {
		t.Error("answer \"maybe\" was taken")
	}
	var f Finding
	if err := f.UnmarshalText([]byte("fine")); err == nil {
		t.Error("finding \"fine\" was taken")
	}
	if _, err := Answer(99).MarshalText(); err == nil {
		t.Error("an impossible answer was written")
	}
}
