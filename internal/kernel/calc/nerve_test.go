package calc

import (
	"encoding/json"
	"fmt"
	"strings"
	"testing"
)

// runs runs lines such as "abi right-dp=96" and compares values at paths, the
// names of a path joined by a slash. Blanks of a value are written "_".
func runs(t *testing.T, lines []struct{ line, want string }) {
	t.Helper()
	for _, tc := range lines {
		t.Run(tc.line, func(t *testing.T) {
			words := strings.Fields(tc.line)
			c, err := Find(words[0])
			if err != nil {
				t.Fatal(err)
			}
			out, err := c.Do(words[1:])
			if err != nil {
				t.Fatal(err)
			}
			for _, w := range strings.Fields(tc.want) {
				path, want, _ := strings.Cut(w, "=")
				got := strings.ReplaceAll(fmt.Sprint(out.Result.Get(strings.Split(path, "/")...)), " ", "_")
				if got != want {
					t.Errorf("%s is %s, want %s", path, got, want)
				}
			}
			if len(out.Steps) == 0 || len(out.Sources) == 0 {
				t.Errorf("%d steps and %d sources, want both", len(out.Steps), len(out.Sources))
			}
			if _, err := json.Marshal(out); err != nil {
				t.Error(err)
			}
		})
	}
}

// refuses runs lines that must fail and compares what the error says.
func refuses(t *testing.T, lines []struct{ line, says string }) {
	t.Helper()
	for _, tc := range lines {
		words := strings.Fields(tc.line)
		c, err := Find(words[0])
		if err != nil {
			t.Fatal(err)
		}
		out, err := c.Do(words[1:])
		if err == nil || !strings.Contains(err.Error(), tc.says) {
			t.Errorf("%s: result %v, error %v; want an error that says %q", tc.line, out.Result, err, tc.says)
		}
	}
}

// examplesRun runs the example of each calculator; every input must be told.
func examplesRun(t *testing.T, all []Calculator) {
	t.Helper()
	for _, c := range all {
		out, err := c.Do(strings.Fields(c.Example))
		if err != nil || len(out.Result) == 0 || len(out.Steps) == 0 || len(out.Sources) == 0 {
			t.Errorf("%s %s: %v, %v", c.Name, c.Example, out, err)
		}
		if c.Title == "" {
			t.Errorf("%s has no title", c.Name)
		}
		for _, i := range c.Inputs {
			if i.Says == "" {
				t.Errorf("%s: input %s says nothing", c.Name, i.Name)
			}
		}
	}
}

