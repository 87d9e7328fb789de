package measure

import (
	"time"

	"tengram/internal/kernel/cohort"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/record"
	"tengram/internal/kernel/source"
	"tengram/internal/kernel/term"
	"tengram/internal/kernel/when"
)

var (
	ncdWho   = source.MedicareNCD7021.At("diabetic sensory neuropathy with loss of protective sensation, documented", source.Confirmed)
	ncdOften = source.MedicareNCD7021.At("no more often than every six months, no foot specialist seen for another reason in between", source.Confirmed)
	ncdParts = source.MedicareNCD7021.At("parts of the service", source.Confirmed)
	// Six months are six calendar months, cut to the end of the month.
	ncdMonths = source.MedicareNCD7021.At("how six months are counted", source.Proposal)
)

// LOPSService is what the rule for the evaluation of people with loss of
// protective sensation asks about (NCD 70.2.1).
type LOPSService struct {
	Diabetes, Neuropathy, LOPS known.Tri
	// On is the day of the service in question, Last that of the one before it,
	// zero for none.
	On, Last when.Day
	// Specialist are the days on which a foot specialist was seen for another
	// reason.
	Specialist []when.Day
	// Educated: teaching was part of the service; Unknown before it is given.
	Educated known.Tri
}

// Judge says whether the service is covered, and as which code: G0245 for the
// first evaluation, G0246 for a later one.
func (s LOPSService) Judge() Coverage {
	c := Coverage{ID: "lops-service", Title: "Evaluation of feet with loss of protective sensation", Met: known.Yes}
	c.need(s.Diabetes, "Diabetes.", "No diabetes.", "Diabetes is not settled.", ncdWho)
	c.need(s.Neuropathy, "Sensory neuropathy is documented.", "Sensory neuropathy is not documented.", "Whether neuropathy is documented is not known.", ncdWho)
	c.need(s.LOPS, "Loss of protective sensation is documented.", "There is no loss of protective sensation.", "Loss of protective sensation is not documented.", ncdWho)
	if s.Educated == known.No {
		c.need(known.No, "", "Teaching is a part of the service and was left out.", "", ncdParts)
	}
	c.Code = "G0245"
	if s.Last == 0 {
		return c
	}
	c.Code = "G0246"
	c.Earliest = s.Last.AddMonths(6)
	c.need(known.Of(s.On >= c.Earliest), "Six months since "+s.Last.String()+" have passed.",
		"The last service was on "+s.Last.String()+"; the next is possible from "+c.Earliest.String()+".", "", ncdMonths)
	for _, d := range s.Specialist {
		if d > s.Last && d < s.On {
			c.need(known.No, "", "A foot specialist was seen for another reason on "+d.String()+".", "", ncdOften)
		}
	}
	return c
}

// LOPSCoverage reads the service from a record: diabetes from the panel,
// neuropathy from its codes, LOPS from the last exam here that settled it, the
// last service from its code, and a foot specialist from referrals that were
// seen.
func LOPSCoverage(rec *record.Record, zone *time.Location, on when.Day) Coverage {
	s := LOPSService{On: on, Diabetes: cohort.Diabetes(rec, on).Is}
	for _, x := range inOrder(rec) {
		if day, _ := x.Exam.At.Days(zone); day != 0 && day <= on && x.Assessment.LOPS.LOPS.Known() {
			s.LOPS = x.Assessment.LOPS.LOPS
		}
	}
	for i := range rec.Facts {
		f := &rec.Facts[i]
		low, _ := f.Start.Days(zone)
		if f.Standing != record.Stands || low > on {
			continue
		}
		switch f.Kind {
		case record.Condition:
			if neuropathyCode(f.Codes) {
				s.Neuropathy = known.Yes
			}
		case record.Procedure, record.Observation, record.Encounter:
			if lopsService.HasAny(f.Codes) && low < on {
				s.Last = max(s.Last, low)
			}
		}
	}
	for _, r := range rec.Referrals {
		if seen := firstSeen(&r); seen != 0 && toSpecialists(r.To) {
			s.Specialist = append(s.Specialist, seen)
		}
	}
	return s.Judge()
}

var lopsService = term.SetOf(term.HCPCS, `G0245 G0246`)

// neuropathyCode reports diabetic neuropathy: the fourth character 4 of a
// diabetes code (foot-risk table, order file of 2021).
func neuropathyCode(codes []term.Code) bool {
	for _, c := range codes {
		if c.System != term.ICD10CM || len(c.Code) < 5 {
			continue
		}
		switch c.Code[:4] {
		case "E08.", "E09.", "E10.", "E11.", "E13.":
			if c.Code[4] == '4' {
				return true
			}
		}
	}
	return false
}
