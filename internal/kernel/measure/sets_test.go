package measure

import (
	"encoding/csv"
	"os"
	"testing"

	"tengram/internal/kernel/record"
	"tengram/internal/kernel/term"
	"tengram/internal/testdata"
)

// Every code of the published sets stands in the place where the measure looks
// for it, and nothing else does.
func TestTheSetsOf2018AreThePublishedOnes(t *testing.T) {
	type place struct {
		kinds []record.Kind
		means meaning
	}
	conditions, procedures := []record.Kind{record.Condition}, []record.Kind{record.Procedure}
	encounters, observations := []record.Kind{record.Encounter}, []record.Kind{record.Observation}
	places := map[string]place{
		"Diabetes":              {conditions, isDiabetes},
		"Office Visit":          {encounters, isVisit},
		"Annual Wellness Visit": {encounters, isVisit},
		"Preventive Care Services - Established Office Visit, 18 and Up":              {encounters, isVisit},
		"Preventive Care Services-Initial Office Visit, 18 and Up":                    {encounters, isVisit},
		"Home Healthcare Services":                                                    {encounters, isVisit},
		"Encounter Inpatient":                                                         {encounters, isInpatient},
		"Hospice care ambulatory":                                                     {[]record.Kind{record.Procedure, record.Order}, isHospice},
		"Bilateral amputation of leg below or above knee":                             {conditions, isBilateral},
		"Left Unilateral Amputation Above or Below Knee":                              {conditions, isLeft},
		"Right Unilateral Amputation Above or Below Knee":                             {conditions, isRight},
		"Left Unilateral Amputation Procedure Above or Below Knee":                    {procedures, isLeft},
		"Right Unilateral Amputation Procedure Above or Below Knee":                   {procedures, isRight},
		"Unilateral Amputation Below or Above Knee, Unspecified Laterality":           {conditions, isOneSided},
		"Unilateral Amputation Procedure Below or Above Knee, Unspecified Laterality": {procedures, isOneSided},
		"Diabetic foot examination":                                                   {observations, isVisual},
		"Monofilament foot sensation test":                                            {observations, isFilament},
		"Pedal pulse taking":                                                          {observations, isPulses},
	}
	elsewhere := map[string]bool{ // sites and dispositions are matched by hand, the rest is supplemental
		"Left": true, "Right": true, "Discharge to home for hospice care": true, "Discharge to healthcare facility for hospice care": true,
		"Race": true, "Ethnicity": true, "ONC Administrative Sex": true,
	}
	file, err := os.Open(testdata.Reference(t, "codes", "ecqm-cms123v7-valuesets.csv"))
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	rows, err := csv.NewReader(file).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	published := map[meaning]int{}
	for _, row := range rows[1:] {
		p, ok := places[row[1]]
		if !ok {
			if !elsewhere[row[1]] {
				t.Errorf("the set %q is not placed", row[1])
			}
			continue
		}
		for _, kind := range p.kinds {
			published[p.means]++
			f := record.Fact{Kind: kind, Codes: []term.Code{term.New(row[2], row[3])}}
			if sets2018.of(&f)&p.means == 0 {
				t.Errorf("%s %s is not in %q", row[2], row[3], row[1])
			}
		}
	}
	held := map[meaning]int{}
	for _, systems := range sets2018.codes {
		for _, codes := range systems {
			for _, m := range codes {
				for bit := meaning(1); bit <= isPulses; bit <<= 1 {
					if m&bit != 0 {
						held[bit]++
					}
				}
			}
		}
	}
	for bit := meaning(1); bit <= isPulses; bit <<= 1 {
		if held[bit] != published[bit] {
			t.Errorf("bit %b: %d codes are held, %d published", bit, held[bit], published[bit])
		}
	}
}
