package qrda

import (
	"fmt"
	"regexp"

	"tengram/internal/kernel/measure"
	"tengram/internal/kernel/when"
)

var (
	nineDigits = regexp.MustCompile(`^[0-9]{9}$`)
	tenDigits  = regexp.MustCompile(`^[0-9]{10}$`)
	certified  = regexp.MustCompile(`^[0-9A-Za-z]{15}$`)
)

// Check lists what keeps a report from being written (measures reference,
// section 6.3): ids that are missing, counts that cannot be, groups that do not
// add up, and what CMS asks for beyond.
func (r *Report) Check() []string {
	var ps []string
	add := func(bad bool, format string, args ...any) {
		if bad {
			ps = append(ps, fmt.Sprintf(format, args...))
		}
	}
	p := r.Measure.Published
	add(p.VersionSpecific == "" || p.InitialPopulation == "" || p.Denominator == "" || p.DenominatorExclusion == "" || p.NumeratorPopulation == "",
		"measure %s has no published ids for its populations: only a published electronic measure can be reported", r.Measure.ID)
	add(r.Period.First.IsZero() || r.Period.Last < r.Period.First, "the period %s is none", r.Period)
	add(r.At.Precision() != when.Instant, "the time of the report must be a date and time with its offset")
	add(r.Organisation.Name == "", "say which organisation reports")
	add(r.Software == "", "say which software made the report")
	ps = append(ps, arithmetic(r.Counts)...)
	if r.Breakdown != nil {
		ps = append(ps, r.sums()...)
	}
	if r.Release == CMS2025 {
		ps = append(ps, r.forCMS()...)
	}
	return ps
}

// arithmetic lists what is wrong between the counts.
func arithmetic(c measure.Counts) []string {
	var ps []string
	add := func(bad bool, says string) {
		if bad {
			ps = append(ps, says)
		}
	}
	add(c.InitialPopulation < 0 || c.Denominator < 0 || c.DenominatorExclusion < 0 || c.Exception < 0 || c.Numerator < 0, "a count is below nought")
	add(c.Denominator > c.InitialPopulation, "the denominator is larger than the initial population")
	add(c.DenominatorExclusion > c.Denominator, "more are excluded than are in the denominator")
	add(c.Numerator > c.Denominator-c.DenominatorExclusion, "the numerator is larger than what is left of the denominator")
	add(c.Exception != 0, "the measure has no exceptions that could be reported")
	return ps
}

// sums checks that the groups of each element add up to the population.
func (r *Report) sums() []string {
	var ps []string
	for _, p := range populations {
		for e := range elementCount {
			sum := 0
			for _, c := range r.Breakdown.Cells() {
				if c.Population == p.code && c.Element == e {
					sum += c.Count
				}
			}
			if want := p.count(r.Counts); sum != want {
				ps = append(ps, fmt.Sprintf("the groups of %s by %s add up to %d, not to %d", p.code, e, sum, want))
			}
		}
	}
	return ps
}

func (r *Report) forCMS() []string {
	var ps []string
	if r.Breakdown == nil {
		ps = append(ps, "CMS asks for sex, ethnicity, race and payer in every population")
	}
	if !nineDigits.MatchString(r.Organisation.TIN) {
		ps = append(ps, "CMS asks for the tax number of the practice, nine digits")
	}
	if c := r.Organisation.Certification; c != "" && !certified.MatchString(c) {
		ps = append(ps, "a CMS EHR certification id has fifteen letters and digits")
	}
	switch r.Program {
	case "MIPS_GROUP":
		if r.Organisation.NPI != "" {
			ps = append(ps, "a group reports to CMS without the number of a clinician")
		}
	case "MIPS_INDIV":
		if !tenDigits.MatchString(r.Organisation.NPI) || !npiSum(r.Organisation.NPI) {
			ps = append(ps, "CMS asks for the number of the clinician (NPI), ten digits, the last of which checks the others")
		}
	default:
		ps = append(ps, "the CMS program is MIPS_GROUP or MIPS_INDIV")
	}
	return ps
}

// npiSum checks the last digit of an NPI: Luhn's sum over the number with 80840
// in front of it, which adds 24 (CMS 2025 schematron, CMS_0117).
func npiSum(npi string) bool {
	sum := 24
	for i, c := range npi[:9] {
		d := int(c - '0')
		if i%2 == 0 {
			d = 2*d/10 + 2*d%10
		}
		sum += d
	}
	return int(npi[9]-'0') == (10-sum%10)%10
}
