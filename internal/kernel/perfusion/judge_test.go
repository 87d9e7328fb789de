package perfusion_test

import (
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"tengram/internal/kernel/foot"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/perfusion"
)

const yes, no, unknown = known.Yes, known.No, known.Unknown

// felt is a leg with both pulses present.
func felt() perfusion.Leg {
	return perfusion.Leg{DP: perfusion.PulsePresent, PT: perfusion.PulsePresent}
}

// measured is a leg of which ankle and toe were measured, nothing else.
func measured(ankle, toe int) perfusion.Leg {
	return perfusion.Leg{AnkleDP: mmHg(ankle), AnklePT: mmHg(ankle - 5), ToePressure: mmHg(toe)}
}

// with changes a copy of a leg.
func with(l perfusion.Leg, change func(*perfusion.Leg)) perfusion.Leg {
	change(&l)
	return l
}

func dp(p perfusion.Pulse) func(*perfusion.Leg) { return func(l *perfusion.Leg) { l.DP = p } }

// judged is one person and what is expected of the rules documented at Judge.
type judged struct {
	name      string
	in        perfusion.Evidence
	level     perfusion.Level
	pad       known.Tri
	absent    known.Tri // any pulse absent
	pressures known.Tri
	critical  [2]known.Tri
	settled   []string
	because   string // a sentence that must be among the reasons
}

func legs(right, left perfusion.Leg) [2]perfusion.Leg { return [2]perfusion.Leg{right, left} }

