package calc

import (
	"encoding/json"
	"strings"
	"testing"
)

// The sections are those of the reference on tests and wounds.
func TestPerfusionCalculators(t *testing.T) {
	runs(t, []struct{ line, want string }{
		// 1.7
		{"abi right-dp=96 right-pt=104 left-dp=60 left-pt=50 right-arm=128 left-arm=132",
			"right/abi=0.79 right/band=abnormal right/lowerAnkle/abi=0.73 right/singleArm=false left/abi=0.45 left/band=abnormal left/editions/acc-2005=mild_to_moderate left/lowerAnkle/abi=0.38 left/editions/idsa-2012=moderate"},
		{"abi right-dp=108 right-pt=100 right-arm=120 left-arm=118", "right/abi=0.90 right/band=abnormal left=<nil>"},
		{"abi right-dp=109 right-pt=100 right-arm=120 left-arm=118", "right/abi=0.91 right/band=borderline"},
		{"abi right-dp=119 right-pt=100 right-arm=120 left-arm=118", "right/abi=0.99 right/band=borderline"},
		{"abi right-dp=120 right-pt=100 right-arm=120 left-arm=118", "right/abi=1.00 right/band=normal"},
		{"abi right-dp=168 right-pt=100 right-arm=120 left-arm=118", "right/abi=1.40 right/band=normal right/editions/iwgdf-2023=above_the_range:_toe_pressure_needed"},
		{"abi right-dp=169 right-pt=100 right-arm=120 left-arm=118", "right/abi=1.41 right/band=noncompressible"},
		{"abi right-dp=122 right-pt=100 right-arm=135 left-arm=118", "right/abi=0.90 right/band=abnormal"},
		{"abi right-dp=48 right-pt=40 right-arm=120 left-arm=118", "right/editions/acc-2005=severe"},
		{"abi right-dp=49 right-pt=40 right-arm=120 left-arm=118", "right/editions/acc-2005=mild_to_moderate"},
		{"abi right-dp=96 right-pt=104 right-arm=128", "right/abi=0.81 right/singleArm=true right/singleArtery=false"},
		{"abi right-pt=104 right-arm=128 left-arm=132", "right/abi=0.79 right/singleArtery=true"},
		{"abi right-dp=no-signal right-pt=no-signal right-arm=120 left-arm=118", "right/abi=<nil> right/why=no_ankle_signal"},
		{"abi right-dp=too-high right-pt=120 right-arm=120 left-arm=118", "right/abi=<nil> right/band=noncompressible"},
		{"abi right-dp=96 right-pt=104", "right/abi=<nil> right/why=no_arm_pressure_was_measured"},
		{"tbi right-toe=84 right-arm=120 left-arm=118", "right/tbi=0.70 right/band=abnormal right/editions/tbi-iwgdf-2023=PAD_less_likely left=<nil>"},
		{"tbi left-toe=no-signal right-arm=120", "left/tbi=<nil> left/why=there_was_no_signal_at_the_toe"},
		{"perfusion toe=29", "urgent=yes toe/toe-iwgdf-2019=urgent_vascular_assessment"},
		{"perfusion toe=30", "urgent=no toe/toe-iwgdf-2023=healing_more_likely"},
		{"perfusion ankle=49", "urgent=yes"},
		{"perfusion ankle=54 arm=120", "urgent=yes abi=0.45"},
		{"perfusion ankle=60 arm=120", "urgent=no abi=0.50"},
		{"perfusion tcpo2=27", "urgent=yes tcpo2/tcpo2-iwgdf-2019=healing_more_likely tcpo2/tcpo2-iwgdf-2023=urgent_vascular_assessment"},
		{"perfusion ankle=no-signal", "urgent=yes abi=<nil>"},
		{"perfusion ankle=200 arm=120", "urgent=unknown"},
		// 1.3, 1.6; an absent pulse counts until pressures settle it
		{"perfusion-pad right-dp=present right-pt=present left-dp=present left-pt=present claudication=no", "pad=no level=unlikely pulseAbsent=no pressuresNeeded=unknown"},
		{"perfusion-pad right-dp=present right-pt=present left-dp=absent left-pt=present claudication=no", "pad=yes level=suspected left/level=suspected pulseAbsent=yes pressuresNeeded=yes"},
		{"perfusion-pad right-dp=present right-pt=present left-dp=weak left-pt=present claudication=no", "pad=yes pulseAbsent=no"},
		{"perfusion-pad right-dp=present right-pt=present left-gone=yes claudication=no rest-pain=no", "pad=no left/gone=true"},
		{"perfusion-pad right-ankle-dp=108 right-ankle-pt=100 right-arm=120 left-arm=118", "pad=yes level=likely right/abi=0.90"},
		{"perfusion-pad right-toe=84 right-arm=120 left-arm=118", "level=likely right/tbi=0.70 right/critical=no"},
		{"perfusion-pad right-toe=28", "right/critical=yes"},
		{"perfusion-pad right-dp=present right-pt=present left-dp=present left-pt=present claudication=no right-refill-slow=yes", "level=cannot-say pressuresNeeded=yes"},
		{"perfusion-pad right-waveform=monophasic", "level=suspected"},
		{"perfusion-pad diagnosed=yes", "pad=yes level=likely"},
		{"perfusion-pad claudication=no", "pad=unknown level=cannot-say"},
	})
}