// The sections are those of the reference on tests and wounds, ADA- and CMS-
// those of the risk reference, M those of the Medicare check cases.
func TestNerveCalculators(t *testing.T) {
	runs(t, []struct{ line, want string }{
		// M001, M002, M004, M005, M006; CMS-1 and CMS-2
		{"lops definition=lops-medicare-70.2.1 protocol=five-sites right=felt left=felt right-mth1=not-felt", "lops=no right/notFelt=1 right/tested=5 right/incomplete=false byDefinition/lops-iwgdf-2023=yes"},
		{"lops definition=lops-medicare-70.2.1 protocol=five-sites right=felt left=felt right-mth1=not-felt right-heel=not-felt", "lops=yes right/lops=yes left/lops=no"},
		{"lops definition=lops-medicare-70.2.1 protocol=five-sites right=felt left=felt right-mth1=not-felt left-mth1=not-felt", "lops=no byDefinition/lops-ada-2008=yes"},
		{"lops definition=lops-medicare-70.2.1 protocol=five-sites right-loss=below-knee left=felt left-mth1=not-felt left-mth5=not-felt", "lops=yes right/gone=true right/lops=unknown left/lops=yes"},
		{"lops definition=lops-medicare-70.2.1 protocol=three-sites right=not-felt left=felt right-hallux=felt", "lops=yes right/incomplete=true right/tested=3"},
		// ADA-1, ADA-2, ADA-3, ADA-4
		{"lops definition=lops-ada-2008 protocol=four-sites right=felt left=felt right-vibration=normal left-vibration=normal", "lops=no"},
		{"lops definition=lops-ada-2008 protocol=four-sites right=felt left=felt right-reflex=absent left-vibration=normal", "lops=yes byDefinition/lops-ada-2024=unknown"},
		{"lops definition=lops-ada-2008 protocol=four-sites right=felt left=felt", "lops=unknown settledBy=[right-vibration_left-vibration]"},
		{"lops definition=lops-ada-2008 protocol=four-sites right=felt left=felt left-mth3=not-felt", "lops=yes left/notFelt=1"},
		// 8
		{"lops protocol=three-sites right=felt right-hallux=absent left=felt", "lops=no right/absent=1 right/incomplete=true definition=lops-iwgdf-2023"},
		{"lops protocol=three-sites right=not-possible left=felt", "lops=unknown settledBy=[right-hallux_right-mth1_right-mth5_right-vibration]"},
		{"lops", "lops=unknown right/tested=0"},
		{"lops definition=lops-ada-2008 right-volts=25.0 left-volts=25.1 right-pinprick=normal", "lops=yes right/lops=no left/lops=yes"},
		// 2.12
		{"lops definition=lops-armstrong-1998 right=felt left=felt right-toe3=not-felt right-toe5=not-felt right-heel=not-felt", "lops=no"},
		{"lops definition=lops-armstrong-1998 right=felt left=felt right-toe3=not-felt right-toe5=not-felt right-heel=not-felt right-dorsum=not-felt", "lops=yes right/notFelt=4"},
		{"ipswich right-toe1=felt right-toe3=felt right-toe5=not-felt left-toe1=felt left-toe3=felt left-toe5=felt", "lops=no right/notFelt=1"},
		{"ipswich right-toe1=felt right-toe3=felt right-toe5=not-felt left-toe1=felt left-toe3=felt left-toe5=not-felt", "lops=yes"},
		{"ipswich right-toe1=absent right-toe3=felt right-toe5=not-felt left-toe1=felt left-toe3=felt left-toe5=felt", "lops=no right/incomplete=true right/absent=1"},
		{"ipswich right-toe1=felt right-toe3=felt right-toe5=felt", "lops=unknown settledBy=[left-toe1_left-toe3_left-toe5]"},
		{"ipswich right-gone=yes left-toe1=not-felt left-toe3=not-felt", "lops=yes right/gone=true"},
		{"monofilament-site first=right second=right third=wrong", "site=felt"},
		{"monofilament-site first=right second=wrong third=wrong", "site=not-felt"},
		{"monofilament-site first=right", "site=undecided"},
		{"monofilament-site first=right rule=first-or-two-of-three", "site=felt"},
		{"monofilament-site first=wrong second=unable", "site=not-felt"},
		{"vpt right-volts=25.0", "right/above25=no right/from25=yes left=<nil>"},
		{"vpt left-volts=too-high", "left/above25=yes left/from25=yes"},
		{"perkins wrong=1", "band=normal positive=no"},
		{"perkins wrong=3", "band=indeterminate positive=unknown"},
		{"perkins wrong=5", "band=abnormal positive=yes"},
		{"perkins wrong=4 unanswered=1", "score=<nil> low=4 high=5 band=<nil>"},
		{"nds right-vibration=abnormal right-pinprick=normal right-temperature=normal right-reflex=absent left-vibration=abnormal left-pinprick=normal left-temperature=normal left-reflex=absent", "score=6 band=moderate positive=yes"},
		{"nds right-vibration=abnormal", "score=<nil> low=1 high=10 unknownItems=7"},
		{"nss symptom=burning site=feet worse=night woken=yes relief=walking", "score=9 band=severe positive=<nil>"},
		{"nss symptom=none nds=6", "score=0 band=none neuropathyByBoth=yes"},
		{"nss symptom=burning site=feet worse=day woken=no relief=standing nds=3", "score=5 neuropathyByBoth=yes"},
		{"nss symptom=fatigue site=feet worse=day woken=no relief=standing nds=3", "score=4 neuropathyByBoth=no"},
		{"mnsi " + each("q%d=yes", 15), "questionnaire/score=11 questionnaire/positive=yes examination=<nil>"},
		{"mnsi " + each("q%d=no", 15), "questionnaire/score=2 questionnaire/positive=no questionnaire/positiveFrom4=no"},
		{"mnsi right-appearance=yes right-ulcer=no right-reflex=with-reinforcement right-vibration=present left-appearance=yes left-ulcer=no left-reflex=present left-vibration=present", "examination/score=2.5 examination/positive=yes questionnaire=<nil> withFilament=<nil>"},
		{"mnsi right-filament=7 left-filament=0", "withFilament/low=1.5 withFilament/high=9.5"},
		{"toronto foot-pain=yes numbness=yes tingling=yes weakness=no unsteadiness=yes upper-limb=no right-knee=normal left-knee=normal right-ankle=absent left-ankle=absent pinprick=normal temperature=normal light-touch=normal vibration=abnormal position=abnormal", "score=10 band=moderate"},
		// 2.4
		{"filament sites=3 applications=2", "compressionsEach=12 people=8 restDue=false"},
		{"filament sites=10", "compressionsEach=20 people=5"},
		{"filament sites=4 used=100", "compressionsEach=8 people=0 restDue=true"},
	})
}