func TestJudge(t *testing.T) {
	none := [2]known.Tri{}
	gone := foot.Loss{Level: foot.BelowKnee}
	stump := foot.Loss{Level: foot.Transmetatarsal}
	onArms := arms(120, 118)
	for _, c := range []judged{
		{"nothing recorded says nothing", perfusion.Evidence{},
			perfusion.CannotSay, unknown, unknown, unknown, none, []string{
				"right.feel.arteries.dorsalis-pedis", "right.feel.arteries.posterior-tibial",
				"left.feel.arteries.dorsalis-pedis", "left.feel.arteries.posterior-tibial", "ask.claudication"}, ""},
		{"four pulses present and no claudication: unlikely (IWGDF 2019, history and pulses)", perfusion.Evidence{Legs: legs(felt(), felt()), Claudication: no},
			perfusion.Unlikely, no, no, unknown, none, nil, "Foot pulses are present and walking brings no leg pain: peripheral artery disease is unlikely."},
		{"the same with rest pain and ulcer answered no needs no pressures", perfusion.Evidence{Legs: legs(felt(), felt()), Claudication: no, RestPain: no, OpenUlcer: no},
			perfusion.Unlikely, no, no, no, none, nil, ""},
		{"pulses present and claudication not asked: open", perfusion.Evidence{Legs: legs(felt(), felt())},
			perfusion.CannotSay, unknown, no, unknown, none, []string{"ask.claudication"}, ""},
		{"one pulse not felt for: open", perfusion.Evidence{Legs: legs(felt(), perfusion.Leg{DP: perfusion.PulsePresent}), Claudication: no},
			perfusion.CannotSay, unknown, unknown, unknown, none, []string{"left.feel.arteries.posterior-tibial"}, ""},
		{"one absent pulse: suspected, counts until settled (ADA 2016)", perfusion.Evidence{Legs: legs(felt(), with(felt(), dp(perfusion.PulseAbsent))), Claudication: no},
			perfusion.Suspected, yes, yes, yes, none, []string{
				"left.feel.arteries.ankle-dp", "left.feel.arteries.ankle-pt", "left.feel.arteries.toe-pressure", "arms.right", "arms.left"},
			"Left foot: the dorsalis pedis pulse is absent."},
		{"a pulse only a Doppler probe hears is not felt", perfusion.Evidence{Legs: legs(felt(), with(felt(), dp(perfusion.PulseDopplerOnly))), Claudication: no},
			perfusion.Suspected, yes, yes, yes, none, nil, "Left foot: the dorsalis pedis pulse cannot be felt, only heard with a Doppler probe."},
		{"a weak pulse: suspected too, and not absent (ADA 2016, decreased or absent)", perfusion.Evidence{Legs: legs(with(felt(), dp(perfusion.PulseWeak)), felt()), Claudication: no},
			perfusion.Suspected, yes, no, yes, none, nil, "Right foot: the dorsalis pedis pulse is weak."},
		{"claudication with four pulses: suspected", perfusion.Evidence{Legs: legs(felt(), felt()), Claudication: yes},
			perfusion.Suspected, yes, no, yes, none, nil, ""},
		{"rest pain: suspected", perfusion.Evidence{Legs: legs(felt(), felt()), Claudication: no, RestPain: yes},
			perfusion.Suspected, yes, no, yes, none, nil, ""},
		{"a diagnosis stands against four pulses", perfusion.Evidence{Legs: legs(felt(), felt()), Claudication: no, Diagnosed: yes},
			perfusion.Likely, yes, no, unknown, none, nil, "Peripheral artery disease has been diagnosed."},
		{"so does a repaired artery", perfusion.Evidence{Revascularised: yes},
			perfusion.Likely, yes, unknown, unknown, none, nil, "An artery of a leg has been repaired."},
		{"that nobody diagnosed it says nothing", perfusion.Evidence{Diagnosed: no, Revascularised: no, Claudication: no},
			perfusion.CannotSay, unknown, unknown, unknown, none, nil, ""},

		{"an index of 0.90 is likely (AHA/ACC 2016)", perfusion.Evidence{Legs: legs(measured(108, 100), felt()), Arms: onArms, Claudication: no},
			perfusion.Likely, yes, unknown, unknown, [2]known.Tri{no, unknown}, nil, "Right leg: the ankle-brachial index is 0.90 or less."},
		{"a toe index of 0.70 is likely (AHA/ACC 2016)", perfusion.Evidence{Legs: legs(measured(130, 84), felt()), Arms: onArms, Claudication: no},
			perfusion.Likely, yes, unknown, unknown, [2]known.Tri{no, unknown}, nil, "Right leg: the toe-brachial index is 0.70 or less."},
		{"normal ankle and toe pressures settle an absent pulse and claudication", perfusion.Evidence{
			Legs: legs(with(measured(130, 100), dp(perfusion.PulseAbsent)), measured(130, 100)), Arms: onArms, Claudication: yes},
			perfusion.Unlikely, no, yes, no, [2]known.Tri{no, no}, nil, "With leg symptoms on walking and a resting index above 0.90, an exercise index is the next test."},
		{"normal pressures settle what nobody asked", perfusion.Evidence{Legs: legs(measured(130, 100), measured(120, 90)), Arms: onArms},
			perfusion.Unlikely, no, unknown, no, [2]known.Tri{no, no}, nil, ""},
		{"an index of 0.91 counts as normal", perfusion.Evidence{Legs: legs(measured(109, 100), measured(109, 90)), Arms: onArms},
			perfusion.Unlikely, no, unknown, no, [2]known.Tri{no, no}, nil, ""},
		{"an index of 1.30 counts as normal", perfusion.Evidence{Legs: legs(measured(156, 100), measured(156, 90)), Arms: onArms},
			perfusion.Unlikely, no, unknown, no, [2]known.Tri{no, no}, nil, ""},
		{"one settled leg does not settle claudication", perfusion.Evidence{Legs: legs(measured(130, 100), felt()), Arms: onArms, Claudication: yes},
			perfusion.Suspected, yes, unknown, yes, [2]known.Tri{no, unknown}, []string{
				"left.feel.arteries.ankle-dp", "left.feel.arteries.ankle-pt", "left.feel.arteries.toe-pressure"}, ""},
		{"an ankle pressure alone does not settle an absent pulse", perfusion.Evidence{
			Legs: legs(perfusion.Leg{DP: perfusion.PulseAbsent, PT: perfusion.PulsePresent, AnkleDP: mmHg(130), AnklePT: mmHg(130)}, felt()), Arms: onArms, Claudication: no},
			perfusion.Suspected, yes, yes, yes, [2]known.Tri{no, unknown}, []string{"right.feel.arteries.toe-pressure"}, ""},
		{"an index of 1.35 is not normal: toe pressure (tests-and-wounds 1.7)", perfusion.Evidence{
			Legs: legs(with(felt(), func(l *perfusion.Leg) { l.AnkleDP, l.AnklePT = mmHg(162), mmHg(150) }), felt()), Arms: onArms, Claudication: no},
			perfusion.CannotSay, unknown, no, yes, none, []string{"right.feel.arteries.toe-pressure"}, ""},
		{"nor is an artery that cannot be compressed", perfusion.Evidence{
			Legs: legs(with(felt(), func(l *perfusion.Leg) { l.AnkleDP = tooHigh }), felt()), Arms: onArms, Claudication: no},
			perfusion.CannotSay, unknown, no, yes, none, []string{"right.feel.arteries.toe-pressure"}, ""},
		{"with a normal toe the pulses count again", perfusion.Evidence{
			Legs: legs(with(felt(), func(l *perfusion.Leg) { l.AnkleDP, l.ToePressure = tooHigh, mmHg(100) }), felt()), Arms: onArms, Claudication: no},
			perfusion.Unlikely, no, no, unknown, [2]known.Tri{no, unknown}, nil, ""},
		{"but a hard artery never settles an absent pulse", perfusion.Evidence{
			Legs: legs(with(measured(162, 100), dp(perfusion.PulseAbsent)), measured(130, 100)), Arms: onArms, Claudication: no},
			perfusion.Suspected, yes, yes, no, [2]known.Tri{no, no}, nil, "What was measured does not settle it: this counts as peripheral artery disease until further vascular assessment."},
		{"a monophasic waveform stands against normal pressures", perfusion.Evidence{
			Legs: legs(with(measured(130, 100), func(l *perfusion.Leg) { l.Waveform = perfusion.Monophasic }), measured(130, 100)), Arms: onArms},
			perfusion.Suspected, yes, unknown, no, [2]known.Tri{no, no}, nil, "Right leg: the Doppler waveform is monophasic or absent."},
		{"slow refill with four pulses: open, pressures", perfusion.Evidence{
			Legs: legs(with(felt(), func(l *perfusion.Leg) { l.CapillaryRefill = known.Abnormal }), felt()), Claudication: no},
			perfusion.CannotSay, unknown, no, yes, none, []string{
				"right.feel.arteries.ankle-dp", "right.feel.arteries.ankle-pt", "right.feel.arteries.toe-pressure", "arms.right", "arms.left"}, "Right foot: colour comes back slowly after pressure."},

		{"pressures without an arm to set them against leave it open", perfusion.Evidence{
			Legs: legs(with(felt(), func(l *perfusion.Leg) { l.AnkleDP, l.ToePressure = mmHg(130), mmHg(100) }), felt()), Claudication: no},
			perfusion.CannotSay, unknown, no, yes, [2]known.Tri{no, unknown}, []string{"arms.right", "arms.left"}, ""},
		{"an ulcer asks for pressures though the pulses are present (IWGDF 2015)", perfusion.Evidence{Legs: legs(felt(), felt()), Claudication: no, OpenUlcer: yes},
			perfusion.Unlikely, no, no, yes, none, nil, "With an open ulcer, pulses alone do not exclude artery disease: measure pressures and waveforms."},
		{"a foot that is gone has no pulses to miss", perfusion.Evidence{Legs: legs(felt(), perfusion.Leg{}), Loss: [2]foot.Loss{{}, gone}, Claudication: no},
			perfusion.Unlikely, no, no, unknown, none, nil, "Left leg: no foot is left to examine."},
		{"no foot left: open", perfusion.Evidence{Loss: [2]foot.Loss{gone, gone}, Claudication: no},
			perfusion.CannotSay, unknown, unknown, no, none, nil, "There is no foot left whose pulses could be felt."},
		{"the pulse on the back of a foot that went with the midfoot is not missed", perfusion.Evidence{
			Legs: legs(perfusion.Leg{PT: perfusion.PulsePresent}, felt()), Loss: [2]foot.Loss{{Level: foot.Midfoot}, {}}, Claudication: no},
			perfusion.Unlikely, no, no, unknown, none, nil, ""},
		{"a pulse that could not be felt for asks for pressures", perfusion.Evidence{Legs: legs(with(felt(), dp(perfusion.PulseNotPossible)), felt()), Claudication: no},
			perfusion.CannotSay, unknown, unknown, unknown, none, []string{
				"right.feel.arteries.dorsalis-pedis", "right.feel.arteries.ankle-dp", "right.feel.arteries.ankle-pt", "right.feel.arteries.toe-pressure", "arms.right", "arms.left"}, ""},
		{"a forefoot stump with an index of 1.50: waveform and TcPO2 (tests-and-wounds 8)", perfusion.Evidence{
			Legs: legs(perfusion.Leg{AnkleDP: mmHg(180), DP: perfusion.PulseAbsent}, felt()), Loss: [2]foot.Loss{stump, {}}, Arms: onArms, Claudication: no},
			perfusion.Suspected, yes, yes, yes, none, []string{"right.feel.arteries.waveform", "right.feel.arteries.tcpo2"}, ""},
		{"a forefoot stump is settled by its waveform", perfusion.Evidence{
			Legs: legs(perfusion.Leg{AnkleDP: mmHg(130), AnklePT: mmHg(120), DP: perfusion.PulseAbsent, Waveform: perfusion.Biphasic}, felt()), Loss: [2]foot.Loss{stump, {}}, Arms: onArms, Claudication: no},
			perfusion.Unlikely, no, yes, unknown, [2]known.Tri{no, unknown}, nil, ""},
	} {
		t.Run(c.name, func(t *testing.T) { c.check(t) })
	}
}

