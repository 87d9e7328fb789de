package clinic

import (
	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/record"
	"tengram/internal/kernel/when"
)

// background is what the record says beside an exam.
func background(rec *record.Record, on when.Day) exam.Background {
	b, ok := any(rec).(interface {
		Background(when.Day) exam.Background
	})
	if !ok {
		return exam.Background{}
	}
	return b.Background(on)
}
