package demo

import (
	"fmt"

	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/foot"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/record"
	"tengram/internal/kernel/term"
	"tengram/internal/kernel/when"
)

// chart writes what the chart says of somebody beside visits and exams.
func (p *patient) chart() {
	p.payer()
	p.everydayProblems()
	if p.feet != nil {
		p.diabetes()
		p.complications()
		p.bloods()
	}
}

// payer is one coverage; the codes are of the source of payment typology: 1
// Medicare, 2 Medicaid, 5 private.
func (p *patient) payer() {
	code := []string{"5", "2", "1"}[p.weighted(62, 28, 10)]
	if p.age(p.g.today) >= 65 {
		code = "1"
	}
	p.add(record.Fact{Kind: record.Coverage, Codes: []term.Code{{System: term.SourceOfPayment, Code: code}}, Start: when.OnDay(p.g.from().AddMonths(-12)), Ended: known.No})
}

// everydayProblems are the diagnoses that fill a chart. A quarter of the people
// without diabetes have none, so that their chart says nothing either way.
func (p *patient) everydayProblems() {
	age := p.age(p.g.today)
	if p.feet == nil && p.chance(0.25) {
		return
	}
	for _, c := range []struct {
		code, text string
		from       int
		share      float64
	}{
		{"I10", "Hypertension", 35, 0.42}, {"E78.5", "Hyperlipidemia", 40, 0.35}, {"J45.909", "Asthma", 0, 0.08},
		{"M54.50", "Low back pain", 25, 0.14}, {"K21.9", "Reflux", 30, 0.12}, {"F41.9", "Anxiety", 16, 0.10},
	} {
		if age >= c.from && p.chance(c.share) {
			p.condition(icd(c.code), c.text, p.past(9))
		}
	}
	if p.chance(0.05) {
		f := p.condition(icd("N39.0"), "Urinary tract infection", p.g.from()+when.Day(p.between(0, 600)))
		end, _ := f.Start.Days(nil)
		f.End, f.Ended, f.Category = when.OnDay(end+10), known.Yes, "encounter-diagnosis"
	}
}

// diabetes writes the diagnosis itself, as well or badly as its part asks.
func (p *patient) diabetes() {
	f := p.feet
	codes := icd(f.family + ".9")
	general := term.Code{System: term.SNOMED, Code: type2}
	if f.family == "E10" {
		general.Code = type1
	}
	switch {
	case f.snomed:
		codes = []term.Code{general}
	case f.both:
		codes = append(codes, general)
	}
	if p.role == "category only" {
		codes = icd("E11")
	}
	d := p.condition(codes, "Diabetes", f.since)
	start := p.g.yearStart()
	switch p.role {
	case "no dates":
		d.Start = when.Moment{}
	case "over, nobody says when":
		d.Ended = known.Yes
	case "ended last year":
		d.End, d.Ended = when.OnDay(start-when.Day(p.between(10, 200))), known.Yes
	case "ended this year":
		d.End, d.Ended = when.OnDay(max(start, p.g.today-20)), known.Yes
	case "month of onset":
		d.Start = when.MustMoment(f.since.String()[:7])
	}
}

// coded reports whether the chart may give codes below the diabetes category.
func (p *patient) coded() bool {
	switch p.role {
	case "no dates", "category only", "over, nobody says when", "ended last year", "ended this year", "month of onset":
		return false
	}
	return !p.feet.snomed
}

