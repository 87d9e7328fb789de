package assess

import (
	"testing"

	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/neuro"
)

func BenchmarkAssessFullExam(b *testing.B) {
	d := full()
	d.Left.Test.Filament[neuro.SiteMTH1] = known.Abnormal
	d.Right.Look.Shape, d.Right.Look.Deformities = known.Abnormal, []exam.Deformity{exam.ClawToe}
	in := Input{Exam: &d, Edition: DefaultEdition(), On: examDay}
	b.ReportAllocs()
	for b.Loop() {
		Assess(in)
	}
}
