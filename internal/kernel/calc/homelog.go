package calc

import (
	"fmt"
	"strings"

	"tengram/internal/kernel/foot"
	"tengram/internal/kernel/heat"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/when"
)

func homeLogCalculator() Calculator {
	return Calculator{
		Name:  "home-log",
		Title: "skin temperatures measured at home: which days ask for less walking and a call",
		Inputs: []Input{
			{Name: "log", Says: "entries day,spot,right,left joined by semicolons; spots " + strings.Join(spots(), ", ") +
				"; temperatures with at most one decimal, or absent, not-possible", Required: true},
			{Name: "unit", Says: unitSays, Required: true},
			{Name: "rule", Says: "two-days in a row (also when not given) or one-day"},
			{Name: "through", Says: "last day that a reading was expected, YYYY-MM-DD; not given is the last of the log"},
		},
		Example: "unit=C log=2026-03-02,hallux,33.2,30.9;2026-03-03,hallux,33.4,31.0",
		Run:     runHomeLog,
	}
}

func spots() (names []string) {
	for s := range heat.SpotCount {
		names = append(names, s.String())
	}
	return names
}

func runHomeLog(a *Args) (Output, error) {
	unit, through, rule := unitOf(a), day(a, "through"), heat.TwoDays
	if a.Word("rule", "two-days", "one-day") == "one-day" {
		rule = heat.OneDay
	}
	var log []heat.DayReading
	for i, entry := range strings.Split(a.Text("log"), ";") {
		r, err := homeReading(entry, unit)
		if err != nil {
			a.Bad("log", fmt.Sprintf("entry %d, %q: %v", i+1, entry, err))
			continue
		}
		log = append(log, r)
	}
	if a.err() != nil {
		return Output{}, nil
	}
	r := heat.HomeLog(log, [2]foot.Loss{}, rule, through)
	var alerts, again, missing []string
	for _, alert := range r.Alerts {
		alerts = append(alerts, alert.On.String()+" "+hotSpot(alert.HotSpot))
	}
	for _, h := range r.MeasureAgain {
		again = append(again, hotSpot(h))
	}
	for _, d := range r.Missing {
		missing = append(missing, d.String())
	}
	result := Fields{{"alert", known.Of(len(alerts) > 0).String()}, {"alerts", alerts}, {"measureAgain", again}, {"missing", missing}}
	return withSource(output(result, r.Because), heat.SourceOfLimit), nil
}

func hotSpot(h heat.HotSpot) string {
	return fmt.Sprintf("%s: %s foot warmer by %v %v", h.Spot, h.Warmer, h.Difference, h.Unit)
}

// homeReading reads one entry, such as "2026-03-02,hallux,33.2,30.9".
func homeReading(entry string, unit heat.Unit) (r heat.DayReading, err error) {
	parts := strings.Split(entry, ",")
	if len(parts) != 4 {
		return r, fmt.Errorf("is not written day,spot,right,left")
	}
	if r.On, err = when.ParseDay(parts[0]); err != nil {
		return r, fmt.Errorf("the day is not written YYYY-MM-DD")
	}
	r.Unit = unit
	for s := range heat.SpotCount {
		if s.String() != parts[1] {
			continue
		}
		if r.Right[s], err = homeDegrees(parts[2], unit); err != nil {
			return r, err
		}
		r.Left[s], err = homeDegrees(parts[3], unit)
		return r, err
	}
	return r, fmt.Errorf("the spot is not one of: %s", strings.Join(spots(), ", "))
}

// homeDegrees reads one temperature by the rules of the other calculators of
// warmth.
func homeDegrees(text string, unit heat.Unit) (known.Tenths, error) {
	one := &Args{values: map[string]string{"temperature": text}}
	t := degrees(one, "temperature", unit)
	return t, one.err()
}
