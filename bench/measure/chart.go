package main

import (
	"fmt"
	"math/rand/v2"
	"strconv"
	"strings"

	"tengram/internal/kernel/assess"
	"tengram/internal/kernel/danger"
	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/foot"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/neuro"
	"tengram/internal/kernel/perfusion"
	"tengram/internal/kernel/plan"
	"tengram/internal/kernel/record"
	"tengram/internal/kernel/term"
	"tengram/internal/kernel/when"
	"tengram/internal/kernel/wound"
)

// maker makes charts out of parts that were made once, so that making one costs
// less than judging it. Charts of eight years end with 2019.
type maker struct {
	share float64
	// from and to are half an hour apart, one pair a day.
	from, to []when.Moment
	year     int // the first day of 2018 in from
	keys     map[record.Kind][]string
	codes    map[string][]term.Code
	exams    []record.SignedExam
	// ulcer is the story of one, from finding to healing.
	ulcer []record.SignedExam
}

var resourceTypes = map[record.Kind]string{
	record.Condition: "Condition", record.Encounter: "Encounter", record.Procedure: "Procedure",
	record.Observation: "Observation", record.Order: "ServiceRequest", record.Medication: "MedicationRequest",
}

func newMaker(share float64) *maker {
	m := &maker{share: share, keys: map[record.Kind][]string{}, codes: map[string][]term.Code{}}
	first := when.MustDay("2012-01-01")
	for d := first; d <= when.MustDay("2019-12-31"); d++ {
		m.from = append(m.from, when.MustMoment(d.String()+"T10:00:00.000-05:00"))
		m.to = append(m.to, when.MustMoment(d.String()+"T10:30:00.000-05:00"))
	}
	m.year = int(when.MustDay("2018-01-01") - first)
	for kind, name := range resourceTypes {
		for i := range 400 {
			m.keys[kind] = append(m.keys[kind], name+"/"+strconv.Itoa(i))
		}
	}
	for _, day := range []string{"2017-02-10", "2017-11-20", "2018-02-05", "2018-09-17"} {
		m.exams = append(m.exams, signed(day, nil))
	}
	m.ulcer = []record.SignedExam{
		signed("2018-03-05", func(d *exam.Draft) {
			d.Left.Look.Wound = known.Abnormal
			d.Ulcers = []wound.Ulcer{{ID: "u1", Side: foot.Left, Place: foot.Hallux, Depth: wound.SkinOnly}}
		}),
		signed("2018-05-20", func(d *exam.Draft) {
			d.Ulcers = []wound.Ulcer{{ID: "u1", Side: foot.Left, Place: foot.Hallux, Healed: known.AnswerYes}}
		}),
	}
	return m
}

// signed is one full exam, judged: without findings, but for what change adds.
func signed(day string, change func(*exam.Draft)) record.SignedExam {
	d := exam.Draft{ID: "exam-" + day, Revision: 1, At: when.MustMoment(day + "T10:10:00-05:00"), Protocol: neuro.TenSites}
	for _, side := range foot.Sides {
		f := d.Foot(side)
		f.Look.Skin, f.Look.Wound = known.Normal, known.Normal
		f.Feel.Arteries = perfusion.Leg{DP: perfusion.PulsePresent, PT: perfusion.PulsePresent}
		for _, site := range d.Protocol.Sites() {
			f.Test.Filament[site] = known.Normal
		}
		f.Test.Vibration = known.Normal
	}
	if change != nil {
		change(&d)
	}
	return record.SignedExam{
		Exam:       exam.Exam{Draft: d},
		Assessment: assess.Assess(assess.Input{Exam: &d, Edition: assess.DefaultEdition(), On: when.MustDay(day)}),
		SignedAt:   d.At,
	}
}

// The codes that charts are made of, by chance. 99211 and most of the others are
// of no visit, and 73211009 of no diabetes, that counts.
var (
	diabetes  = strings.Fields("E11.9 E11.42 E11.65 E11.22 E10.9 E11.621")
	diabetes2 = strings.Fields("44054006 46635009 73211009")
	visits    = strings.Fields("99213 99214 99396 99211")
	contacts  = strings.Fields("185349003 308335008 390906007")
	tests     = strings.Fields("2339-0 2345-7 8480-6 8462-4 29463-7 8302-2 2160-0 33914-3 718-7 4548-4")
	numbers   = strings.Fields("5.4 6.1 7.0 8.2 9.0 9.3 120")
	problems  = numbered(38341000, 90)
	acts      = numbered(430193006, 40)
	drugs     = numbered(860975, 30)
)

func numbered(first, n int) []string {
	codes := make([]string, n)
	for i := range codes {
		codes[i] = strconv.Itoa(first + i)
	}
	return codes
}

