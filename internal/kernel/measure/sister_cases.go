package measure

import (
	"tengram/internal/kernel/assess"
	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/foot"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/neuro"
	"tengram/internal/kernel/perfusion"
	"tengram/internal/kernel/plan"
	"tengram/internal/kernel/record"
	"tengram/internal/kernel/risk"
	"tengram/internal/kernel/term"
	"tengram/internal/kernel/when"
	"tengram/internal/kernel/wound"
)

// The worked examples of the measures beside the foot exam, in the year 2026.

var (
	caseYear = Context{Period: Year(2026)}
	notIn    = Result{}
	notMet   = Result{InitialPopulation: true, Denominator: true}
	isMet    = Result{InitialPopulation: true, Denominator: true, Numerator: true}
	isOut    = Result{InitialPopulation: true, Denominator: true, DenominatorExclusion: true}
)

// caseAdult is somebody with diabetes and a visit in 2026.
func caseAdult(birth string, more ...record.Fact) record.Record {
	return record.Record{
		Person: record.Person{ID: "case", Birth: when.MustMoment(birth)},
		Facts: append([]record.Fact{
			caseFact(record.Condition, "Condition/1", term.ICD10CM, "E11.9", "2010-03-01", ""),
			caseFact(record.Encounter, "Encounter/1", term.CPT, "99213", "2026-05-10", "2026-05-10"),
		}, more...),
	}
}

// caseExam is an exam with all three parts done, changed by change.
func caseExam(day string, change func(*exam.Draft)) record.SignedExam {
	d := exam.Draft{ID: "exam-" + day, Revision: 1, Patient: "case", At: when.MustMoment(day + "T10:00:00Z"), Protocol: neuro.ThreeSites}
	for _, side := range foot.Sides {
		f := d.Foot(side)
		f.Look.Skin, f.Look.Wound = known.Normal, known.Normal
		f.Feel.Arteries = perfusion.Leg{DP: perfusion.PulsePresent, PT: perfusion.PulsePresent}
		for _, site := range d.Protocol.Sites() {
			f.Test.Filament[site] = known.Normal
		}
	}
	change(&d)
	return record.SignedExam{Exam: exam.Exam{Draft: d}}
}

func unchanged(*exam.Draft) {}

func withExams(r record.Record, exams ...record.SignedExam) record.Record {
	r.Exams = exams
	return r
}

func vibration(d *exam.Draft) {
	d.Right.Test.Vibration, d.Left.Test.Vibration = known.Normal, known.Abnormal
}

func bothLegs() []record.Fact {
	return []record.Fact{
		caseFact(record.Condition, "Condition/2", term.ICD10CM, "Z89.511", "2015", ""),
		caseFact(record.Condition, "Condition/3", term.ICD10CM, "Z89.612", "2016", ""),
	}
}

func neuroCases() []Case {
	return []Case{
		{"Monofilament and vibration: met", caseYear, withExams(caseAdult("1981-01-01"), caseExam("2026-05-10", vibration)), isMet},
		{"Monofilament alone: not met", caseYear, withExams(caseAdult("1981-01-01"), caseExam("2026-05-10", unchanged)), notMet},
		{"17 at the visit: not counted", caseYear, withExams(caseAdult("2008-06-01"), caseExam("2026-05-10", vibration)), notIn},
		{"Both legs gone: left out", caseYear, caseAdult("1981-01-01", bothLegs()...), isOut},
	}
}

func footwearCases() []Case {
	done := func(d *exam.Draft) {
		d.Footwear.Suitable, d.Footwear.Sized, d.Teach.Given = known.Abnormal, known.AnswerYes, known.AnswerYes
	}
	return []Case{
		{"Shoes looked at, feet measured, advice given: met", caseYear, withExams(caseAdult("1981-01-01"), caseExam("2026-05-10", done)), isMet},
		{"Feet not measured: not met", caseYear, withExams(caseAdult("1981-01-01"), caseExam("2026-05-10", func(d *exam.Draft) {
			done(d)
			d.Footwear.Sized = known.NotAsked
		})), notMet},
		{"Both legs gone: left out", caseYear, caseAdult("1981-01-01", bothLegs()...), isOut},
	}
}

func caseA1c(key, day, value string) record.Fact {
	f := caseFact(record.Observation, key, term.LOINC, "4548-4", day, day)
	f.Value = record.Value{Given: true, Number: value, Unit: "%"}
	return f
}

func poorControlCases() []Case {
	return []Case{
		{"Last HbA1c 9.1 %: poor control", caseYear, caseAdult("1960-01-01", caseA1c("Observation/1", "2026-02-01", "9.1")), isMet},
		{"Last HbA1c 9.0 %: not above 9", caseYear, caseAdult("1960-01-01", caseA1c("Observation/1", "2026-02-01", "9.0")), notMet},
		{"Not tested: counts as poor control", caseYear, caseAdult("1960-01-01"), isMet},
		{"Turns 76 on the last day: not counted", caseYear, caseAdult("1950-12-31"), notIn},
	}
}

