package neuro_test

import (
	"testing"

	"pgregory.net/rapid"

	"tengram/internal/kernel/known"
	"tengram/internal/kernel/neuro"
	"tengram/internal/kernel/source"
)

const yes, no, unknown = known.Yes, known.No, known.Unknown

// scored compares one score; low and high in tenths of a point.
func scored(t *testing.T, s neuro.Score, low, high int, band string, positive known.Tri) {
	t.Helper()
	if s.Low.Value != low || s.High.Value != high {
		t.Errorf("%s is %v to %v, want %v to %v", s.Name, s.Low, s.High, known.TenthsOf(low), known.TenthsOf(high))
	}
	if s.Band != band {
		t.Errorf("%s: band %q, want %q", s.Name, s.Band, band)
	}
	if s.Positive != positive {
		t.Errorf("%s: positive is %v, want %v", s.Name, s.Positive, positive)
	}
	if len(s.Because) == 0 || s.Because[0].Source == nil {
		t.Errorf("%s has no reason with a source", s.Name)
	}
}

func TestTheDisabilityScore(t *testing.T) {
	normal := neuro.Foot{Vibration: known.Normal, Pinprick: known.Normal, WarmCold: known.Normal, Reflex: neuro.ReflexPresent}
	t.Run("both reflexes absent and vibration absent on both sides are 6, at risk, moderate (tests-and-wounds 2.12)", func(t *testing.T) {
		f := normal
		f.Reflex, f.Vibration = neuro.ReflexAbsent, known.Abnormal
		scored(t, neuro.NDS([2]neuro.Foot{f, f}), 60, 60, "moderate", yes)
	})
	t.Run("all normal is 0", func(t *testing.T) {
		scored(t, neuro.NDS([2]neuro.Foot{normal, normal}), 0, 0, "none", no)
	})
	t.Run("all abnormal is 10, severe", func(t *testing.T) {
		f := neuro.Foot{Vibration: known.Abnormal, Pinprick: known.Abnormal, WarmCold: known.Abnormal, Reflex: neuro.ReflexAbsent}
		scored(t, neuro.NDS([2]neuro.Foot{f, f}), 100, 100, "severe", yes)
	})
	t.Run("a reflex with reinforcement is one point", func(t *testing.T) {
		f := normal
		f.Reflex = neuro.ReflexReinforced
		scored(t, neuro.NDS([2]neuro.Foot{f, normal}), 10, 10, "none", no)
	})
	t.Run("one side untested leaves five points open", func(t *testing.T) {
		f := neuro.Foot{Vibration: known.Abnormal, Pinprick: known.Normal, WarmCold: known.Normal, Reflex: neuro.ReflexAbsent}
		scored(t, neuro.NDS([2]neuro.Foot{f, {}}), 30, 80, "", unknown)
	})
	t.Run("nothing tested is 0 to 10", func(t *testing.T) {
		scored(t, neuro.NDS([2]neuro.Foot{}), 0, 100, "", unknown)
	})
}

func TestTheSymptomScore(t *testing.T) {
	most := neuro.Symptoms{Kind: neuro.Burning, Site: neuro.Feet, WorseAt: neuro.WorseAtNight, Woken: yes, Relief: neuro.Walking}
	for _, c := range []struct {
		name      string
		in        neuro.Symptoms
		low, high int
		band      string
	}{
		{"the sum of the maxima is 9 (tests-and-wounds 2.9)", most, 90, 90, "severe"},
		{"no symptom is 0", neuro.Symptoms{Kind: neuro.NoSymptom, Site: neuro.Feet}, 0, 0, "none"},
		{"cramp in the calves by day, relieved by standing", neuro.Symptoms{Kind: neuro.Fatigue, Site: neuro.Calves, WorseAt: neuro.WorseByDay, Woken: no, Relief: neuro.Standing}, 30, 30, "mild"},
		{"burning feet day and night", neuro.Symptoms{Kind: neuro.Burning, Site: neuro.Feet, WorseAt: neuro.DayAndNight, Woken: no, Relief: neuro.SittingOrNone}, 50, 50, "moderate"},
		{"nothing asked is 0 to 9", neuro.Symptoms{}, 0, 90, ""},
		{"an unknown kind may be none", neuro.Symptoms{Site: neuro.Feet, WorseAt: neuro.WorseAtNight, Woken: yes, Relief: neuro.Walking}, 0, 90, ""},
	} {
		t.Run(c.name, func(t *testing.T) { scored(t, neuro.NSS(c.in), c.low, c.high, c.band, unknown) })
	}
}

