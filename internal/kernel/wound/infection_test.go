package wound

import (
	"slices"
	"testing"

	"tengram/internal/kernel/known"
)

// clean is an ulcer looked over for infection with nothing found.
func clean() Infection {
	return Infection{
		Swelling: known.AnswerNo, ErythemaMM: known.Value(0), Tenderness: known.AnswerNo, Warmth: known.AnswerNo,
		Pus: known.AnswerNo, Deep: known.AnswerNo, Bone: known.AnswerNo, Spreading: known.AnswerNo, Crepitus: known.AnswerNo,
	}
}

// well is a person with normal vital signs.
func well() Systemic {
	return Systemic{TemperatureC: known.TenthsOf(368), HeartRate: known.Value(72), RespiratoryRate: known.Value(14), WhiteCells: known.TenthsOf(71)}
}

func change[T any](v T, f func(*T)) T { f(&v); return v }

// The expected grades are those of the reference, 6.7 (derived from the words
// of the IWGDF/IDSA table, second hand) unless a case names another source.
func TestInfectionGrades(t *testing.T) {
	tests := []struct {
		name             string
		infection        Infection
		systemic         Systemic
		low2023, hi2023  string
		low2012, hi2012  string
		settledBy2023    []string
		infected, severe known.Tri
	}{
		{"nothing found at a clean ulcer is grade 1", clean(), well(), "1", "1", "1", "1", nil, known.No, known.No},
		{"one local sign alone, no SIRS, no bone, is grade 1", change(clean(), func(i *Infection) { i.Pus = known.AnswerYes }), well(), "1", "1", "1", "1", nil, known.No, known.No},
		{"redness of exactly 20 mm with warmth is moderate in 2023 and mild in 2012", change(clean(), func(i *Infection) { i.ErythemaMM = known.Value(20); i.Warmth = known.AnswerYes }), well(), "3", "3", "2", "2", nil, known.Yes, known.No},
		{"redness of 21 mm with warmth is moderate in both", change(clean(), func(i *Infection) { i.ErythemaMM = known.Value(21); i.Warmth = known.AnswerYes }), well(), "3", "3", "3", "3", nil, known.Yes, known.No},
		{"redness of 19 mm with warmth is mild in both", change(clean(), func(i *Infection) { i.ErythemaMM = known.Value(19); i.Warmth = known.AnswerYes }), well(), "2", "2", "2", "2", nil, known.Yes, known.No},
		// 6.5: redness is a sign above 0.5 cm.
		{"redness of exactly 5 mm is no sign", change(clean(), func(i *Infection) { i.ErythemaMM = known.Value(5); i.Warmth = known.AnswerYes }), well(), "1", "1", "1", "1", nil, known.No, known.No},
		{"redness of 6 mm is a sign", change(clean(), func(i *Infection) { i.ErythemaMM = known.Value(6); i.Warmth = known.AnswerYes }), well(), "2", "2", "2", "2", nil, known.Yes, known.No},
		{"redness of 10 mm, warmth, 38.4 degrees and heart rate 104 is grade 4", change(clean(), func(i *Infection) { i.ErythemaMM = known.Value(10); i.Warmth = known.AnswerYes }),
			change(well(), func(s *Systemic) { s.TemperatureC = known.TenthsOf(384); s.HeartRate = known.Value(104) }), "4", "4", "4", "4", nil, known.Yes, known.Yes},
		{"SIRS without an infected foot does not make the foot severe", clean(),
			change(well(), func(s *Systemic) { s.TemperatureC = known.TenthsOf(384); s.HeartRate = known.Value(104) }), "1", "1", "1", "1", nil, known.No, known.Yes},
		// 6.5, last line: from memory of the edition of 2023.
		{"bone without two local signs is 3(O)", change(clean(), func(i *Infection) { i.Bone = known.AnswerYes }), well(), "3(O)", "3(O)", "3", "3", nil, known.Yes, known.No},
		{"bone with SIRS is 4(O)", change(clean(), func(i *Infection) { i.Bone = known.AnswerYes }),
			change(well(), func(s *Systemic) { s.TemperatureC = known.TenthsOf(384); s.HeartRate = known.Value(104) }), "4(O)", "4(O)", "4", "4", nil, known.Yes, known.Yes},
		{"an abscess with signs is moderate", change(clean(), func(i *Infection) { i.Deep, i.Pus, i.Swelling = known.AnswerYes, known.AnswerYes, known.AnswerYes }), well(), "3", "3", "3", "3", nil, known.Yes, known.No},
		{"gas in the tissue counts as deep (our proposal)", change(clean(), func(i *Infection) { i.Crepitus = known.AnswerYes }), well(), "3", "3", "3", "3", nil, known.Yes, known.No},
		{"nothing looked for may be anything", Infection{}, Systemic{}, "1", "4(O)", "1", "4",
			[]string{"i.swelling", "i.erythema-mm", "i.tenderness", "i.warmth", "i.pus", "i.deep", "i.crepitus", "i.bone",
				"vitals.temperature-c", "vitals.heart-rate", "vitals.respiratory-rate", "vitals.white-cells"}, known.Unknown, known.Unknown},
		{"an infected ulcer without vital signs may be severe", change(clean(), func(i *Infection) { i.Pus, i.Warmth = known.AnswerYes, known.AnswerYes }), Systemic{}, "2", "4", "2", "4",
			[]string{"vitals.temperature-c", "vitals.heart-rate", "vitals.respiratory-rate", "vitals.white-cells"}, known.Yes, known.Unknown},
		{"a clean ulcer without vital signs is grade 1 all the same", clean(), Systemic{}, "1", "1", "1", "1", nil, known.No, known.Unknown},
		{"an unsure answer about bone leaves the (O) open", change(clean(), func(i *Infection) { i.Bone = known.Unsure }), well(), "1", "3(O)", "1", "3", []string{"i.bone"}, known.Unknown, known.No},
		{"severe with bone not known lacks only the (O)", change(clean(), func(i *Infection) { i.Pus, i.Warmth, i.Bone = known.AnswerYes, known.AnswerYes, known.NotAsked }),
			change(well(), func(s *Systemic) { s.TemperatureC = known.TenthsOf(384); s.HeartRate = known.Value(104) }), "4", "4(O)", "4", "4", []string{"i.bone"}, known.Yes, known.Yes},
		{"two signs with redness not measured asks for the redness", change(clean(), func(i *Infection) { i.Pus, i.Warmth, i.ErythemaMM = known.AnswerYes, known.AnswerYes, known.Reading{} }), well(), "2", "3", "2", "3", []string{"i.erythema-mm"}, known.Yes, known.No},
		{"redness beyond what can be measured is wide", change(clean(), func(i *Infection) { i.Warmth, i.ErythemaMM = known.AnswerYes, known.Reading{State: known.TooHigh} }), well(), "3", "3", "3", "3", nil, known.Yes, known.No},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			g23 := GradeInfection("i", tt.infection, tt.systemic, Infection2023)
			g12 := GradeInfection("i", tt.infection, tt.systemic, Infection2012)
			c23, c12 := g23.Class(), g12.Class()
			if c23.Low != tt.low2023 || c23.High != tt.hi2023 {
				t.Errorf("2023: got %s to %s, want %s to %s", c23.Low, c23.High, tt.low2023, tt.hi2023)
			}
			if c12.Low != tt.low2012 || c12.High != tt.hi2012 {
				t.Errorf("2012: got %s to %s, want %s to %s", c12.Low, c12.High, tt.low2012, tt.hi2012)
			}
			if g23.Infected != tt.infected || g23.SIRS.Is != tt.severe {
				t.Errorf("infected %v and SIRS %v, want %v and %v", g23.Infected, g23.SIRS.Is, tt.infected, tt.severe)
			}
			if !slices.Equal(c23.Missing, tt.settledBy2023) {
				t.Errorf("missing %q, want %q", c23.Missing, tt.settledBy2023)
			}
		})
	}
}