func (c judged) check(t *testing.T) {
	t.Helper()
	got := perfusion.Judge(c.in)
	if got.Level != c.level || got.PAD != c.pad {
		t.Errorf("level %v and PAD %v, want %v and %v", got.Level, got.PAD, c.level, c.pad)
	}
	if got.PulseAbsent != c.absent {
		t.Errorf("pulse absent is %v, want %v", got.PulseAbsent, c.absent)
	}
	if got.PressuresNeeded != c.pressures {
		t.Errorf("pressures needed is %v, want %v", got.PressuresNeeded, c.pressures)
	}
	if critical := [2]known.Tri{got.Legs[0].Critical, got.Legs[1].Critical}; critical != c.critical {
		t.Errorf("critical is %v, want %v", critical, c.critical)
	}
	if c.settled != nil {
		if diff := cmp.Diff(c.settled, got.SettledBy, cmpopts.EquateEmpty()); diff != "" {
			t.Errorf("settled by (-want +got):\n%s", diff)
		}
	}
	var all []string
	for _, r := range got.Because {
		all = append(all, r.Says)
	}
	if c.because != "" && !strings.Contains(strings.Join(all, "\n"), c.because) {
		t.Errorf("no reason says %q in %q", c.because, all)
	}
}

// TestTheAnkleAloneCanBeCritical: with a low arm the index is not.
func TestTheAnkleAloneCanBeCritical(t *testing.T) {
	for ankle, want := range map[int]known.Tri{49: yes, 50: no} {
		leg := perfusion.Leg{AnkleDP: mmHg(ankle), AnklePT: mmHg(ankle)}
		got := perfusion.Judge(perfusion.Evidence{Legs: legs(leg, felt()), Arms: arms(80, 80)})
		if got.Legs[0].ABI.Value < 60 || got.Legs[0].Critical != want {
			t.Errorf("ankle %d: index %d, critical %v, want %v", ankle, got.Legs[0].ABI.Value, got.Legs[0].Critical, want)
		}
	}
}

