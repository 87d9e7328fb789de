package risk

import (
	"encoding/json"
	"reflect"
	"testing"
)

func TestAResultIsReadBackWithTheFactorsThatWouldSettleIt(t *testing.T) {
	for _, system := range Systems() {
		var facts Facts // nothing known: every factor of the system is open
		want := Judge(system, &facts)
		text, err := json.Marshal(want)
		if err != nil {
			t.Fatal(err)
		}
		var got Result
		if err := json.Unmarshal(text, &got); err != nil {
			t.Errorf("%s: %v", system.ID, err)
			continue
		}
		if len(want.SettledBy) == 0 || !reflect.DeepEqual(got.SettledBy, want.SettledBy) {
			t.Errorf("%s: read back %v, want %v", system.ID, got.SettledBy, want.SettledBy)
		}
	}
	var f Factor
	if err := f.UnmarshalText([]byte("hair-loss")); err == nil {
		t.Error("an unknown factor is read without an error")
	}
}
