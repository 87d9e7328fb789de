package calc

import (
	"encoding/json"
	"fmt"
	"strings"
	"testing"
)

// want is one expected value at a path of the result.
type want struct {
	path  string // names joined by a slash
	value string // as fmt prints it; "<nil>" for a value that must not be there
}

func runWound(t *testing.T, line string) (Output, error) {
	t.Helper()
	words := strings.Fields(line)
	c, err := Find(words[0])
	if err != nil {
		t.Fatal(err)
	}
	return c.Do(words[1:])
}

func TestWoundCalculators(t *testing.T) {
	tests := []struct {
		line string
		want []want
	}{
		// Reference 7.6 (derived).
		{"wound-area length-mm=30 width-mm=20", []want{{"rectangleCm2", "6.00"}, {"ellipseCm2", "4.71"}, {"shawCm2", "4.38"}, {"rectangleMm2", "600"}, {"ellipseEdgeMm", "79.3"}}},
		{"wound-area length-mm=42 width-mm=28", []want{{"rectangleCm2", "11.76"}, {"ellipseCm2", "9.24"}, {"shawCm2", "8.58"}}},
		{"wound-area length-mm=12 width-mm=9", []want{{"rectangleCm2", "1.08"}, {"ellipseCm2", "0.85"}, {"shawCm2", "0.79"}}},
		{"wound-area outline=0,0;4,0;0,3 units-per-mm=1", []want{{"tracedMm2", "6"}, {"tracedCm2", "0.06"}, {"edgeMm", "12.0"}}},
		{"wound-area outline=0,0;4,0;4,2;2,2;2,4;0,4 units-per-mm=1", []want{{"tracedMm2", "12"}, {"edgeMm", "16.0"}}},
		{"healing days=28 area-before-mm2=600 area-after-mm2=300", []want{{"reductionPercent", "50.0"}, {"onTrack", "yes"}, {"edgeMmPerWeek", "<nil>"}}},
		{"healing days=28 area-before-mm2=600 area-after-mm2=310", []want{{"reductionPercent", "48.3"}, {"onTrack", "no"}}},
		{"healing days=28 area-before-mm2=600 area-after-mm2=720", []want{{"reductionPercent", "-20.0"}, {"onTrack", "no"}}},
		{"healing days=28 area-before-mm2=600 area-after-mm2=0", []want{{"reductionPercent", "100.0"}, {"onTrack", "yes"}, {"closed", "true"}, {"exponentialPerWeek", "<nil>"}}},
		{"healing days=28 length-before-mm=30 width-before-mm=20 length-after-mm=20 width-after-mm=12 method=ellipse",
			[]want{{"reductionPercent", "60.0"}, {"edgeMmPerWeek", "1.084"}, {"exponentialPerWeek", "0.229"}, {"fromMm2", "471"}, {"toMm2", "188"}, {"onTrack", "yes"}}},
		{"healing days=21 length-before-mm=20 width-before-mm=20 length-after-mm=10 width-after-mm=10", []want{{"edgeMmPerWeek", "1.667"}, {"method", "rectangle"}}},
		// Reference 6.7 (derived).
		{"sinbad site=hindfoot ischemia=yes neuropathy=yes infection=yes area-mm2=230 depth=tendon-or-muscle", []want{{"score", "6"}}},
		{"sinbad site=forefoot ischemia=no neuropathy=yes infection=no area-mm2=90 depth=subcutis", []want{{"score", "1"}}},
		{"sinbad site=forefoot ischemia=no neuropathy=yes infection=no area-mm2=100 depth=skin", []want{{"score", "2"}, {"items/area", "yes"}}},
		{"sinbad site=midfoot ischemia=no neuropathy=yes", []want{{"score", "<nil>"}, {"low", "2"}, {"high", "5"}, {"missing", "[infection area-mm2 depth]"}}},
		{"texas probe-to-bone=yes infection=yes ischemia=yes", []want{{"class", "3D"}}},
		{"texas depth=closed infection=no ischemia=no", []want{{"class", "0A"}}},
		{"texas depth=tendon-or-muscle infection=yes", []want{{"low", "2B"}, {"high", "2D"}, {"missing", "[ischemia]"}}},
		{"wagner depth=bone-or-joint deep-infection=yes gangrene=none", []want{{"class", "3"}}},
		{"wagner depth=closed deep-infection=no gangrene=none", []want{{"class", "0"}}},
		{"wagner gangrene=toe", []want{{"class", "4"}}},
		{"wagner", []want{{"low", "1"}, {"high", "5"}}},
		{"pedis perfusion=2 area-mm2=230 depth=bone-or-joint infection=2 neuropathy=yes", []want{{"class", "P2 E2.30 D3 I2 S2"}}},
		{"infection swelling=no erythema-mm=20 tenderness=no warmth=yes pus=no deep=no bone=no crepitus=no temperature-c=37 heart-rate=80 respiratory-rate=16 white-cells=8",
			[]want{{"grade", "3"}, {"idsa2012/low", "2"}, {"idsa2012/high", "2"}}},
		{"infection swelling=no erythema-mm=10 tenderness=no warmth=yes pus=no deep=no bone=no crepitus=no temperature-c=38.4 heart-rate=104", []want{{"grade", "4"}}},
		{"infection swelling=no erythema-mm=0 tenderness=no warmth=no pus=yes deep=no bone=no crepitus=no", []want{{"grade", "1"}}},
		{"infection bone=yes temperature-c=37 heart-rate=80 respiratory-rate=16", []want{{"grade", "3(O)"}}},
		{"infection pus=yes", []want{{"grade", "<nil>"}, {"low", "1"}, {"high", "4(O)"}}},
		{"sirs temperature-c=38.0 heart-rate=90 respiratory-rate=20 white-cells=12", []want{{"points", "0"}, {"sirs", "no"}}},
		{"sirs temperature-c=38.1", []want{{"low", "1"}, {"high", "4"}, {"sirs", "unknown"}, {"missing", "[heart-rate respiratory-rate white-cells]"}}},
		// Reference 5.5; the standings of 5.2 and 5.3.
		{"wifi wound=1 ischemia=1 infection=2", []want{{"stage", "3"}, {"amputation", "moderate"}, {"revascularization", "moderate"}, {"revascularizationStanding", "from memory"}, {"amputationStanding", "second hand"}}},
		{"wifi wound=0 ischemia=0 infection=0", []want{{"stage", "1"}, {"amputation", "very low"}, {"revascularization", "very low"}}},
		{"wifi wound=0 ischemia=3 infection=0", []want{{"stage", "2"}, {"amputation", "low"}}},
		{"wifi wound=2 ischemia=3 infection=0", []want{{"stage", "4"}, {"amputation", "high"}, {"revascularization", "high"}}},
		{"wifi wound=2 ischemia=unknown infection=0", []want{{"stage", "<nil>"}, {"stageLow", "2"}, {"stageHigh", "4"}, {"amputation", "low to high"}, {"missing", "[ischemia]"}}},
		{"wifi-ischemia abi=0.79 toe=38", []want{{"grade", "2"}}},
		{"wifi-ischemia abi=1.45", []want{{"grade", "<nil>"}, {"missing", "[toe-pressure]"}}},
		{"wifi-ischemia abi=0.795", []want{{"grade", "0"}, {"edge", "true"}}},
		{"wifi-ischemia ankle=70", []want{{"grade", "2"}}},
		{"wifi-wound depth=subcutis place=heel gangrene=none", []want{{"low", "2"}, {"high", "3"}, {"judgement", "is the heel ulcer shallow (2) or full thickness (3)?"}}},
		{"wifi-wound depth=skin place=mth1 gangrene=toe", []want{{"grade", "2"}}},
		// Reference 7.6 and 7.4.
		{"margolis age-days=70 area-mm2=210 grade=3", []want{{"points", "3"}, {"notHealedByWeek20", "0.81"}}},
		{"margolis age-days=61 area-mm2=200 grade=2", []want{{"points", "0"}, {"notHealedByWeek20", "0.35"}}},
		{"margolis area-mm2=210", []want{{"points", "<nil>"}, {"lowPoints", "1"}, {"highPoints", "3"}}},
		// Reference 6.7 (derived; the first is printed by Lavery 2007).
		{"ptb prevalence=0.12 study=lavery-2007", []want{{"ppv", "0.569"}, {"npv", "0.981"}}},
		{"ptb prevalence=0.6", []want{{"ppv", "0.885"}, {"npv", "0.810"}}},
		{"ptb prevalence=0.2 sensitivity=0.87 specificity=0.83", []want{{"ppv", "0.561"}, {"npv", "0.962"}}},
	}
	for _, tt := range tests {
		t.Run(tt.line, func(t *testing.T) {
			out, err := runWound(t, tt.line)
			if err != nil {
				t.Fatal(err)
			}
			for _, w := range tt.want {
				if got := fmt.Sprint(out.Result.Get(strings.Split(w.path, "/")...)); got != w.value {
					t.Errorf("%s is %s, want %s", w.path, got, w.value)
				}
			}
			if len(out.Sources) == 0 || len(out.Steps) == 0 {
				t.Errorf("%d steps and %d sources, want both", len(out.Steps), len(out.Sources))
			}
			if _, err := json.Marshal(out); err != nil {
				t.Error(err)
			}
		})
	}
}