// The edges are those of the reference, 5.1 and 6.5 (IWGDF/IDSA 2023 and IDSA
// 2012, second hand).
func TestSIRS(t *testing.T) {
	tests := []struct {
		name      string
		systemic  Systemic
		edition   InfectionEdition
		low, high int
		is        known.Tri
	}{
		{"38.0 degrees and heart rate 90 are no points", change(well(), func(s *Systemic) { s.TemperatureC = known.TenthsOf(380); s.HeartRate = known.Value(90) }), Infection2023, 0, 0, known.No},
		{"38.1 degrees and heart rate 91 are two", change(well(), func(s *Systemic) { s.TemperatureC = known.TenthsOf(381); s.HeartRate = known.Value(91) }), Infection2023, 2, 2, known.Yes},
		{"36.0 degrees is no point", change(well(), func(s *Systemic) { s.TemperatureC = known.TenthsOf(360) }), Infection2023, 0, 0, known.No},
		{"35.9 degrees is one point", change(well(), func(s *Systemic) { s.TemperatureC = known.TenthsOf(359) }), Infection2023, 1, 1, known.No},
		{"breathing 20 is no point", change(well(), func(s *Systemic) { s.RespiratoryRate = known.Value(20) }), Infection2023, 0, 0, known.No},
		{"breathing 21 is one point", change(well(), func(s *Systemic) { s.RespiratoryRate = known.Value(21) }), Infection2023, 1, 1, known.No},
		{"PaCO2 32 is no point", change(well(), func(s *Systemic) { s.PaCO2 = known.Value(32) }), Infection2023, 0, 0, known.No},
		{"PaCO2 31 is one point although breathing is slow", change(well(), func(s *Systemic) { s.PaCO2 = known.Value(31) }), Infection2023, 1, 1, known.No},
		{"leucocytes 12.0 and 4.0 are no point", change(well(), func(s *Systemic) { s.WhiteCells = known.TenthsOf(120) }), Infection2023, 0, 0, known.No},
		{"leucocytes 12.1 are one point", change(well(), func(s *Systemic) { s.WhiteCells = known.TenthsOf(121) }), Infection2023, 1, 1, known.No},
		{"leucocytes 3.9 are one point", change(well(), func(s *Systemic) { s.WhiteCells = known.TenthsOf(39) }), Infection2023, 1, 1, known.No},
		{"10 % immature forms are no point in 2023", change(well(), func(s *Systemic) { s.ImmatureCells = known.TenthsOf(100) }), Infection2023, 0, 0, known.No},
		{"10 % immature forms are one point in 2012", change(well(), func(s *Systemic) { s.ImmatureCells = known.TenthsOf(100) }), Infection2012, 1, 1, known.No},
		{"nothing measured may be anything", Systemic{}, Infection2023, 0, 4, known.Unknown},
		{"three normal criteria settle it without a blood test", change(well(), func(s *Systemic) { s.WhiteCells = known.Tenths{} }), Infection2023, 0, 1, known.No},
		{"fever alone leaves it open", Systemic{TemperatureC: known.TenthsOf(390)}, Infection2023, 1, 4, known.Unknown},
		{"fever with a fast heart settles it", Systemic{TemperatureC: known.TenthsOf(390), HeartRate: known.Value(110)}, Infection2023, 2, 4, known.Yes},
		{"a refused measurement stays unknown", Systemic{TemperatureC: known.Tenths{State: known.MeasureDeclined}}, Infection2023, 0, 4, known.Unknown},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			r := SIRSBy(tt.systemic, tt.edition)
			if r.Low != tt.low || r.High != tt.high || r.Is != tt.is {
				t.Errorf("got %d to %d, %v; want %d to %d, %v", r.Low, r.High, r.Is, tt.low, tt.high, tt.is)
			}
			if (r.Is == known.Unknown) != (len(r.Missing) > 0) {
				t.Errorf("missing %q with the answer %v", r.Missing, r.Is)
			}
			if len(r.Because) != r.Low {
				t.Errorf("%d reasons for %d points", len(r.Because), r.Low)
			}
		})
	}
}