func TestBothScoresTogether(t *testing.T) {
	score := func(low, high int) neuro.Score {
		return neuro.Score{Low: known.TenthsOf(low), High: known.TenthsOf(high)}
	}
	for _, c := range []struct {
		name     string
		nds, nss neuro.Score
		want     known.Tri
	}{
		{"disability of 6 is enough", score(60, 60), score(0, 90), yes},
		{"3 with symptoms of 5 are enough", score(30, 30), score(50, 50), yes},
		{"3 with symptoms of 4 are not", score(30, 30), score(40, 40), no},
		{"2 with the worst symptoms are not", score(20, 20), score(90, 90), no},
		{"an open range may decide nothing", score(30, 30), score(40, 60), unknown},
	} {
		got, reason := neuro.NeuropathyByScores(c.nds, c.nss)
		if got != c.want {
			t.Errorf("%s: got %v, want %v", c.name, got, c.want)
		}
		if reason.Source == nil || reason.Source.Standing != source.Memory {
			t.Errorf("%s: the rule is from memory and must say so", c.name)
		}
	}
}

func TestTheMichiganQuestionnaire(t *testing.T) {
	all := func(v known.Tri) (q neuro.MNSIQuestions) {
		for i := range q {
			q[i] = v
		}
		return q
	}
	t.Run("all yes is 11 (tests-and-wounds 2.12)", func(t *testing.T) {
		scored(t, neuro.MNSIQuestionnaire(all(yes)), 110, 110, "", yes)
	})
	t.Run("all no is 2 (tests-and-wounds 2.12)", func(t *testing.T) {
		scored(t, neuro.MNSIQuestionnaire(all(no)), 20, 20, "", no)
	})
	t.Run("nothing asked is 0 to 13 (tests-and-wounds 2.10)", func(t *testing.T) {
		scored(t, neuro.MNSIQuestionnaire(all(unknown)), 0, 130, "", unknown)
	})
	t.Run("questions 4 and 10 are not scored", func(t *testing.T) {
		q := all(no)
		q[3], q[9] = yes, yes
		scored(t, neuro.MNSIQuestionnaire(q), 20, 20, "", no)
	})
	t.Run("the two cut-offs differ from 4 to 6 (Herman 2012)", func(t *testing.T) {
		q := all(no)
		q[0], q[1] = yes, yes
		scored(t, neuro.MNSIQuestionnaire(q), 40, 40, "", no)
		if got := neuro.MNSIFrom4(q); got != yes {
			t.Errorf("by the cut-off of 4 it is %v, want yes", got)
		}
	})
	t.Run("six points are below 7 and seven reach it", func(t *testing.T) {
		q := all(no)
		q[0], q[1], q[2], q[4] = yes, yes, yes, yes
		scored(t, neuro.MNSIQuestionnaire(q), 60, 60, "", no)
		q[5] = yes
		scored(t, neuro.MNSIQuestionnaire(q), 70, 70, "", yes)
	})
}

func TestTheMichiganExamination(t *testing.T) {
	clear := neuro.MNSIFoot{Appearance: no, Ulcer: no, Reflex: neuro.ReflexPresent, Vibration: neuro.SensePresent, FilamentFelt: known.Value(10)}
	callus := clear
	callus.Appearance = yes
	reinforced := callus
	reinforced.Reflex = neuro.ReflexReinforced
	worst := neuro.MNSIFoot{Appearance: yes, Ulcer: yes, Reflex: neuro.ReflexAbsent, Vibration: neuro.SenseAbsent, FilamentFelt: known.Value(0)}
	t.Run("callus on both feet and one weak reflex are 2.5, abnormal (tests-and-wounds 2.12)", func(t *testing.T) {
		scored(t, neuro.MNSIExam([2]neuro.MNSIFoot{reinforced, callus}), 25, 25, "", yes)
	})
	t.Run("callus on both feet alone is 2.0, normal", func(t *testing.T) {
		scored(t, neuro.MNSIExam([2]neuro.MNSIFoot{callus, callus}), 20, 20, "", no)
	})
	t.Run("the most is 8 (tests-and-wounds 2.10)", func(t *testing.T) {
		scored(t, neuro.MNSIExam([2]neuro.MNSIFoot{worst, worst}), 80, 80, "", yes)
	})
	t.Run("nothing examined is 0 to 8", func(t *testing.T) {
		scored(t, neuro.MNSIExam([2]neuro.MNSIFoot{}), 0, 80, "", unknown)
	})
	t.Run("with the monofilament the most is 10, and the figures are from memory", func(t *testing.T) {
		s := neuro.MNSIExamWithFilament([2]neuro.MNSIFoot{worst, worst})
		scored(t, s, 100, 100, "", unknown)
		if s.Because[0].Source.Standing != source.Memory {
			t.Error("the version with the monofilament is from memory and must say so")
		}
	})
	for felt, tenths := range map[int]int{10: 0, 8: 0, 7: 5, 1: 5, 0: 10} {
		f := clear
		f.FilamentFelt = known.Value(felt)
		if s := neuro.MNSIExamWithFilament([2]neuro.MNSIFoot{f, clear}); s.Low.Value != tenths {
			t.Errorf("%d of ten felt gives %v, want %v", felt, s.Low, known.TenthsOf(tenths))
		}
	}
}

