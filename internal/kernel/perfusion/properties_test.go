package perfusion_test

import (
	"testing"

	"pgregory.net/rapid"

	"tengram/internal/kernel/foot"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/perfusion"
)

// A chain lists the answers to one question from the best to the worst. The
// first entry of each is "not recorded".
var (
	pulses    = []perfusion.Pulse{perfusion.PulseNotDone, perfusion.PulsePresent, perfusion.PulseWeak, perfusion.PulseDopplerOnly, perfusion.PulseAbsent}
	waveforms = []perfusion.Waveform{perfusion.WaveformNotDone, perfusion.Triphasic, perfusion.Biphasic, perfusion.Monophasic, perfusion.WaveformAbsent}
	findings  = []known.Finding{known.NotDone, known.Normal, known.Abnormal}
	answers   = []known.Tri{unknown, no, yes}
	// Arms are 120: an index of 1.00, too hard, 0.83, 0.33, no signal.
	ankles = []known.Reading{{}, mmHg(120), tooHigh, mmHg(100), mmHg(40), noSignal}
	toes   = []known.Reading{{}, mmHg(100), mmHg(80), mmHg(25), noSignal}
	oxygen = []known.Reading{{}, mmHg(50), mmHg(27), mmHg(20)}
)

// places says, for one person, how far along its chain each answer lies.
type places struct {
	dp, pt, wave, refill, posture, ankle, toe, oxygen [2]int
	claudication, rest, diagnosed, repaired, ulcer    int
	loss                                              [2]foot.Loss
	armed                                             bool
}

func (p *places) evidence() perfusion.Evidence {
	e := perfusion.Evidence{
		Loss:         p.loss,
		Claudication: answers[p.claudication], RestPain: answers[p.rest],
		Diagnosed: answers[p.diagnosed], Revascularised: answers[p.repaired], OpenUlcer: answers[p.ulcer],
	}
	if p.armed {
		e.Arms = arms(120, 110)
	}
	for i := range e.Legs {
		e.Legs[i] = perfusion.Leg{
			DP: pulses[p.dp[i]], PT: pulses[p.pt[i]], Waveform: waveforms[p.wave[i]],
			CapillaryRefill: findings[p.refill[i]], PostureColour: findings[p.posture[i]],
			AnkleDP: ankles[p.ankle[i]], AnklePT: ankles[p.ankle[i]],
			ToePressure: toes[p.toe[i]], TcPO2: oxygen[p.oxygen[i]],
		}
	}
	return e
}

// steps lists every place with the length of its chain.
func (p *places) steps() (at []*int, length []int) {
	add := func(n int, ps ...*int) {
		for _, x := range ps {
			at, length = append(at, x), append(length, n)
		}
	}
	for i := range 2 {
		add(len(pulses), &p.dp[i], &p.pt[i])
		add(len(waveforms), &p.wave[i])
		add(len(findings), &p.refill[i], &p.posture[i])
		add(len(ankles), &p.ankle[i])
		add(len(toes), &p.toe[i])
		add(len(oxygen), &p.oxygen[i])
	}
	add(len(answers), &p.claudication, &p.rest, &p.diagnosed, &p.repaired, &p.ulcer)
	return at, length
}

func drawn(t *rapid.T) *places {
	p := &places{armed: rapid.Bool().Draw(t, "armed")}
	share := rapid.IntRange(0, 10).Draw(t, "share answered")
	// Good answers are drawn more often than bad ones, or all would be ill.
	at, length := p.steps()
	for i := range at {
		if rapid.IntRange(0, 9).Draw(t, "answered") >= share {
			continue
		}
		*at[i] = 1
		if rapid.IntRange(0, 5).Draw(t, "bad") == 0 {
			*at[i] = rapid.IntRange(1, length[i]-1).Draw(t, "how bad")
		}
	}
	losses := rapid.SampledFrom([]foot.Loss{{}, {Level: foot.Whole}, {Level: foot.Whole}, {Level: foot.Transmetatarsal}, {Level: foot.Midfoot}, {Level: foot.BelowKnee}})
	p.loss = [2]foot.Loss{losses.Draw(t, "loss"), losses.Draw(t, "loss")}
	return p
}