// TestTheCriticalRange is the union of the editions: tests-and-wounds 1.5, 1.7.
func TestTheCriticalRange(t *testing.T) {
	onArms := arms(120, 118)
	for _, c := range []struct {
		name    string
		leg     perfusion.Leg
		want    known.Tri
		because string
	}{
		{"ankle 49 is urgent in both editions", perfusion.Leg{AnkleDP: mmHg(49), AnklePT: mmHg(40)}, yes, "(2019 and 2023 editions)"},
		{"ankle 50 with an index of 0.42 is urgent by 2019 only", perfusion.Leg{AnkleDP: mmHg(50), AnklePT: mmHg(40)}, yes, "by the 2019 edition, not by 2023"},
		{"an index of 0.45 is urgent by 2019 only", perfusion.Leg{AnkleDP: mmHg(54), AnklePT: mmHg(40)}, yes, "by the 2019 edition, not by 2023"},
		{"an index of 0.50 is not", perfusion.Leg{AnkleDP: mmHg(60), AnklePT: mmHg(40)}, no, ""},
		{"toe 29 is urgent", perfusion.Leg{ToePressure: mmHg(29)}, yes, "(2019 and 2023 editions)"},
		{"toe 30 is not", perfusion.Leg{ToePressure: mmHg(30)}, no, ""},
		{"TcPO2 24 is urgent in both editions", perfusion.Leg{TcPO2: mmHg(24)}, yes, "(2019 and 2023 editions)"},
		{"TcPO2 27 is urgent by 2023 only", perfusion.Leg{TcPO2: mmHg(27)}, yes, "by the 2023 edition, not by 2019"},
		{"TcPO2 30 is not", perfusion.Leg{TcPO2: mmHg(30)}, no, ""},
		{"no ankle signal is worse than any pressure", perfusion.Leg{AnkleDP: noSignal, AnklePT: noSignal}, yes, "no signal was found at the ankle"},
		{"no toe signal is worse than any pressure", perfusion.Leg{ToePressure: noSignal}, yes, "no signal was found at the toe"},
		{"one critical value is not outvoted", perfusion.Leg{AnkleDP: mmHg(130), AnklePT: mmHg(130), ToePressure: mmHg(20)}, yes, "toe pressure is below 30"},
		{"pulses alone do not say", felt(), unknown, ""},
		{"a hard artery does not say", perfusion.Leg{AnkleDP: mmHg(200), AnklePT: mmHg(190)}, unknown, ""},
		{"nothing measured does not say", perfusion.Leg{}, unknown, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := perfusion.Judge(perfusion.Evidence{Legs: legs(c.leg, felt()), Arms: onArms, Claudication: no})
			if got.Legs[0].Critical != c.want {
				t.Errorf("critical is %v, want %v", got.Legs[0].Critical, c.want)
			}
			if c.want == yes && got.Level != perfusion.Likely {
				t.Errorf("the level is %v, want likely", got.Level)
			}
			found := c.because == ""
			for _, r := range got.Because {
				found = found || strings.Contains(r.Says, c.because) && r.Source != nil
			}
			if !found {
				t.Errorf("no reason with a source says %q in %+v", c.because, got.Because)
			}
		})
	}
}