func TestTheIndexIsANumberWithTwoDecimals(t *testing.T) {
	c, err := Find("abi")
	if err != nil {
		t.Fatal(err)
	}
	out, err := c.Do(strings.Fields("right-dp=120 right-pt=110 right-arm=120 left-arm=120"))
	if err != nil {
		t.Fatal(err)
	}
	b, err := json.Marshal(out.Result)
	if err != nil {
		t.Fatal(err)
	}
	if want := `{"right":{"abi":1.00,"band":"normal",`; !strings.HasPrefix(string(b), want) {
		t.Errorf("got %s, want it to begin with %s", b, want)
	}
}

func TestPerfusionCalculatorsRefuseBadInput(t *testing.T) {
	refuses(t, []struct{ line, says string }{
		{"abi right-dp=-5 right-arm=120", "input right-dp=-5 is not a whole number of mmHg from 0 to 400"},
		{"abi right-dp=401 right-arm=120", "input right-dp=401 is not a whole number of mmHg from 0 to 400"},
		{"abi right-dp=12.5 right-arm=120", "input right-dp=12.5 is not a whole number of mmHg from 0 to 400"},
		{"abi right-dp=high right-arm=120", "input right-dp=high is not"},
		{"abi right-dp=100 right-arm=0", "input right-arm=0 is not a whole number of mmHg from 1 to 400"},
		{"abi right-dp=100 right-arm=too-high", "input right-arm=too-high is not"},
		{"abi right-arm=120 left-arm=118", "at least one ankle artery"},
		{"abi right-dp=100 arm=120", `abi has no input "arm"`},
		{"abi right-dp=100 right-dp=101 right-arm=120", "given twice"},
		{"tbi right-arm=120", "at least one toe"},
		{"tbi right-toe=too-high right-arm=120", "input right-toe=too-high is not"},
		{"perfusion", "give at least one of: ankle, toe, tcpo2"},
		{"perfusion arm=120", "give at least one of"},
		{"perfusion tcpo2=151", "from 0 to 150"},
		{"perfusion-pad", "give at least one pulse, pressure or answer"},
		{"perfusion-pad right-dp=strong", "input right-dp=strong is not one of: present, weak, absent"},
		{"perfusion-pad right-waveform=flat", "input right-waveform=flat is not one of"},
		{"perfusion-pad claudication=some", "input claudication=some is not yes, no or unknown"},
	})
}

func TestTheExamplesOfThePerfusionCalculatorsRun(t *testing.T) {
	examplesRun(t, perfusionCalculators())
}
