package measure

import (
	"strconv"

	"tengram/internal/kernel/known"
	"tengram/internal/kernel/source"
	"tengram/internal/kernel/when"
)

var (
	shoesCondition = source.MedicareShoes.At("diabetes and one of six conditions", source.Confirmed)
	shoesCertifier = source.MedicareShoes.At("certifying physician", source.Confirmed)
	shoesClock     = source.MedicareShoes.At("visit within 6 months, certification within 3 months before delivery", source.Confirmed)
	shoesLimit     = source.MedicareShoes.At("limits per calendar year", source.Confirmed)
)

// ShoeConditions are the six conditions of which one is needed beside diabetes.
type ShoeConditions struct {
	Diabetes known.Tri
	// Amputation of the other foot or of a part of either.
	Amputation   known.Tri
	UlcerHistory known.Tri
	// PreUlcerativeCallus: a callus that was about to become an ulcer, ever.
	PreUlcerativeCallus known.Tri
	// Neuropathy and Callus count together only.
	Neuropathy, Callus known.Tri
	Deformity          known.Tri
	PoorCirculation    known.Tri
}

// Judge says whether the person qualifies, and by what. With several
// conditions all are named.
func (s ShoeConditions) Judge() Coverage {
	c := Coverage{ID: "therapeutic-shoes", Title: "Therapeutic shoes", Met: known.Yes}
	c.need(s.Diabetes, "Diabetes.", "No diabetes: prediabetes and gestational diabetes do not qualify.", "Diabetes is not settled.", shoesCondition)
	six := []struct {
		is   known.Tri
		name string
	}{
		{s.Amputation, "an amputation"},
		{s.UlcerHistory, "an earlier foot ulcer"},
		{s.PreUlcerativeCallus, "an earlier pre-ulcerative callus"},
		{known.All(s.Neuropathy, s.Callus), "neuropathy with callus"},
		{s.Deformity, "a foot deformity"},
		{s.PoorCirculation, "poor circulation"},
	}
	any, names := known.No, ""
	for _, q := range six {
		any = known.Any(any, q.is)
		if q.is == known.Yes {
			if names != "" {
				names += ", "
			}
			names += q.name
		}
	}
	c.need(any, "Qualifying condition: "+names+".", "None of the six qualifying conditions.",
		"None of the six qualifying conditions is known, and not all are known to be absent.", shoesCondition)
	return c
}

// Certifier is who certified the need for therapeutic shoes.
type Certifier uint8

// The certifiers. Only an MD or DO who manages the diabetes certifies; a nurse
// practitioner or physician assistant does so only incident to such a
// physician.
const (
	CertifierUnknown Certifier = iota
	ManagingPhysician
	IncidentToPhysician
	NurseAlone
	Podiatrist
)

// ShoeOrder is one delivery of therapeutic shoes.
type ShoeOrder struct {
	Delivery, DiabetesVisit, Certified when.Day
	Certifier                          Certifier
	// Documented: the certifier documented the condition, or reviewed, agreed
	// with and signed another clinician's record of it.
	Documented known.Tri
}

// Judge says whether the papers of a delivery are in order.
func (o ShoeOrder) Judge() Coverage {
	c := Coverage{ID: "therapeutic-shoes-papers", Title: "Therapeutic shoes, papers", Met: known.Yes}
	certifier := known.Of(o.Certifier == ManagingPhysician || o.Certifier == IncidentToPhysician)
	if o.Certifier == CertifierUnknown {
		certifier = known.Unknown
	}
	c.need(certifier, "Certified by the physician who manages the diabetes.", "Not certified by a physician who manages the diabetes.", "Who certified is not known.", shoesCertifier)
	c.need(o.Documented, "The certifier documented the condition, or agreed in writing.", "The certifier has neither documented the condition nor agreed in writing.",
		"Whether the certifier documented the condition is not known.", shoesCertifier)
	c.clock("The visit about diabetes", o.DiabetesVisit, o.Delivery, 6)
	c.clock("The certification", o.Certified, o.Delivery, 3)
	return c
}

// clock: on the day of delivery or up to so many calendar months before it.
// How months are counted is our reading.
func (c *Coverage) clock(what string, on, delivery when.Day, months int) {
	limit := strconv.Itoa(months) + " months before delivery"
	in := known.Unknown
	if on != 0 && delivery != 0 {
		in = known.Of(on <= delivery && on.AddMonths(months) >= delivery)
	}
	c.need(in, what+" is within "+limit+".", what+" of "+on.String()+" is not within "+limit+".", what+" has no date.", shoesClock)
}

// ShoeItems are what one calendar year has seen, in pairs. Inserts of a custom
// pair and plain ones that come with a depth shoe are not counted.
type ShoeItems struct{ Depth, Custom, Inserts int }

// Judge says whether the year is within the limit: one depth pair and three
// pairs of inserts, or one custom pair and two further pairs of inserts.
func (i ShoeItems) Judge() Coverage {
	c := Coverage{ID: "therapeutic-shoes-limit", Title: "Therapeutic shoes, limit of a year", Met: known.Yes}
	inserts := 3
	if i.Custom > 0 {
		inserts = 2
	}
	c.need(known.Of(i.Depth+i.Custom <= 1), "No more than one pair of shoes.", "More than one pair of shoes.", "", shoesLimit)
	c.need(known.Of(i.Inserts <= inserts), "No more than "+strconv.Itoa(inserts)+" pairs of inserts.",
		strconv.Itoa(i.Inserts-inserts)+" pairs of inserts over the limit.", "", shoesLimit)
	return c
}
