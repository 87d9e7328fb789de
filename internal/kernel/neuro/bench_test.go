package neuro_test

import (
	"testing"

	"tengram/internal/kernel/neuro"
)

func ordinary(t testing.TB) neuro.Tests {
	return neuro.Tests{
		Protocol: neuro.FourSites,
		Feet:     [2]neuro.Foot{written(t, four+" vibration+ ankle-reflex+"), written(t, "hallux+ mth1- mth3+ mth5+ vibration+")},
	}
}

// TestJudgingAllocatesLittle keeps the judgement of one exam within a few
// allocations: the reasons, the work, and what would settle it.
func TestJudgingAllocatesLittle(t *testing.T) {
	tests := ordinary(t)
	for _, d := range neuro.Definitions() {
		if n := testing.AllocsPerRun(100, func() { d.Judge(tests) }); n > 6 {
			t.Errorf("%s allocates %v times", d.ID, n)
		}
	}
}

func BenchmarkJudge(b *testing.B) {
	tests := ordinary(b)
	for _, d := range neuro.Definitions() {
		b.Run(d.ID, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				d.Judge(tests)
			}
		})
	}
}