func pick(dice *rand.Rand, words []string) string { return words[dice.IntN(len(words))] }

// chart fills r with the chart of one person, about 200 facts of which most are
// of codes that no measure asks for. The same number is the same person.
func (m *maker) chart(i int, r *record.Record) {
	dice := rand.New(rand.NewPCG(uint64(i), 2018))
	chance := func(p float64) bool { return dice.Float64() < p }
	diabetic := chance(m.share)
	old := 20
	if diabetic {
		old = 40
	}
	*r = record.Record{Facts: r.Facts[:0]}
	r.Person = record.Person{
		ID:    fmt.Sprintf("p%07d", i),
		Birth: when.OnDay(when.MustDay("2018-01-01").AddDays(-365*(old+dice.IntN(80-old)) - dice.IntN(365))),
		Sex:   []string{"female", "male"}[dice.IntN(2)],
	}
	anyDay := func() int { return dice.IntN(len(m.from)) }
	inYear := func() int { return m.year + dice.IntN(365) }

	for range 14 {
		m.add(r, record.Condition, "snomed", pick(dice, problems), anyDay(), chance(0.4))
	}
	if diabetic {
		m.add(r, record.Condition, "icd", pick(dice, diabetes), dice.IntN(m.year), true)
		if chance(0.5) {
			m.add(r, record.Condition, "snomed", pick(dice, diabetes2), dice.IntN(m.year), true)
		}
		if chance(0.02) {
			for _, code := range []string{"Z89.511", "Z89.512"} {
				m.add(r, record.Condition, "icd", code, anyDay(), true)
			}
		}
	}
	for range 28 {
		if chance(0.6) {
			m.add(r, record.Encounter, "cpt", pick(dice, visits), anyDay(), false)
		} else {
			m.add(r, record.Encounter, "snomed", pick(dice, contacts), anyDay(), false)
		}
	}
	for range 18 {
		m.add(r, record.Procedure, "snomed", pick(dice, acts), anyDay(), false)
	}
	if chance(0.01) {
		m.add(r, record.Procedure, "snomed", "385763009", inYear(), false)
	}
	for range 110 {
		f := m.add(r, record.Observation, "loinc", pick(dice, tests), anyDay(), false)
		f.Value = record.Value{Given: true, Number: pick(dice, numbers), Unit: "%"}
	}
	if diabetic {
		for _, code := range []string{"401191002", "134388005", "91161007"} {
			if chance(0.7) {
				f := m.add(r, record.Observation, "snomed", code, inYear(), false)
				f.Value = record.Value{Given: true, Text: "done"}
			}
		}
	}
	for range 20 {
		m.add(r, record.Medication, "rxnorm", pick(dice, drugs), anyDay(), chance(0.5))
	}
	if diabetic && chance(0.5) {
		first, n := dice.IntN(2), 1+dice.IntN(len(m.exams)-1)
		r.Exams = m.exams[first:min(first+n, len(m.exams))]
		if chance(0.06) {
			r.Exams = m.ulcer
		}
		r.Referrals = []record.Referral{{
			ID: "r1", Action: "refer-foot-specialist", Urgency: danger.Urgency(1), Opened: when.MustDay("2018-03-05"), Due: when.MustDay("2018-05-05"),
			To: plan.FootTeam, Exam: "exam-2018-03-05",
			Steps: []record.ReferralStep{{What: "seen", On: when.MustDay("2018-03-06").AddDays(dice.IntN(5))}, {What: "closed", On: when.MustDay("2018-04-20").AddDays(dice.IntN(40))}},
		}}
	}
}

// add puts a fact into the chart. An observation has one time, a visit half an
// hour, and a diagnosis or medication that is open no end.
func (m *maker) add(r *record.Record, kind record.Kind, system, code string, day int, open bool) *record.Fact {
	f := record.Fact{Kind: kind, Key: m.keys[kind][len(r.Facts)], Codes: m.code(system, code), Start: m.from[day], End: m.to[day], Ended: known.Yes}
	switch {
	case kind == record.Observation:
		f.End, f.Ended = f.Start, known.Unknown
	case kind == record.Medication:
		f.End, f.Ended = when.Moment{}, known.Of(!open)
	case open:
		f.End, f.Ended = when.Moment{}, known.No
	}
	r.Facts = append(r.Facts, f)
	return &r.Facts[len(r.Facts)-1]
}

var systems = map[string]term.System{"snomed": term.SNOMED, "icd": term.ICD10CM, "cpt": term.CPT, "loinc": term.LOINC, "rxnorm": term.RxNorm}

func (m *maker) code(system, code string) []term.Code {
	if c, ok := m.codes[code]; ok {
		return c
	}
	c := []term.Code{{System: systems[system], Code: code}}
	m.codes[code] = c
	return c
}
