package calc

import (
	"strconv"

	"tengram/internal/kernel/risk"
	"tengram/internal/kernel/source"
)

// riskCalculators lists the calculators of this room.
func riskCalculators() []Calculator {
	return []Calculator{
		systemCalculator("iwgdf", "IWGDF 2023 risk category, by the text and by the cautious reading", "iwgdf-2023",
			"lops=yes pad=no deformity=yes ulcer-history=no amputation=no esrd=unknown"),
		systemCalculator("iwgdf-2019", "IWGDF 2019 risk category, by the text and by the cautious reading", "iwgdf-2019",
			"lops=no pad=no deformity=no ulcer-history=yes amputation=no esrd=no"),
		systemCalculator("iwgdf-2015", "IWGDF 2015 risk category, for regrading old records", "iwgdf-2015",
			"lops=no pad=yes deformity=no ulcer-history=no amputation=no"),
		systemCalculator("ada", "ADA 2008 risk category", "ada-2008",
			"lops=no pad=no deformity=yes ulcer-history=no amputation=no"),
		systemCalculator("nice", "NICE NG19 risk level", "nice-ng19",
			"lops=yes pad=no deformity=no callus=yes ulcer-history=no amputation=no kidney-replacement=no"),
		systemCalculator("scotland", "Scottish risk level of 2016", "scotland-2016",
			"lops=no pad=no callus=yes deformity=no self-care-difficulty=no egfr-below-30=no ulcer-history=no amputation=no charcot-history=no"),
		systemCalculator("podus", "PODUS 2020 points and 2-year risk of a foot ulcer", "podus-2020",
			"filament-insensate=yes pulse-absent=no ulcer-history=unknown amputation=no"),
		boykoCalculator(), martinsMendesCalculator(), diaforaCalculator(),
		visitsCalculator(), treatCalculator(), yearlyCalculator(), overCalculator(), panelCalculator(), recurrenceCalculator(),
	}
}

// systemCalculator runs one stratification. Its inputs are the factors that the
// system reads, under the factors' own names.
func systemCalculator(name, title, id, example string) Calculator {
	s, ok := risk.ByID(id)
	if !ok {
		panic("no risk system " + id)
	}
	c := Calculator{Name: name, Title: title, Example: example}
	for _, f := range s.Factors {
		c.Inputs = append(c.Inputs, Input{Name: f.String(), Says: f.Words() + ": yes, no or unknown; not given is unknown"})
	}
	c.Run = func(a *Args) (Output, error) {
		var facts risk.Facts
		for _, f := range s.Factors {
			facts.Is[f] = a.Tri(f.String())
		}
		return systemOutput(s, risk.Judge(s, &facts)), nil
	}
	return c
}

func systemOutput(s risk.System, r risk.Result) Output {
	result := bounds(r.Low, r.High, r.SettledBy)
	why := r.Because
	if r.Undefined || s.ID == "ada-2008" {
		result = append(result, Field{"undefined", r.Undefined})
	}
	if s.ID == "iwgdf-2023" || s.ID == "iwgdf-2019" {
		low, high := r.ForPlan()
		settledBy := r.SettledBy
		if r.Cautious != nil {
			settledBy = r.Cautious.SettledBy
			why = append(append(source.Because{}, why...), r.Cautious.Because...)
		}
		cautious := append(bounds(low, high, settledBy), Field{"differs", r.Cautious != nil})
		result = append(result, Field{"cautious", cautious})
	}
	out := output(nil, why)
	out.Result = result
	return out
}

// bounds shows a category, or the two that it lies between. A category is a
// number where the system has numbers, else its word.
func bounds(low, high risk.Category, settledBy []risk.Factor) Fields {
	ask := []string{}
	for _, f := range settledBy {
		ask = append(ask, f.String())
	}
	fs := Fields{
		{"low", categoryCode(low)}, {"high", categoryCode(high)},
		{"lowName", low.Name}, {"highName", high.Name},
		{"settledBy", ask},
	}
	if !low.Recall.IsZero() {
		fs = append(fs, Field{"recall", Fields{{"low", months(low.Recall)}, {"high", months(high.Recall)}}})
	}
	if low.Probability != nil {
		fs = append(fs, Field{"ulcerRisk", Fields{
			{"years", low.Probability.Years}, {"low", chance(low.Probability)}, {"high", chance(high.Probability)},
		}})
	}
	return fs
}

func categoryCode(c risk.Category) any {
	if n, err := strconv.Atoi(c.Code); err == nil {
		return n
	}
	return c.Code
}

func months(i risk.Interval) Fields {
	return Fields{{"minMonths", i.MinMonths}, {"maxMonths", i.MaxMonths}}
}

func chance(p *risk.Probability) Fields {
	return Fields{{"percent", decimal(p.Percent.Value, 1)}, {"lowPercent", decimal(p.Low.Value, 1)}, {"highPercent", decimal(p.High.Value, 1)}}
}
