package calc

import "testing"

// The sections are those of the reference on tests and wounds.
func TestHeatCalculators(t *testing.T) {
	runs(t, []struct{ line, want string }{
		// 4
		{"temperature unit=C right-hallux=33.1 left-hallux=30.9", "hot=no pairs=1 limit=2.2 spots=<nil>"},
		{"temperature unit=C right-hallux=33.2 left-hallux=30.9", "hot=yes spots=[hallux:_right_foot_warmer_by_2.3_C]"},
		{"temperature unit=F right-hallux=91.6 left-hallux=87.6", "hot=no limit=4.0"},
		{"temperature unit=F right-hallux=87.6 left-hallux=91.7", "hot=yes spots=[hallux:_left_foot_warmer_by_4.1_F]"},
		{"temperature unit=C right-hallux=absent left-hallux=31 right-heel=31 left-heel=31.5", "hot=no pairs=1 notCompared=[hallux]"},
		// 3
		{"charcot right-lops=yes left-lops=yes right-swollen=yes left-swollen=no unit=C right-temperature=33.6 left-temperature=31.0", "charcotSuspected=yes sides=[right] temperatureComparison=done"},
		{"charcot right-lops=yes left-lops=yes right-warm=yes right-swollen=yes right-red=yes right-ulcer=yes", "charcotSuspected=yes"},
		{"charcot right-lops=no left-lops=no right-warm=yes right-red=yes", "charcotSuspected=no sides=<nil>"},
		{"charcot right-lops=yes left-lops=yes right-swollen=yes right-red=yes unit=C right-temperature=32.9 left-temperature=31.0", "charcotSuspected=yes sides=[right]"},
		{"charcot right-lops=yes left-gone=yes right-warm=no right-swollen=no right-red=no", "charcotSuspected=no temperatureComparison=not-possible"},
		{"charcot right-lops=yes left-lops=yes", "charcotSuspected=unknown temperatureComparison=not-done"},
		{"charcot right-warm=yes", "charcotSuspected=unknown"},
		// 4
		{"home-log unit=C log=2026-03-02,hallux,33.1,30.9", "alert=no measureAgain=<nil>"},
		{"home-log unit=C log=2026-03-02,hallux,33.2,30.9", "alert=no measureAgain=[hallux:_right_foot_warmer_by_2.3_C]"},
		{"home-log unit=C rule=one-day log=2026-03-02,hallux,33.2,30.9", "alert=yes alerts=[2026-03-02_hallux:_right_foot_warmer_by_2.3_C]"},
		{"home-log unit=C log=2026-03-02,hallux,33.2,30.9;2026-03-03,hallux,33.2,30.9", "alert=yes alerts=[2026-03-03_hallux:_right_foot_warmer_by_2.3_C] missing=<nil>"},
		{"home-log unit=C log=2026-03-02,hallux,30.9,33.2;2026-03-03,heel,33.2,30.9", "alert=no"},
		{"home-log unit=C log=2026-03-02,hallux,33.2,30.9;2026-03-04,hallux,33.2,30.9", "alert=no missing=[2026-03-03]"},
		{"home-log unit=C through=2026-03-04 log=2026-03-02,hallux,33.2,30.9", "missing=[2026-03-03_2026-03-04] measureAgain=<nil>"},
		{"home-log unit=F log=2026-03-02,hallux,91.6,87.6;2026-03-03,hallux,91.6,87.6", "alert=no"},
		{"home-log unit=C log=2026-03-02,hallux,absent,30.9;2026-03-02,heel,31.0,30.9", "alert=no"},
	})
}

func TestHeatCalculatorsRefuseBadInput(t *testing.T) {
	refuses(t, []struct{ line, says string }{
		{"temperature right-hallux=33.1 left-hallux=30.9", "input unit is missing: unit of the temperatures, C or F"},
		{"temperature unit=K right-hallux=33.1 left-hallux=30.9", "input unit=K is not one of: C, F"},
		{"temperature unit=C right-hallux=91.6 left-hallux=87.6", "input right-hallux=91.6 is not a number of degrees C from 10.0 to 45.0"},
		{"temperature unit=F right-hallux=33.1 left-hallux=30.9", "from 50.0 to 113.0"},
		{"temperature unit=C right-hallux=33.15 left-hallux=30.9", "at most one decimal"},
		{"temperature unit=C right-hallux=33.1", "at least one spot on both feet"},
		{"temperature unit=C right-toe=33.1", `no input "right-toe"`},
		{"charcot right-temperature=33 left-temperature=31", "input unit is needed with temperatures"},
		{"home-log log=2026-03-02,hallux,33.1,30.9", "input unit is missing"},
		{"home-log unit=C log=2026-03-02,hallux,33.1", "entry 1, \"2026-03-02,hallux,33.1\": is not written day,spot,right,left"},
		{"home-log unit=C log=2026-03-02,hallux,33.1,30.9;yesterday,heel,31,31", "entry 2, \"yesterday,heel,31,31\": the day is not written YYYY-MM-DD"},
		{"home-log unit=C log=2026-03-02,toe,33.1,30.9", "the spot is not one of: hallux"},
		{"home-log unit=C log=2026-03-02,hallux,91.6,87.6", "is not a number of degrees C from 10.0 to 45.0"},
		{"home-log unit=C rule=weekly log=2026-03-02,hallux,33.1,30.9", "input rule=weekly is not one of: two-days, one-day"},
		{"charcot right-warm=1", "input right-warm=1 is not yes, no or unknown"},
	})
}

func TestTheExamplesOfTheHeatCalculatorsRun(t *testing.T) { examplesRun(t, heatCalculators()) }
