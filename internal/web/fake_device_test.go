package web

import (
	"context"
	"encoding/json"
	"time"

	"tengram/internal/clinic"
	"tengram/internal/kernel/assess"
	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/record"
)

func (f *fakeClinic) Case(_ context.Context, _ exam.Person, id string) (clinic.Case, error) {
	d, ok := f.drafts[id]
	if !ok {
		return clinic.Case{}, clinic.Errorf(clinic.NotFound, "there is no draft %s", id)
	}
	return clinic.Case{
		Exam: d, Person: f.records[d.Patient].Person, Edition: assess.DefaultEdition().ID,
		RecallChoice: assess.DefaultEdition().RecallChoice, On: today, Today: today,
	}, f.fail
}

func (f *fakeClinic) SignSealed(ctx context.Context, who exam.Person, text []byte, key string) (record.SignedExam, error) {
	if f.fail != nil {
		return record.SignedExam{}, f.fail
	}
	var d exam.Draft
	if err := json.Unmarshal(text, &d); err != nil {
		return record.SignedExam{}, clinic.Errorf(clinic.Invalid, "not a document")
	}
	for _, k := range f.keys {
		if k == key {
			return f.signed[d.ID][len(f.signed[d.ID])-1], nil
		}
	}
	f.sealed = text
	return f.Sign(ctx, who, d, key)
}

func (f *fakeClinic) Sealed(_ context.Context, _ exam.Person, id string, revision int) ([]byte, error) {
	if revision < 1 || revision > len(f.signed[id]) {
		return nil, clinic.Errorf(clinic.NotFound, "there is no signed revision %d of exam %s", revision, id)
	}
	if f.sealed == nil {
		return json.Marshal(f.signed[id][revision-1].Exam)
	}
	return f.sealed, nil
}

// deviceSecret is the key of the fake's devices.
var deviceSecret = []byte("0123456789abcdef0123456789abcdefABCDEFGHIJKLMNOPABCDEFGHIJKLMNOP")

func (a *fakeAccess) DeviceKey(context.Context) ([]byte, time.Duration, time.Time, error) {
	return deviceSecret, time.Hour, time.UnixMilli(1_800_000_000_000), nil
}
