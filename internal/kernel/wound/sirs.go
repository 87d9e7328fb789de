package wound

import (
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/source"
)

// InfectionEdition is the edition of the infection grades; the editions differ
// at single values.
type InfectionEdition uint8

// The editions.
const (
	Infection2023 InfectionEdition = iota
	Infection2012
)

// SIRSResult is how far the signs of a systemic inflammatory response are met.
type SIRSResult struct {
	// Low and High bound the criteria met, 0 to 4; they differ where something
	// was not measured.
	Low, High int
	// Is answers "is there a systemic response?": two criteria or more.
	Is known.Tri
	// Missing names what would settle Is, such as "vitals.heart-rate"; empty
	// when it is settled.
	Missing []string
	// Because lists the criteria that are met.
	Because source.Because
}

var (
	sirs2023 = source.IWGDFIDSA2023Infection.At("infection grades, grade 4", source.Secondary)
	sirs2012 = source.IDSA2012Infection.At("infection grades, severe", source.Secondary)
)

// SIRS counts the systemic criteria by the edition of 2023. The edges are
// strict: above 38.0 or below 36.0 degrees Celsius; heart rate above 90;
// breathing above 20 a minute or PaCO2 below 32 mmHg (4.3 kPa); leucocytes
// above 12.0 or below 4.0 x10^9/L, or more than 10 % immature forms (IWGDF/IDSA
// 2023, second hand).
//
// Where a criterion has two ways to be met, one of them measured and normal is
// enough to say that it is not met (our proposal): nobody draws arterial blood
// for a foot exam.
func SIRS(s Systemic) SIRSResult { return SIRSBy(s, Infection2023) }

// SIRSBy counts the systemic criteria by an edition. The edition of 2012 takes
// 10 % immature forms as met, that of 2023 wants more than 10 % (both second
// hand).
func SIRSBy(s Systemic, e InfectionEdition) SIRSResult {
	src, immature := sirs2023, above(s.ImmatureCells.State, s.ImmatureCells.Value, 100)
	if e == Infection2012 {
		src, immature = sirs2012, above(s.ImmatureCells.State, s.ImmatureCells.Value, 99)
	}
	temperature := outside(s.TemperatureC.State, s.TemperatureC.Value, 360, 380)
	heart := above(s.HeartRate.State, s.HeartRate.Value, 90)
	breath := either(
		above(s.RespiratoryRate.State, s.RespiratoryRate.Value, 20),
		below(s.PaCO2.State, s.PaCO2.Value, 32))
	cells := either(outside(s.WhiteCells.State, s.WhiteCells.Value, 40, 120), immature)

	r := SIRSResult{}
	r.count(temperature)
	r.count(heart)
	r.count(breath)
	r.count(cells)
	switch {
	case r.Low >= 2:
		r.Is = known.Yes
	case r.High < 2:
		r.Is = known.No
	default:
		r.Missing = missing(nil, "vitals.temperature-c", temperature)
		r.Missing = missing(r.Missing, "vitals.heart-rate", heart)
		r.Missing = missing(r.Missing, "vitals.respiratory-rate", breath)
		r.Missing = missing(r.Missing, "vitals.white-cells", cells)
	}
	if temperature == known.Yes {
		r.say(src, "vitals.temperature-c", "Temperature "+s.TemperatureC.String()+" degrees Celsius, outside 36.0 to 38.0.")
	}
	if heart == known.Yes {
		r.say(src, "vitals.heart-rate", "Heart rate "+s.HeartRate.String()+" a minute, above 90.")
	}
	if breath == known.Yes {
		r.say(src, "vitals.respiratory-rate", "Breathing "+s.RespiratoryRate.String()+" a minute (above 20 counts) or PaCO2 "+s.PaCO2.String()+" mmHg (below 32 counts).")
	}
	if cells == known.Yes {
		r.say(src, "vitals.white-cells", "Leucocytes "+s.WhiteCells.String()+" x10^9/L (outside 4.0 to 12.0 counts) or immature forms "+s.ImmatureCells.String()+" % (10 % is the edge).")
	}
	return r
}

func (r *SIRSResult) count(t known.Tri) {
	if t != known.No {
		r.High++
	}
	if t == known.Yes {
		r.Low++
	}
}

func (r *SIRSResult) say(src *source.Source, fact, says string) {
	r.Because = append(r.Because, source.Reason{Says: says, Fact: fact, Source: src})
}

// either is Yes if one way is met, No if one way was measured and none is met.
func either(a, b known.Tri) known.Tri {
	switch {
	case a == known.Yes || b == known.Yes:
		return known.Yes
	case a == known.No || b == known.No:
		return known.No
	}
	return known.Unknown
}

// above answers "is the measurement above the edge?"; a value above the range
// of the device is.
func above(state known.ReadingState, value, edge int) known.Tri {
	switch state {
	case known.Measured:
		return known.Of(value > edge)
	case known.TooHigh:
		return known.Yes
	}
	return known.Unknown
}

func below(state known.ReadingState, value, edge int) known.Tri {
	switch state {
	case known.Measured:
		return known.Of(value < edge)
	case known.TooHigh:
		return known.No
	}
	return known.Unknown
}

func outside(state known.ReadingState, value, low, high int) known.Tri {
	return known.Any(above(state, value, high), below(state, value, low))
}

// missing appends the name of an input that is unknown.
func missing(names []string, name string, t known.Tri) []string {
	if t == known.Unknown {
		names = append(names, name)
	}
	return names
}

// SIRSBecause explains the criteria themselves.
func SIRSBecause() source.Because {
	return source.Because{
		reason("A systemic response is two or more of: temperature above 38.0 or below 36.0; heart rate above 90; breathing above 20 or PaCO2 below 32 mmHg; leucocytes above 12.0 or below 4.0, or more than 10 % immature. The edges themselves do not count.", "", sirs2023),
		reason("Where a criterion has two ways to be met, one measured and normal is enough to say no.", "", own("one normal way settles a criterion")),
	}
}
