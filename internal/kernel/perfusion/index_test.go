package perfusion_test

import (
	"testing"

	"tengram/internal/kernel/known"
	"tengram/internal/kernel/perfusion"
)

func mmHg(v int) known.Reading { return known.Value(v) }

func arms(right, left int) perfusion.Arms {
	return perfusion.Arms{Right: mmHg(right), Left: mmHg(left)}
}

var (
	noSignal = known.Reading{State: known.NoSignal}
	tooHigh  = known.Reading{State: known.TooHigh}
	blocked  = known.Reading{State: known.CannotMeasure}
)

// The cases are those of tests-and-wounds.md 1.7; the bands stand there in 1.2.
func TestTheIndexAndItsBands(t *testing.T) {
	for _, c := range []struct {
		name        string
		dp, pt      known.Reading
		arms        perfusion.Arms
		method      perfusion.Method
		want        int
		acc, older  string
		idsa, iwgdf string
	}{
		{"right: 104 over 132", mmHg(96), mmHg(104), arms(128, 132), perfusion.HigherAnkle, 79, "abnormal", "mild to moderate", "mild", "below the range"},
		{"right by the lower ankle: 96 over 132", mmHg(96), mmHg(104), arms(128, 132), perfusion.LowerAnkle, 73, "abnormal", "mild to moderate", "mild", "below the range"},
		{"left: 60 over 132", mmHg(60), mmHg(50), arms(128, 132), perfusion.HigherAnkle, 45, "abnormal", "mild to moderate", "moderate", "below the range"},
		{"left by the lower ankle: 50 over 132", mmHg(60), mmHg(50), arms(128, 132), perfusion.LowerAnkle, 38, "abnormal", "severe", "severe", "below the range"},
		{"108 over 120", mmHg(108), mmHg(100), arms(120, 118), perfusion.HigherAnkle, 90, "abnormal", "mild to moderate", "normal", "PAD less likely"},
		{"109 over 120", mmHg(109), mmHg(100), arms(120, 118), perfusion.HigherAnkle, 91, "borderline", "not in the abnormal band", "normal", "PAD less likely"},
		{"119 over 120", mmHg(119), mmHg(100), arms(120, 118), perfusion.HigherAnkle, 99, "borderline", "not in the abnormal band", "normal", "PAD less likely"},
		{"120 over 120", mmHg(120), mmHg(100), arms(120, 118), perfusion.HigherAnkle, 100, "normal", "not in the abnormal band", "normal", "PAD less likely"},
		{"168 over 120", mmHg(168), mmHg(100), arms(120, 118), perfusion.HigherAnkle, 140, "normal", "not in the abnormal band", "poorly compressible", "above the range: toe pressure needed"},
		{"169 over 120", mmHg(169), mmHg(100), arms(120, 118), perfusion.HigherAnkle, 141, "noncompressible", "not in the abnormal band", "poorly compressible", "above the range: toe pressure needed"},
		{"122 over 135 rounds to 0.90 before it is banded", mmHg(122), mmHg(100), arms(135, 118), perfusion.HigherAnkle, 90, "abnormal", "mild to moderate", "normal", "PAD less likely"},
		{"48 over 120", mmHg(48), mmHg(40), arms(120, 118), perfusion.HigherAnkle, 40, "abnormal", "severe", "moderate", "below the range"},
		{"49 over 120", mmHg(49), mmHg(40), arms(120, 118), perfusion.HigherAnkle, 41, "abnormal", "mild to moderate", "moderate", "below the range"},
		{"162 over 120 is 1.35, normal for one body and not for the other", mmHg(162), mmHg(100), arms(120, 118), perfusion.HigherAnkle, 135, "normal", "not in the abnormal band", "poorly compressible", "above the range: toe pressure needed"},
		{"a half is rounded up: 143 over 200 is 0.715", mmHg(143), mmHg(100), arms(200, 118), perfusion.HigherAnkle, 72, "abnormal", "mild to moderate", "mild", "below the range"},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := perfusion.ABI(c.dp, c.pt, c.arms, c.method)
			if !got.Known || got.Value != c.want || got.Band != c.acc {
				t.Fatalf("got %+v, want %d hundredths, %s", got, c.want, c.acc)
			}
			if got.SingleArm || got.SingleArtery {
				t.Errorf("flagged as measured in part: %+v", got)
			}
			for scale, want := range map[string]string{"acc-2024": c.acc, "acc-2005": c.older, "idsa-2012": c.idsa, "iwgdf-2023": c.iwgdf} {
				if band := bandBy(t, perfusion.ABIScales(), scale, got.Value); band != want {
					t.Errorf("%s: %q, want %q", scale, band, want)
				}
			}
		})
	}
}