func weight(l perfusion.Level) int {
	return map[perfusion.Level]int{perfusion.Unlikely: 0, perfusion.CannotSay: 1, perfusion.Suspected: 2, perfusion.Likely: 3}[l]
}

func rank(t known.Tri) int { return map[known.Tri]int{no: 0, unknown: 1, yes: 2}[t] }

// TestAWorseFindingNeverLowersTheAnswer: one answer moved along its chain to a
// worse one never lowers the level of a leg or of the person, PAD, or "a pulse
// is absent". An answer that was missing is moved to the worst.
func TestAWorseFindingNeverLowersTheAnswer(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawn(t)
		was := perfusion.Judge(p.evidence())
		at, length := p.steps()
		i := rapid.IntRange(0, len(at)-1).Draw(t, "which")
		before := *at[i]
		switch {
		case before == 0:
			*at[i] = length[i] - 1
		case before < length[i]-1:
			*at[i] = rapid.IntRange(before+1, length[i]-1).Draw(t, "worse")
		}
		is := perfusion.Judge(p.evidence())
		if weight(is.Level) < weight(was.Level) || rank(is.PAD) < rank(was.PAD) || rank(is.PulseAbsent) < rank(was.PulseAbsent) {
			t.Fatalf("answer %d moved from %d to %d: %v/%v/%v became %v/%v/%v; %+v", i, before, *at[i],
				was.Level, was.PAD, was.PulseAbsent, is.Level, is.PAD, is.PulseAbsent, p)
		}
		for side := range was.Legs {
			if weight(is.Legs[side].Level) < weight(was.Legs[side].Level) {
				t.Fatalf("answer %d moved from %d to %d: leg %d from %v to %v; %+v", i, before, *at[i], side, was.Legs[side].Level, is.Legs[side].Level, p)
			}
			hard := p.ankle[side] == 2 || at[i] == &p.ankle[side] && before == 2
			if !hard && rank(is.Legs[side].Critical) < rank(was.Legs[side].Critical) {
				t.Fatalf("answer %d moved from %d to %d: critical of leg %d from %v to %v; %+v", i, before, *at[i], side, was.Legs[side].Critical, is.Legs[side].Critical, p)
			}
		}
	})
}

// TestPADFollowsTheLevel holds always.
func TestPADFollowsTheLevel(t *testing.T) {
	want := map[perfusion.Level]known.Tri{perfusion.CannotSay: unknown, perfusion.Unlikely: no, perfusion.Suspected: yes, perfusion.Likely: yes}
	rapid.Check(t, func(t *rapid.T) {
		got := perfusion.Judge(drawn(t).evidence())
		if got.PAD != want[got.Level] {
			t.Fatalf("level %v with PAD %v", got.Level, got.PAD)
		}
		if got.Level != perfusion.CannotSay {
			sourced := 0
			for _, r := range got.Because {
				if r.Source != nil {
					sourced++
				}
			}
			if sourced == 0 {
				t.Fatalf("%v without a reason that has a source: %+v", got.Level, got.Because)
			}
		}
		for _, leg := range got.Legs {
			if !leg.Gone && weight(leg.Level) > weight(got.Level) {
				t.Fatalf("the %v leg is %v and the person %v", leg.Side, leg.Level, got.Level)
			}
		}
	})
}

// TestLeftAndRightAreMirrorImages holds for the answer and for each leg.
func TestLeftAndRightAreMirrorImages(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		e := drawn(t).evidence()
		mirror := e
		mirror.Legs[0], mirror.Legs[1] = e.Legs[1], e.Legs[0]
		mirror.Loss[0], mirror.Loss[1] = e.Loss[1], e.Loss[0]
		got, other := perfusion.Judge(e), perfusion.Judge(mirror)
		if got.Level != other.Level || got.PAD != other.PAD || got.PulseAbsent != other.PulseAbsent || got.PressuresNeeded != other.PressuresNeeded {
			t.Fatalf("%+v, mirrored %+v", got, other)
		}
		for side := range got.Legs {
			a, b := got.Legs[side], other.Legs[1-side]
			a.Side, b.Side = 0, 0
			if a != b {
				t.Fatalf("leg %d is %+v, mirrored %+v", side, a, b)
			}
		}
	})
}