func TestWoundCalculatorsRefuseBadInput(t *testing.T) {
	tests := []struct{ line, says string }{
		{"wifi wound=7 ischemia=1 infection=1", "input wound=7 is not a whole number of a WIfI grade from 0 to 3"},
		{"wifi wound=1 ischemia=1.5 infection=1", "input ischemia=1.5"},
		{"wifi wound=1 ischemia=1", "input infection is missing"},
		{"wound-area length-mm=3.5 width-mm=2", "input length-mm=3.5 is not a whole number of mm from 1 to 500"},
		{"wound-area length-cm=3 width-cm=2", `wound-area has no input "length-cm"; its inputs are: length-mm`},
		{"wound-area length-mm=20 width-mm=30", "width 30 mm is more than length 20 mm"},
		{"wound-area length-mm=0 width-mm=0", "from 1 to 500"},
		{"wound-area length-mm=20", "length-mm and width-mm are both needed"},
		{"wound-area", "give either"},
		{"wound-area length-mm=20 width-mm=10 outline=0,0;1,0;1,1", "give either"},
		{"wound-area outline=0,0;4,4;4,0;0,4 units-per-mm=1", "crosses or touches itself"},
		{"wound-area outline=0,0;4,4;4 units-per-mm=1", "corner 3"},
		{"wound-area outline=0,0;4,0;0,NaN units-per-mm=1", "corner 3"},
		{"wound-area outline=0,0;4,0;0,3 units-per-mm=0", "units-per-mm=0"},
		{"wound-area outline=0,0;4,0;0,3", "outline and units-per-mm are both needed"},
		{"healing days=28", "give length and width at both visits"},
		{"healing days=0 area-before-mm2=600 area-after-mm2=300", "input days=0"},
		{"healing days=28 area-before-mm2=0 area-after-mm2=300", "input area-before-mm2=0"},
		{"healing days=28 area-before-mm2=600 length-after-mm=20 width-after-mm=12", "not some of each"},
		{"healing days=28 length-before-mm=20 width-before-mm=30 length-after-mm=20 width-after-mm=12", "width 30 mm is more than length 20 mm"},
		{"healing days=unknown area-before-mm2=600 area-after-mm2=300", "input days is needed"},
		{"sinbad site=toe", "input site=toe is not one of"},
		{"sinbad depth=closed", "open ulcer"},
		{"pedis depth=closed", "open ulcer"},
		{"texas depth=skin probe-to-bone=yes", "bone is felt"},
		{"wagner gangrene=yes", "input gangrene=yes is not one of"},
		{"infection erythema-mm=2.0", "input erythema-mm=2.0 is not a whole number of mm"},
		{"infection erythema-cm=2", `no input "erythema-cm"`},
		{"infection pus=maybe", "input pus=maybe is not yes, no or unknown"},
		{"sirs temperature-c=101", "input temperature-c=101 is not a number of degrees Celsius from 25.0 to 45.0"},
		{"margolis grade=6", "input grade=6"},
		{"ptb prevalence=12", "input prevalence=12"},
		{"ptb prevalence=0.2 sensitivity=0.9", "together"},
		{"ptb prevalence=0.2 sensitivity=0.9 specificity=0.8 study=lam-2016", "not both"},
		{"ptb prevalence=0 sensitivity=1 specificity=1", "no test would come out"},
		{"ptb prevalence=unknown", "a share from 0 to 1 is needed"},
		{"wifi-wound place=knee", "input place=knee"},
	}
	for _, tt := range tests {
		out, err := runWound(t, tt.line)
		if err == nil || !strings.Contains(err.Error(), tt.says) {
			t.Errorf("%s: result %v, error %v; want an error that says %q", tt.line, out.Result, err, tt.says)
		}
	}
}

func TestWoundExamplesRun(t *testing.T) {
	for _, c := range woundCalculators() {
		out, err := c.Do(strings.Fields(c.Example))
		if err != nil || len(out.Result) == 0 {
			t.Errorf("%s %s: %v, %v", c.Name, c.Example, out.Result, err)
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