func bandBy(t *testing.T, scales []perfusion.Scale, id string, v int) string {
	t.Helper()
	for _, s := range scales {
		if s.ID == id {
			return s.Band(v)
		}
	}
	t.Fatalf("no scale %q", id)
	return ""
}

func TestWhatGivesNoIndex(t *testing.T) {
	for _, c := range []struct {
		name   string
		dp, pt known.Reading
		arms   perfusion.Arms
		why    string
		band   string
	}{
		{"no signal at either artery (tests-and-wounds 1.7) is not 0", noSignal, noSignal, arms(120, 118), "no ankle signal", ""},
		{"no signal at the one artery probed", noSignal, known.Reading{}, arms(120, 118), "no ankle signal", ""},
		{"nothing measured", known.Reading{}, known.Reading{}, arms(120, 118), "no ankle pressure was measured", ""},
		{"not possible", blocked, blocked, arms(120, 118), "no ankle pressure was measured", ""},
		{"an artery that could not be compressed", tooHigh, mmHg(120), arms(120, 118), "an ankle artery could not be compressed: measure the toe pressure", "noncompressible"},
		{"no arm", mmHg(120), mmHg(118), perfusion.Arms{}, "no arm pressure was measured", ""},
		{"an arm of 0", mmHg(120), mmHg(118), arms(0, 0), "an arm pressure of 0 cannot be true: measure it again", ""},
		{"an ankle below 0", mmHg(-3), mmHg(-5), arms(120, 0), "a pressure below 0 cannot be true: measure it again", ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := perfusion.ABI(c.dp, c.pt, c.arms, perfusion.HigherAnkle)
			if got.Known || got.Value != 0 || got.Why != c.why || got.Band != c.band {
				t.Errorf("got %+v, want none, because %q, band %q", got, c.why, c.band)
			}
		})
	}
	for name, toe := range map[string]known.Reading{
		"there was no signal at the toe":         noSignal,
		"the toe pressure was not measured":      {},
		"the toe pressure could not be measured": blocked,
	} {
		if got := perfusion.TBI(toe, arms(120, 118)); got.Known || got.Why != name {
			t.Errorf("toe %v: got %+v, want none, because %q", toe, got, name)
		}
	}
}

func TestWhatWasMeasuredInPartIsFlagged(t *testing.T) {
	got := perfusion.ABI(mmHg(96), mmHg(104), perfusion.Arms{Left: mmHg(132)}, perfusion.HigherAnkle) // 1.7: one arm only
	if !got.Known || got.Value != 79 || !got.SingleArm {
		t.Errorf("one arm: got %+v, want 0.79 with a flag", got)
	}
	got = perfusion.ABI(known.Reading{}, mmHg(104), arms(128, 132), perfusion.HigherAnkle)
	if !got.Known || got.Value != 79 || !got.SingleArtery {
		t.Errorf("one artery: got %+v, want 0.79 with a flag", got)
	}
	got = perfusion.ABI(noSignal, mmHg(104), arms(128, 132), perfusion.HigherAnkle)
	if !got.Known || got.Value != 79 || got.SingleArtery {
		t.Errorf("the other artery silent: got %+v, want 0.79 without a flag, since both were looked for", got)
	}
	got = perfusion.ABI(tooHigh, mmHg(104), arms(128, 132), perfusion.LowerAnkle)
	if !got.Known || got.Value != 79 {
		t.Errorf("the other artery too hard, lower method: got %+v, want 0.79", got)
	}
}