// casePromise is an exam that asked for the next within the interval of a
// category of IWGDF 2023.
func casePromise(day string, category int) record.SignedExam {
	x := caseExam(day, unchanged)
	sys, _ := risk.ByID("iwgdf-2023")
	c := sys.Categories[category]
	x.Assessment = assess.Assessment{
		Risks: []risk.Result{{System: sys.ID, Low: c, High: c}},
		Plan:  plan.Plan{Recall: plan.Recall{MaxMonths: c.Recall.MaxMonths, Overdue: when.MustDay(day).AddMonths(c.Recall.MaxMonths)}},
	}
	return x
}

func recallKeptCases() []Case {
	in := func(r Result, stratum string) Result { r.Stratum = stratum; return r }
	died := withExams(caseAdult("1960-01-01"), casePromise("2026-01-10", 3))
	died.Person.DiedAt = when.MustMoment("2026-02-01")
	return []Case{
		{"High risk, seen after two months: kept", caseYear, withExams(caseAdult("1960-01-01"), casePromise("2026-01-10", 3), casePromise("2026-03-10", 0)), in(isMet, "3, high risk")},
		{"High risk, seen on the last day: kept", caseYear, withExams(caseAdult("1960-01-01"), casePromise("2026-01-10", 3), casePromise("2026-04-10", 0)), in(isMet, "3, high risk")},
		{"High risk, seen a day after the interval: not kept", caseYear, withExams(caseAdult("1960-01-01"), casePromise("2026-01-10", 3), casePromise("2026-04-11", 0)), in(notMet, "3, high risk")},
		{"Very low risk, the interval ends next year: not counted yet", caseYear, withExams(caseAdult("1960-01-01"), casePromise("2026-01-10", 0)), notIn},
		{"Died before the interval ended: left out", caseYear, died, in(isOut, "3, high risk")},
	}
}

func caseReferral(due string, steps ...record.ReferralStep) record.Record {
	r := caseAdult("1960-01-01")
	r.Referrals = []record.Referral{{ID: "r1", Action: "refer-foot-specialist", Exam: "exam-2026-03-01", To: plan.FootTeam,
		Opened: when.MustDay("2026-03-01"), Due: when.MustDay(due), Steps: steps}}
	return r
}

func step(what, on string) record.ReferralStep {
	return record.ReferralStep{What: what, On: when.MustDay(on)}
}

func referralCases() []Case {
	declined := notMet
	declined.Exception = true
	return []Case{
		{"Closed on the last day: met", caseYear, caseReferral("2026-03-15", step("seen", "2026-03-10"), step("closed", "2026-03-15")), isMet},
		{"Seen and not closed: not met", caseYear, caseReferral("2026-03-15", step("seen", "2026-03-10")), notMet},
		{"Declined in time: an exception", caseYear, caseReferral("2026-03-15", step("declined", "2026-03-10")), declined},
		{"Due next year: not counted yet", caseYear, caseReferral("2027-01-01"), notIn},
	}
}

func caseUlcer(d *exam.Draft) {
	d.Left.Look.Wound = known.Abnormal
	d.Ulcers = []wound.Ulcer{{ID: "u1", Side: foot.Left, Place: foot.Hallux, Depth: wound.SkinOnly}}
}

func caseHealed(d *exam.Draft) {
	d.Ulcers = []wound.Ulcer{{ID: "u1", Side: foot.Left, Place: foot.Hallux, Healed: known.AnswerYes}}
}

func ulcerSeenCases() []Case {
	found := caseExam("2026-03-01", caseUlcer)
	return []Case{
		{"Seen by the foot team by the deadline: met", caseYear, withExams(caseReferral("2026-03-03", step("seen", "2026-03-02")), found), isMet},
		{"Seen after it: not met", caseYear, withExams(caseReferral("2026-03-03", step("seen", "2026-03-04")), found), notMet},
		{"No referral: not met", caseYear, withExams(caseAdult("1960-01-01"), found), notMet},
		{"No ulcer: not counted", caseYear, withExams(caseAdult("1960-01-01"), caseExam("2026-03-01", unchanged)), notIn},
	}
}

func ulcerHealedCases() []Case {
	found := caseExam("2026-03-01", caseUlcer)
	return []Case{
		{"Found healed on day 84: met", caseYear, withExams(caseAdult("1960-01-01"), found, caseExam("2026-05-24", caseHealed)), isMet},
		{"Found healed on day 85: not met", caseYear, withExams(caseAdult("1960-01-01"), found, caseExam("2026-05-25", caseHealed)), notMet},
		{"Not looked at again: not met", caseYear, withExams(caseAdult("1960-01-01"), found), notMet},
		{"The 84th day is in the next year: not counted yet", caseYear, withExams(caseAdult("1960-01-01"), caseExam("2026-11-01", caseUlcer)), notIn},
	}
}

func completenessCases() []Case {
	return []Case{
		{"All three parts: met", caseYear, withExams(caseAdult("1960-01-01"), caseExam("2026-03-01", unchanged)), isMet},
		{"The last exam of the year stopped half-way: not met", caseYear, withExams(caseAdult("1960-01-01"), caseExam("2026-03-01", unchanged),
			caseExam("2026-09-01", func(d *exam.Draft) { d.Left.Feel.Arteries = perfusion.Leg{} })), notMet},
		{"No exam in the year: not counted", caseYear, withExams(caseAdult("1960-01-01"), caseExam("2025-12-31", unchanged)), notIn},
	}
}