// each writes a pattern for the numbers from 1 to n.
func each(pattern string, n int) string {
	var words []string
	for i := 1; i <= n; i++ {
		words = append(words, fmt.Sprintf(pattern, i))
	}
	return strings.Join(words, " ")
}

func TestNerveCalculatorsRefuseBadInput(t *testing.T) {
	refuses(t, []struct{ line, says string }{
		{"lops definition=lops-nobody", "input definition=lops-nobody is not one of: lops-iwgdf-2023"},
		{"lops protocol=six-sites", "input protocol=six-sites is not one of: three-sites"},
		{"lops right-hallux=yes", "input right-hallux=yes is not one of: felt, not-felt, absent"},
		{"lops right-instep=felt", `lops has no input "right-instep"`},
		{"lops right-reflex=normal", "input right-reflex=normal is not one of: present"},
		{"lops right-volts=50.1", "input right-volts=50.1 is not a number of volts from 0.0 to 50.0"},
		{"lops right-volts=25.05", "at most one decimal"},
		{"lops right-loss=toe", "input right-loss=toe is not one of: whole"},
		{"ipswich right-toe2=felt", `no input "right-toe2"`},
		{"monofilament-site second=right", "input first is missing"},
		{"monofilament-site first=maybe", "input first=maybe is not one of: right, wrong, unable"},
		{"vpt", "give right-volts or left-volts"},
		{"vpt right-volts=-1", "from 0.0 to 50.0"},
		{"filament", "input sites is missing"},
		{"filament sites=0", "input sites=0 is not a whole number of sites from 1 to 20"},
		{"filament sites=unknown", "input sites is needed"},
		{"filament sites=3 feet=3", "from 1 to 2"},
		{"nds right-vibration=reduced", "input right-vibration=reduced is not one of: normal"},
		{"nss relief=rest", "input relief=rest is not one of"},
		{"nss nds=11", "from 0 to 10"},
		{"mnsi", "give answers q1 to q15"},
		{"mnsi q16=yes", `no input "q16"`},
		{"mnsi right-filament=11", "from 0 to 10"},
		{"toronto right-knee=brisk", "input right-knee=brisk is not one of: normal, reduced, absent"},
		{"perkins wrong=9", "from 0 to 8"},
		{"perkins wrong=7 unanswered=2", "there are eight stimuli in all"},
		{"perkins wrong=unknown", "input wrong is needed"},
	})
}

func TestTheExamplesOfTheNerveCalculatorsRun(t *testing.T) { examplesRun(t, nerveCalculators()) }
