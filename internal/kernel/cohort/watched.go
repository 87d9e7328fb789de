package cohort

import (
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/record"
	"tengram/internal/kernel/source"
	"tengram/internal/kernel/term"
	"tengram/internal/kernel/when"
)

// HospiceMonths is for how long a hospice order or a discharge to hospice is
// taken to hold when nothing says that it ended. Our proposal: people do leave
// hospice care alive, and are then called again.
const HospiceMonths = 12

var notCalled = source.OurProposal.At("not called: the dead, records not in use, merged records, people in hospice care", source.Proposal)

// Watched reports whether the person is called for exams on a day, and why not.
// Being watched has nothing to do with counting in a measure: there, the dead
// count for the year in which they died.
func Watched(rec *record.Record, on when.Day) (bool, source.Because) {
	no := func(says, fact string) (bool, source.Because) {
		return false, source.Because{{Says: says, Fact: fact, Source: notCalled}}
	}
	p := &rec.Person
	died, _ := p.DiedAt.Days(nil)
	switch {
	case died != 0 && died <= on:
		return no("Died "+p.DiedAt.String()+".", "person.died-at")
	case died == 0 && p.Deceased == known.Yes:
		return no("Died; the record does not say when.", "person.deceased")
	case p.ReplacedBy != "":
		return no("This record was merged into "+p.ReplacedBy+".", "person.replaced-by")
	case p.Inactive:
		return no("The source says that this record is not in use.", "person.inactive")
	}
	for i := range rec.Facts {
		if f := &rec.Facts[i]; inHospice(f, on) {
			return no("In hospice care ("+f.Key+").", f.Key)
		}
	}
	return true, nil
}

// inHospice reports whether a fact puts the person in hospice care on a day:
// care that has begun and not ended, or an order or a discharge to hospice of
// the last twelve months.
func inHospice(f *record.Fact, on when.Day) bool {
	underWay := f.Standing == record.Planned && f.Ended == known.No
	if f.Standing != record.Stands && !underWay {
		return false
	}
	switch f.Kind {
	case record.Procedure:
		start, _ := f.Start.Days(nil)
		_, end := f.End.Days(nil)
		over := end != 0 && end < on
		return HospiceCodes.HasAny(f.Codes) && start <= on && !over && (start != 0 || end != 0)
	case record.Order:
		start, _ := f.Start.Days(nil)
		return HospiceCodes.HasAny(f.Codes) && recent(start, on) && f.Ended != known.Yes
	case record.Encounter:
		_, end := f.End.Days(nil)
		return HospiceDischarge.HasAny(f.Disposition) && recent(end, on)
	}
	return false
}

func recent(d, on when.Day) bool {
	return d != 0 && d <= on && d.AddMonths(HospiceMonths) > on
}

// HospiceCodes are hospice care and its orders: the set of 2018 (first two) and
// of 2024 (which drops the second and adds the others). A person of either is
// not called.
var HospiceCodes = term.SetOf(term.SNOMED, `385763009 385765002 170935008 170936009`)

// HospiceDischarge are the dispositions home with hospice and facility with
// hospice.
var HospiceDischarge = term.SetOf(term.SNOMED, `428361000124107 428371000124100`)
