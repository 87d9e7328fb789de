package risk

import (
	"strings"
	"testing"

	"tengram/internal/kernel/known"
)

// The oracles of the 64 combinations of L, P, D, U, A, E (index 32L + 16P + 8D
// + 4U + 2A + E), worked out by hand from the published tables: IWGDF 2019
// table 1 (confirmed; 2023 the same, second hand) and NICE NG19 (second hand),
// with E counted as on renal replacement and no callus.
const (
	iwgdfLiteral  = "0000000000000000 1333333323333333 1333333323333333 2333333323333333"
	iwgdfCautious = "0333333303333333 1333333323333333 1333333323333333 2333333323333333"
	niceOracle    = "0222222212222222 1222222222222222 1222222222222222 2222222222222222"
)

func oracle(s string) string { return strings.ReplaceAll(s, " ", "") }

// six are the factors of the oracles, the first the highest bit of the index.
var six = []Factor{LOPS, PAD, Deformity, UlcerHistory, Amputation, ESRD}

// factsAt answers every factor: those of the index yes, all others no.
func factsAt(index int) *Facts {
	f := allNo()
	for i, factor := range six {
		f.Is[factor] = known.Of(index&(32>>i) != 0)
	}
	f.Is[KidneyReplacement] = f.Is[ESRD]
	return f
}

func allNo() *Facts {
	f := &Facts{}
	for i := range f.Is {
		f.Is[i] = known.No
	}
	return f
}

func system(t testing.TB, id string) System {
	t.Helper()
	s, ok := ByID(id)
	if !ok {
		t.Fatalf("no system %s", id)
	}
	return s
}

func TestEveryKnownCombinationHasTheCategoryOfThePublishedTable(t *testing.T) {
	for _, tc := range []struct{ id, literal, cautious string }{
		{"iwgdf-2023", iwgdfLiteral, iwgdfCautious},
		{"iwgdf-2019", iwgdfLiteral, iwgdfCautious},
		{"nice-ng19", niceOracle, niceOracle},
	} {
		literal, cautious := oracle(tc.literal), oracle(tc.cautious)
		for index := range 64 {
			r := Judge(system(t, tc.id), factsAt(index))
			if got := byte('0' + r.Low.Rank); got != literal[index] || !r.Settled() || len(r.SettledBy) > 0 || r.Undefined {
				t.Errorf("%s index %d: %d..%d settled by %v, want %c", tc.id, index, r.Low.Rank, r.High.Rank, r.SettledBy, literal[index])
			}
			low, high := r.ForPlan()
			if byte('0'+low.Rank) != cautious[index] || byte('0'+high.Rank) != cautious[index] {
				t.Errorf("%s index %d: plan follows %d..%d, want %c", tc.id, index, low.Rank, high.Rank, cautious[index])
			}
			if differs := literal[index] != cautious[index]; differs != (r.Cautious != nil) {
				t.Errorf("%s index %d: cautious reading present is %v, want %v", tc.id, index, r.Cautious != nil, differs)
			}
		}
	}
}
