package calc

import "testing"

// Intervals: IWGDF 2023 and NICE NG19, second hand; days by the calendar.
func TestRecallCalculator(t *testing.T) {
	runs(t, []struct{ line, want string }{
		// PLN-6
		{"recall category=3 on=2025-01-31", "from=2025-02-28 due=2025-03-31 overdueAfter=2025-04-30 minMonths=1 chosenMonths=2 maxMonths=3 category=3_(high_risk)"},
		{"recall category=3 on=2025-01-31 choice=max", "due=2025-04-30"},
		{"recall category=3 on=2025-01-31 choice=min", "due=2025-02-28"},
		{"recall category=0 on=2024-02-29", "from=2025-02-28 due=2025-02-28 overdueAfter=2025-02-28"},
		{"recall category=1 on=2026-03-02", "from=2026-09-02 due=2026-12-02 overdueAfter=2027-03-02"},
		{"recall category=2 on=2026-03-02", "from=2026-06-02 due=2026-07-02 overdueAfter=2026-09-02"},
		{"recall system=nice-ng19 category=high on=2026-03-02", "from=2026-04-02 due=2026-04-02 overdueAfter=2026-05-02"},
		{"recall system=scotland-2016 category=low on=2026-03-02", "due=2028-03-02"},
	})
	refuses(t, []struct{ line, says string }{
		{"recall category=4 on=2026-03-02", "input category=4 is not one of: 0, 1, 2, 3"},
		{"recall category=high on=2026-03-02", "input category=high is not one of"},
		{"recall category=3", "input on is missing"},
		{"recall category=3 on=2026-02-30", "input on=2026-02-30: a day is written YYYY-MM-DD"},
		{"recall category=3 on=2026-03-02 choice=late", "input choice=late is not one of: min, middle, max"},
		{"recall system=podus-2020 category=3 on=2026-03-02", "input system=podus-2020 is not one of"},
	})
	examplesRun(t, recallCalculators())
}

// tests-and-wounds 10.4.
func TestShapeCalculators(t *testing.T) {
	runs(t, []struct{ line, want string }{
		{"shoe-length inner-mm=270 right-mm=260", "roomMm=10 fit=fits"},
		{"shoe-length inner-mm=280 right-mm=260 left-mm=250", "roomMm=20 fit=fits"},
		{"shoe-length inner-mm=269 right-mm=260", "roomMm=9 fit=too-short"},
		{"shoe-length inner-mm=281 left-mm=260", "roomMm=21 fit=too-long"},
		{"ankle-lunge degrees=29", "equinus=yes"},
		{"ankle-lunge degrees=30", "equinus=no"},
		{"toe-shape base-up=yes middle-down=yes end-down=yes", "deformity=claw-toe"},
		{"toe-shape base-up=no middle-down=yes end-down=no", "deformity=hammer-toe"},
		{"toe-shape middle-down=no end-down=no", "deformity=none"},
	})
	refuses(t, []struct{ line, says string }{
		{"shoe-length inner-mm=27.0 right-mm=260", "input inner-mm=27.0 is not a whole number of mm"},
		{"shoe-length inner-mm=270", "at least one foot"},
		{"ankle-lunge degrees=unknown", "input degrees=unknown: a number is needed"},
		{"toe-shape base-up=yes middle-down=yes", "middle-down and end-down are needed"},
		{"toe-shape base-up=bent", "input base-up=bent is not yes, no or unknown"},
	})
	examplesRun(t, shapeCalculators())
}