// complications are what the chart knows of the feet and around them: less than
// an exam finds.
func (p *patient) complications() {
	f, today := p.feet, p.g.today
	below := func(suffix, text string, since when.Day) {
		if p.coded() {
			p.condition(icd(f.family+suffix), text, since)
		}
	}
	if f.insulin && p.role != "category only" {
		p.condition(icd("Z79.4"), "Long-term insulin", f.since+90)
	}
	if f.lops(today) && p.chance(0.45) {
		below(".42", "Diabetic polyneuropathy", f.lopsFrom+40)
	}
	if f.padTold {
		p.condition(icd("I73.9"), "Peripheral vascular disease", f.padFrom+30)
	}
	if f.stentOn != 0 {
		p.condition(icd("Z95.820"), "Peripheral vascular stent", f.stentOn)
	}
	if f.ulcerOn != 0 && p.chance(0.6) {
		p.condition(icd("Z86.31"), "History of foot ulcer", f.ulcerOn+120)
	}
	if f.charcotOn != 0 {
		below(".610", "Charcot arthropathy", f.charcotOn)
	}
	if f.retinopathy {
		below(".319", "Diabetic retinopathy", f.since+400)
	}
	if f.lowVision {
		p.condition(icd("H54.3"), "Visual loss of both eyes", p.past(3))
	}
	if f.smoking == exam.CurrentSmoker {
		p.condition(icd("F17.210"), "Cigarette smoking", p.past(9))
	} else if f.smoking == exam.PastSmoker && p.chance(0.6) {
		p.condition(icd("Z87.891"), "Former smoker", p.past(9))
	}
	switch f.kidney {
	case kidneyDisease:
		p.condition(icd("N18.31"), "Kidney disease, stage 3a", f.kidneyOn)
	case onDialysis:
		p.condition(icd("N18.6"), "End-stage kidney disease", f.kidneyOn)
		p.condition(icd("Z99.2"), "Dialysis", f.kidneyOn+20)
	case transplanted:
		p.condition(icd("Z94.0"), "Kidney transplant", f.kidneyOn)
	}
	p.lossCodes()
	if p.role == "ulcer told by letter" {
		u := p.condition(icd(f.family+".621"), "Foot ulcer, told by hospital letter", today-letterDays)
		u.Category = "encounter-diagnosis"
	}
}

// lossCodes are the amputations; ICD-10-CM Z89, last character 1 right, 2 left.
// Congenital and traumatic ones have other codes.
func (p *patient) lossCodes() {
	for _, s := range foot.Sides {
		l, on := p.feet.loss[s], p.feet.lossOn[s]
		if on == 0 {
			continue
		}
		code := map[foot.Level]string{
			foot.Transmetatarsal: "Z89.43", foot.BelowKnee: "Z89.51", foot.AboveKnee: "Z89.61",
		}[l.Level]
		if l.Level == foot.ToesOnly {
			code = "Z89.42"
			if (l.Toes | l.Rays).Has(1) {
				code = "Z89.41"
			}
		}
		p.condition(icd(fmt.Sprintf("%s%d", code, s+1)), "Amputation, "+s.String(), on)
	}
}

// bloods are HbA1c twice a year and eGFR once, as far as they came.
func (p *patient) bloods() {
	f := p.feet
	for month := 0; month < storyMonths; month += 6 {
		day := p.workday(p.g.from().AddMonths(month), min(p.g.from().AddMonths(month+3), p.until))
		if day == 0 || day < p.born || !p.chance(0.8) {
			continue
		}
		a1c := max(45, f.a1c+p.between(-5, 5))
		p.result("4548-4", fmt.Sprintf("%d.%d", a1c/10, a1c%10), "%", day)
		if month%12 == 0 {
			egfr := map[kidney]int{kidneysWell: p.between(66, 105), kidneyDisease: p.between(46, 58), onDialysis: p.between(6, 12), transplanted: p.between(45, 70)}[f.kidney]
			p.result("98979-8", fmt.Sprint(egfr), "mL/min/{1.73_m2}", day)
		}
	}
}

func (p *patient) result(code, number, unit string, day when.Day) {
	p.add(record.Fact{
		Kind: record.Observation, Codes: loinc(code), Start: p.at(day, 7*60+50), End: p.at(day, 7*60+50), Category: "laboratory",
		Value: record.Value{Given: true, Number: number, Unit: unit},
	})
}

// record writes the visits, and with diabetes the diagnoses made at them.
func (p *patient) record() {
	for _, e := range p.encounters() {
		key := p.add(e).Key
		if p.feet == nil || !p.coded() || !p.chance(0.3) {
			continue
		}
		day, _ := e.Start.Days(nil)
		if day < p.feet.since {
			continue
		}
		d := p.condition(icd(p.feet.family+".9"), "Diabetes", day)
		d.Category, d.Encounter, d.Ended = "encounter-diagnosis", key, known.Unknown
	}
}