// Toe values: tests-and-wounds 1.7; the toe of 84 over 120 is 0.70, which the
// bodies read in opposite ways.
func TestTheToeIndexAndItsBands(t *testing.T) {
	for _, c := range []struct {
		toe, want                int
		acc, of2015, of2019, now string
	}{
		{84, 70, "abnormal", "below the range", "below the range", "PAD less likely"},
		{83, 69, "abnormal", "below the range", "below the range", "below the range"},
		{85, 71, "normal", "below the range", "below the range", "PAD less likely"},
		{89, 74, "normal", "below the range", "below the range", "PAD less likely"},
		{90, 75, "normal", "PAD less likely", "PAD less likely", "PAD less likely"},
	} {
		got := perfusion.TBI(mmHg(c.toe), arms(120, 110))
		if !got.Known || got.Value != c.want || got.Band != c.acc {
			t.Errorf("toe %d: got %+v, want %d, %s", c.toe, got, c.want, c.acc)
		}
		for scale, want := range map[string]string{"tbi-acc-2016": c.acc, "tbi-iwgdf-2015": c.of2015, "tbi-iwgdf-2019": c.of2019, "tbi-iwgdf-2023": c.now} {
			if band := bandBy(t, perfusion.TBIScales(), scale, got.Value); band != want {
				t.Errorf("toe %d by %s: %q, want %q", c.toe, scale, band, want)
			}
		}
	}
}

// Thresholds by edition: tests-and-wounds 1.5 and 1.7.
func TestThresholdsWithAnUlcerByEdition(t *testing.T) {
	const urgent, healing = "urgent vascular assessment", "healing more likely"
	for _, c := range []struct {
		scales []perfusion.Scale
		id     string
		v      int
		want   string
	}{
		{perfusion.ToeScales(), "toe-iwgdf-2019", 29, urgent}, {perfusion.ToeScales(), "toe-iwgdf-2019", 30, healing},
		{perfusion.ToeScales(), "toe-iwgdf-2023", 29, urgent}, {perfusion.ToeScales(), "toe-iwgdf-2023", 30, healing},
		{perfusion.TcPO2Scales(), "tcpo2-iwgdf-2019", 24, urgent}, {perfusion.TcPO2Scales(), "tcpo2-iwgdf-2019", 27, healing},
		{perfusion.TcPO2Scales(), "tcpo2-iwgdf-2023", 27, urgent}, {perfusion.TcPO2Scales(), "tcpo2-iwgdf-2023", 30, healing},
	} {
		if got := bandBy(t, c.scales, c.id, c.v); got != c.want {
			t.Errorf("%d by %s: %q, want %q", c.v, c.id, got, c.want)
		}
	}
}

// TestEveryValueHasABandInEveryScale holds from 0 to 4.00, and bands never come
// back once left.
func TestEveryValueHasABandInEveryScale(t *testing.T) {
	for _, scales := range [][]perfusion.Scale{perfusion.ABIScales(), perfusion.TBIScales(), perfusion.ToeScales(), perfusion.TcPO2Scales()} {
		for _, s := range scales {
			if s.ID == "" || s.Name == "" || s.Source == nil || s.Source.Standing == "" {
				t.Errorf("scale %+v is not whole", s)
			}
			left := map[string]bool{}
			last := ""
			for v := range 401 {
				band := s.Band(v)
				if band == "" || left[band] {
					t.Fatalf("%s at %d: band %q is missing or comes back", s.ID, v, band)
				}
				if band != last && last != "" {
					left[last] = true
				}
				last = band
			}
		}
	}
}

// TestRoundingIsExactHalfUp compares with whole-number arithmetic written
// another way, over all pressures in use.
func TestRoundingIsExactHalfUp(t *testing.T) {
	for arm := 60; arm <= 260; arm++ {
		for ankle := 0; ankle <= 300; ankle++ {
			whole, rest := ankle*100/arm, ankle*100%arm
			if 2*rest >= arm {
				whole++
			}
			got := perfusion.ABI(mmHg(ankle), noSignal, arms(arm, arm-1), perfusion.HigherAnkle)
			if got.Value != whole {
				t.Fatalf("%d/%d: got %d, want %d", ankle, arm, got.Value, whole)
			}
		}
	}
}