func TestTheTorontoScore(t *testing.T) {
	nothing := neuro.Toronto{
		Symptoms: [6]known.Tri{no, no, no, no, no, no},
		Reflexes: [4]neuro.Sense{neuro.SensePresent, neuro.SensePresent, neuro.SensePresent, neuro.SensePresent},
		Senses:   [5]known.Tri{no, no, no, no, no},
	}
	t.Run("four symptoms, both ankles absent and two senses are 10, moderate (tests-and-wounds 2.12)", func(t *testing.T) {
		in := nothing
		in.Symptoms = [6]known.Tri{yes, yes, yes, yes, no, no}
		in.Reflexes[2], in.Reflexes[3] = neuro.SenseAbsent, neuro.SenseAbsent
		in.Senses[0], in.Senses[1] = yes, yes
		scored(t, in.Score(), 100, 100, "moderate", yes)
	})
	t.Run("the most is 19 (tests-and-wounds 2.11)", func(t *testing.T) {
		in := neuro.Toronto{
			Symptoms: [6]known.Tri{yes, yes, yes, yes, yes, yes},
			Reflexes: [4]neuro.Sense{neuro.SenseAbsent, neuro.SenseAbsent, neuro.SenseAbsent, neuro.SenseAbsent},
			Senses:   [5]known.Tri{yes, yes, yes, yes, yes},
		}
		scored(t, in.Score(), 190, 190, "severe", yes)
	})
	t.Run("five is none, six is mild, the bands from memory", func(t *testing.T) {
		in := nothing
		in.Symptoms = [6]known.Tri{yes, yes, yes, yes, yes, no}
		scored(t, in.Score(), 50, 50, "none", no)
		in.Symptoms[5] = yes
		s := in.Score()
		scored(t, s, 60, 60, "mild", yes)
		if s.Because[2].Source.Standing != source.Memory {
			t.Error("the bands are from memory and must say so")
		}
	})
	t.Run("twelve is severe", func(t *testing.T) {
		in := nothing
		in.Symptoms = [6]known.Tri{yes, yes, yes, yes, yes, yes}
		in.Reflexes = [4]neuro.Sense{neuro.SenseReduced, neuro.SenseReduced, neuro.SenseAbsent, neuro.SenseAbsent}
		scored(t, in.Score(), 120, 120, "severe", yes)
	})
	t.Run("nothing examined is 0 to 19", func(t *testing.T) {
		scored(t, neuro.Toronto{}.Score(), 0, 190, "", unknown)
	})
}

func TestTheEightStimuli(t *testing.T) {
	for _, c := range []struct {
		wrong, unanswered int
		band              string
		want              known.Tri
	}{
		{1, 0, "normal", no}, {3, 0, "indeterminate", unknown}, {5, 0, "abnormal", yes}, // tests-and-wounds 2.12
		{0, 0, "normal", no}, {2, 0, "indeterminate", unknown}, {4, 0, "indeterminate", unknown}, {8, 0, "abnormal", yes},
		{1, 1, "", unknown}, {5, 3, "abnormal", yes}, {0, 1, "normal", no},
	} {
		s := neuro.Perkins(c.wrong, c.unanswered)
		if s.Band != c.band || s.Positive != c.want {
			t.Errorf("%d wrong, %d unanswered: %q and %v, want %q and %v", c.wrong, c.unanswered, s.Band, s.Positive, c.band, c.want)
		}
	}
}

// TestALearnedItemStaysInsideTheRange holds for the scores with many items.
func TestALearnedItemStaysInsideTheRange(t *testing.T) {
	tri := rapid.SampledFrom([]known.Tri{unknown, no, yes})
	sense := rapid.SampledFrom([]neuro.Sense{neuro.SenseNotDone, neuro.SensePresent, neuro.SenseReduced, neuro.SenseAbsent})
	rapid.Check(t, func(t *rapid.T) {
		var before neuro.Toronto
		var questions neuro.MNSIQuestions
		for i := range before.Symptoms {
			before.Symptoms[i] = tri.Draw(t, "symptom")
		}
		for i := range before.Reflexes {
			before.Reflexes[i] = sense.Draw(t, "reflex")
		}
		for i := range questions {
			questions[i] = tri.Draw(t, "answer")
		}
		after, learned := before, questions
		for i, s := range after.Reflexes {
			if s == neuro.SenseNotDone {
				after.Reflexes[i] = sense.Draw(t, "learned")
			}
		}
		for i, a := range learned {
			if !a.Known() {
				learned[i] = tri.Draw(t, "learned")
			}
		}
		for _, pair := range [][2]neuro.Score{
			{before.Score(), after.Score()},
			{neuro.MNSIQuestionnaire(questions), neuro.MNSIQuestionnaire(learned)},
		} {
			was, is := pair[0], pair[1]
			if is.Low.Value < was.Low.Value || is.High.Value > was.High.Value {
				t.Fatalf("%s went from %v-%v to %v-%v", was.Name, was.Low, was.High, is.Low, is.High)
			}
			if was.Positive.Known() && is.Positive != was.Positive {
				t.Fatalf("%s was %v and became %v", was.Name, was.Positive, is.Positive)
			}
			if was.Band != "" && is.Band != was.Band {
				t.Fatalf("%s was %q and became %q", was.Name, was.Band, is.Band)
			}
		}
	})
}
