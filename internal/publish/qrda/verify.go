package qrda

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"

	"tengram/internal/kernel/measure"
)

// Expect is what a document is verified against.
type Expect struct {
	Release Release
	Measure measure.Published
	// Supplemental: the four elements must be in every population.
	Supplemental bool
}

// Verify reads a QRDA III document back and lists what is wrong with it that
// the public schema and schematrons do not see or that only one of them does:
// the release, the codes and ids of the populations, whole counts, the
// arithmetic between them, the rate, the groups (measures reference, section
// 6.3).
func Verify(doc []byte, want Expect) []string {
	root, err := read(doc)
	if err != nil {
		return []string{err.Error()}
	}
	v := &verifier{want: want}
	v.head(root)
	v.release(root)
	root.each(func(e *element) {
		if e.name == "organizer" && e.has("27.3.1") {
			v.measure(e)
		}
	})
	if v.measures == 0 {
		v.add("there is no measure in it")
	}
	return v.problems
}

type verifier struct {
	want     Expect
	problems []string
	measures int
}

func (v *verifier) add(format string, args ...any) {
	v.problems = append(v.problems, fmt.Sprintf(format, args...))
}

func (v *verifier) head(root *element) {
	for _, name := range []string{"realmCode", "languageCode", "confidentialityCode", "code"} {
		if root.at(name).attrs["code"] == "" {
			v.add("%s is missing", name)
		}
	}
	if id := root.at("setId").attrs["root"]; id == "" || root.at("versionNumber").attrs["value"] == "" {
		v.add("setId and versionNumber are missing: two reports could not be told apart")
	}
	if root.at("title").text == "" {
		v.add("the document has no title")
	}
	if id := root.at("recordTarget", "patientRole", "id"); id.attrs["nullFlavor"] != "NA" || id.attrs["extension"] != "" || id.attrs["root"] != "" {
		v.add("recordTarget names somebody: a report in numbers is about nobody")
	}
	if root.at("legalAuthenticator", "signatureCode").attrs["code"] != "S" {
		v.add("there is no legal authenticator")
	}
	if root.at("author", "assignedAuthor", "representedOrganization", "name").text == "" {
		v.add("the author's organisation has no name")
	}
	parameters := 0
	root.each(func(e *element) {
		if e.name == "act" && e.has("17.3.8") {
			parameters++
			for _, end := range []string{"low", "high"} {
				if len(e.at("effectiveTime", end).attrs["value"]) < 8 {
					v.add("the period has no %s day", end)
				}
			}
		}
	})
	if parameters != 1 {
		v.add("the period stands in it %d times, not once", parameters)
	}
}

// release checks that every template is one of the release that was asked for.
func (v *verifier) release(root *element) {
	allowed := v.want.Release.allowed()
	root.each(func(e *element) {
		if e.name != "templateId" {
			return
		}
		if t := strings.TrimSpace(e.attrs["root"] + " " + e.attrs["extension"]); !allowed[t] {
			v.add("template %s is none of %s", t, v.want.Release)
		}
	})
}

func (v *verifier) measure(o *element) {
	v.measures++
	external := o.at("reference", "externalDocument")
	named := false
	for _, id := range external.all("id") {
		named = named || id.attrs["root"] == measureIDOID && strings.EqualFold(id.attrs["extension"], v.want.Measure.VersionSpecific)
	}
	if !named {
		v.add("the measure is not named by its version-specific id under %s", measureIDOID)
	}
	if external.at("text").text == "" {
		v.add("the measure has no title")
	}
	counts := map[string]int{}
	var rates []*element
	for _, c := range o.all("component") {
		switch obs := c.at("observation"); {
		case obs.has("27.3.14"):
			rates = append(rates, obs)
		case obs.has("27.3.5"):
			v.population(obs, counts)
		default:
			v.add("a component is neither a rate nor a population")
		}
	}
	for _, p := range populations {
		if _, ok := counts[p.code]; !ok {
			v.add("population %s is missing", p.code)
		}
	}
	c := measure.Counts{InitialPopulation: counts["IPOP"], Denominator: counts["DENOM"], DenominatorExclusion: counts["DENEX"], Numerator: counts["NUMER"]}
	v.problems = append(v.problems, arithmetic(c)...)
	v.rate(rates, c)
}

func (v *verifier) population(o *element, counts map[string]int) {
	code := o.at("value").attrs["code"]
	i := order(code)
	if i < 0 {
		v.add("population code %q is none of IPOP, DENOM, DENEX, NUMER", code)
		return
	}
	if _, twice := counts[code]; twice {
		v.add("population %s stands in it twice", code)
	}
	counts[code] = v.count(o, code)
	if id := o.at("reference", "externalObservation", "id").attrs["root"]; !strings.EqualFold(id, populations[i].id(v.want.Measure)) {
		v.add("population %s has the id %q, which is not the published one", code, id)
	}
	sums := map[string]int{}
	seen := map[string]bool{}
	for _, r := range o.all("entryRelationship") {
		for e := range elementCount {
			if group := r.at("observation"); group.at("code").attrs["code"] == elements[e].code {
				seen[e.String()] = true
				sums[e.String()] += v.count(group, code+" by "+e.String())
			}
		}
	}
	for e := range elementCount {
		switch name := e.String(); {
		case !seen[name] && v.want.Supplemental:
			v.add("population %s has no groups by %s", code, name)
		case seen[name] && sums[name] != counts[code]:
			v.add("the groups of %s by %s add up to %d, not to %d", code, name, sums[name], counts[code])
		}
	}
}

// count is the one aggregate count of a population or group.
func (v *verifier) count(o *element, of string) int {
	n, found := 0, 0
	for _, r := range o.all("entryRelationship") {
		c := r.at("observation")
		if !c.has("27.3.3") {
			continue
		}
		found++
		value := c.at("value").attrs["value"]
		var err error
		if n, err = strconv.Atoi(value); err != nil || n < 0 {
			v.add("the count of %s is %q, not a whole number", of, value)
		}
	}
	if found != 1 {
		v.add("%s has %d counts, not one", of, found)
	}
	return n
}

var rateForm = regexp.MustCompile(`^(0|1|0?\.[0-9]{1,6}|1\.0{1,6})$`)

// rate checks the performance rate against the counts.
func (v *verifier) rate(rates []*element, c measure.Counts) {
	if len(rates) != 1 {
		v.add("there are %d performance rates, not one", len(rates))
		return
	}
	value := rates[0].at("value")
	text, flavor := value.attrs["value"], value.attrs["nullFlavor"]
	want, defined := c.Rate()
	switch {
	case text != "" && flavor != "":
		v.add("the performance rate has a value and a reason for having none")
	case !defined && (text != "" || flavor != "NA"):
		v.add("the performance rate is undefined, and must say so by the null flavour NA")
	case defined && text == "":
		v.add("the performance rate is missing")
	case defined && !rateForm.MatchString(text):
		v.add("the performance rate %q is not a number from 0 to 1 with at most six decimals", text)
	case defined:
		if got, _ := strconv.ParseFloat(text, 64); math.Abs(got-want) > 0.51e-6 {
			v.add("the performance rate %s is not that of the counts, %s", text, rateText(want))
		}
	}
	if id := rates[0].at("reference", "externalObservation", "id").attrs["root"]; !strings.EqualFold(id, v.want.Measure.NumeratorPopulation) {
		v.add("the performance rate names population %q, which is not the published numerator", id)
	}
}