// TestAnUnmeasuredPersonIsNeverCleared: without a palpated pulse and without a
// pressure on a leg that exists, PAD is never no.
func TestAnUnmeasuredPersonIsNeverCleared(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawn(t)
		p.loss = [2]foot.Loss{}
		side := rapid.IntRange(0, 1).Draw(t, "side")
		p.dp[side], p.pt[side] = 0, 0
		if rapid.Bool().Draw(t, "ankle or toe") {
			p.ankle[side] = 0
		} else {
			p.toe[side] = 0
		}
		if got := perfusion.Judge(p.evidence()); got.PAD == no {
			t.Fatalf("PAD is no with leg %d unmeasured: %+v", side, p)
		}
	})
}

// TestWhatIsNamedSettlesTheAnswer: the named answers have no value yet; if all
// come out good PAD is no, or if all come out as bad as can be it is likely.
func TestWhatIsNamedSettlesTheAnswer(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawn(t)
		got := perfusion.Judge(p.evidence())
		if got.Level != perfusion.CannotSay && got.Level != perfusion.Suspected && len(got.SettledBy) > 0 {
			t.Fatalf("the level is %v, and yet %q would settle it", got.Level, got.SettledBy)
		}
		if len(got.SettledBy) == 0 {
			return
		}
		good, bad := *p, *p
		for _, path := range got.SettledBy {
			fill(t, &good, path, false)
			fill(t, &bad, path, true)
		}
		if perfusion.Judge(good.evidence()).PAD != no && rank(perfusion.Judge(bad.evidence()).PAD) < 2 {
			t.Fatalf("%q settle nothing: %+v", got.SettledBy, p)
		}
	})
}

func fill(t *rapid.T, p *places, path string, bad bool) {
	places := map[string]*int{"ask.claudication": &p.claudication}
	lengths := map[string]int{"ask.claudication": len(answers)}
	for side, prefix := range []string{"right.feel.arteries.", "left.feel.arteries."} {
		places[prefix+"dorsalis-pedis"], lengths[prefix+"dorsalis-pedis"] = &p.dp[side], len(pulses)
		places[prefix+"posterior-tibial"], lengths[prefix+"posterior-tibial"] = &p.pt[side], len(pulses)
		places[prefix+"ankle-dp"], lengths[prefix+"ankle-dp"] = &p.ankle[side], len(ankles)
		places[prefix+"ankle-pt"], lengths[prefix+"ankle-pt"] = &p.ankle[side], len(ankles)
		places[prefix+"toe-pressure"], lengths[prefix+"toe-pressure"] = &p.toe[side], len(toes)
		places[prefix+"tcpo2"], lengths[prefix+"tcpo2"] = &p.oxygen[side], len(oxygen)
		places[prefix+"waveform"], lengths[prefix+"waveform"] = &p.wave[side], len(waveforms)
	}
	if path == "arms.right" || path == "arms.left" {
		p.armed = true
		return
	}
	at, ok := places[path]
	if !ok {
		t.Fatalf("%q is no path of the evidence", path)
	}
	*at = 1
	if bad {
		*at = lengths[path] - 1
	}
}

func TestJudgingAllocatesLittle(t *testing.T) {
	e := ordinary()
	if n := testing.AllocsPerRun(100, func() { perfusion.Judge(e) }); n > 4 {
		t.Errorf("judging allocates %v times", n)
	}
}

func ordinary() perfusion.Evidence {
	return perfusion.Evidence{Legs: legs(felt(), with(felt(), dp(perfusion.PulseAbsent))), Claudication: no, RestPain: no}
}

func BenchmarkJudge(b *testing.B) {
	e := ordinary()
	b.ReportAllocs()
	for b.Loop() {
		perfusion.Judge(e)
	}
}
