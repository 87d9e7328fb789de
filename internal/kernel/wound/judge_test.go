package wound

import (
	"encoding/json"
	"strings"
	"testing"

	"tengram/internal/kernel/known"
	"tengram/internal/kernel/perfusion"
	"tengram/internal/kernel/when"
)

// past is the fresh ulcer as it was some days before the exam, with a change.
func past(daysBefore int, f func(*Ulcer)) Past {
	in := fresh()
	f(&in.Ulcer)
	return Past{On: in.On.AddDays(-daysBefore), Ulcer: in.Ulcer}
}

func sized(length, width int, m Method) func(*Ulcer) {
	return func(u *Ulcer) { u.Size = diameters(length, width, m) }
}

func closedUlcer(u *Ulcer) {
	u.Size, u.Depth, u.Healed, u.Infection = Size{}, Closed, known.AnswerYes, Infection{}
}

func worries(r Result) string {
	var b strings.Builder
	for _, why := range r.Worry {
		b.WriteString(why.Says)
		b.WriteString("\n")
	}
	return b.String()
}

func TestJudgeHealing(t *testing.T) {
	tests := []struct {
		name    string
		in      Input
		healing bool
		days    int
		tenths  int
		onTrack known.Tri
		worry   []string
	}{
		{"a first visit has no trend and no worry", fresh(), false, 0, 0, 0, nil},
		{"half gone in 4 weeks", change(fresh(), func(in *Input) { in.Past = []Past{past(28, sized(12, 8, Rectangle))} }), true, 28, 500, known.Yes, nil},
		{"a third gone in 4 weeks", change(fresh(), func(in *Input) { in.Past = []Past{past(28, sized(9, 8, Rectangle))} }), true, 28, 333, known.No,
			[]string{"less than 50 % at 4 weeks", "Not known to be healing at 4 weeks"}},
		{"larger than a week ago", change(fresh(), func(in *Input) { in.Past = []Past{past(7, sized(6, 6, Rectangle))} }), true, 7, -334, known.No,
			[]string{"The area grew from 36 to 48 mm2", "it has grown"}},
		{"smaller than at first, larger than last week", change(fresh(), func(in *Input) {
			in.Past = []Past{past(35, sized(20, 10, Rectangle)), past(7, sized(6, 6, Rectangle))}
		}), true, 35, 760, known.Yes, []string{"The area grew from 36 to 48 mm2"}},
		{"another method before", change(fresh(), func(in *Input) { in.Past = []Past{past(13, sized(12, 8, Ellipse))} }), false, 0, 0, 0,
			[]string{"another method"}},
		{"not measured today", change(fresh(), func(in *Input) {
			in.Ulcer.Size = Size{}
			in.Past = []Past{past(7, sized(12, 8, Rectangle))}
		}), false, 0, 0, 0, []string{"measured before and not today"}},
		{"sizes from before a closed look do not count", change(fresh(), func(in *Input) {
			in.Past = []Past{past(200, sized(60, 40, Rectangle)), past(100, closedUlcer)}
		}), false, 0, 0, 0, []string{"closed on 2025-11-30 and is open again"}},
		{"closed today after half a year", change(fresh(), func(in *Input) {
			closedUlcer(&in.Ulcer)
			in.Past = []Past{past(180, sized(60, 40, Rectangle)), past(90, sized(20, 10, Rectangle))}
		}), true, 180, 1000, known.Yes, nil},
		{"closed again today counts the second episode", change(fresh(), func(in *Input) {
			closedUlcer(&in.Ulcer)
			in.Past = []Past{past(300, sized(60, 40, Rectangle)), past(200, closedUlcer), past(50, sized(10, 10, Rectangle)), past(10, closedUlcer)}
		}), true, 50, 1000, known.Yes, nil},
		{"closed today after opening once more counts from the second opening", change(fresh(), func(in *Input) {
			closedUlcer(&in.Ulcer)
			in.Past = []Past{past(300, sized(60, 40, Rectangle)), past(200, closedUlcer), past(50, sized(10, 10, Rectangle))}
		}), true, 50, 1000, known.Yes, nil},
		{"closed today and never measured", change(fresh(), func(in *Input) { closedUlcer(&in.Ulcer) }), false, 0, 0, 0, nil},
		{"another ulcer's size does not count", change(fresh(), func(in *Input) {
			p := past(28, sized(12, 8, Rectangle))
			p.Ulcer.ID = "u2"
			in.Past = []Past{p}
		}), false, 0, 0, 0, nil},
		{"a look after the exam does not count", change(fresh(), func(in *Input) { in.Past = []Past{past(-3, sized(12, 8, Rectangle))} }), false, 0, 0, 0, nil},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			r := Judge(tt.in)
			if (r.Healing != nil) != tt.healing {
				t.Fatalf("healing %+v, want one: %v", r.Healing, tt.healing)
			}
			if h := r.Healing; h != nil && (h.Days != tt.days || h.ReductionPercent != known.TenthsOf(tt.tenths) || h.OnTrack != tt.onTrack) {
				t.Errorf("healing %+v, want %d days, %d tenths, %v", h, tt.days, tt.tenths, tt.onTrack)
			}
			got := worries(r)
			for _, w := range tt.worry {
				if !strings.Contains(got, w) {
					t.Errorf("worries\n%swant one that says %q", got, w)
				}
			}
			if len(tt.worry) == 0 && got != "" {
				t.Errorf("worries\n%swant none", got)
			}
		})
	}
}

// Time limits of the reference, 7.5 and 9.6.
func TestJudgeTimeLimits(t *testing.T) {
	since := func(days int) Input {
		in := fresh()
		in.Ulcer.Since = when.OnDay(in.On.AddDays(-days))
		return in
	}
	withPAD := func(in Input) Input {
		in.Perfusion.Level = perfusion.Likely
		return in
	}
	const (
		refer  = "after 2 weeks a specialised foot service"
		clti   = "limb-threatening ischaemia"
		four   = "healing at 4 weeks"
		six    = "healing at 6 weeks"
		twelve = "open at 12 weeks"
	)
	all := []string{refer, clti, four, six, twelve}
	tests := []struct {
		name string
		in   Input
		want []string
	}{
		{"day 13", since(13), nil},
		{"day 14", since(14), []string{refer}},
		{"day 14 with PAD is not yet more than 2 weeks", withPAD(since(14)), []string{refer}},
		{"day 15 with PAD", withPAD(since(15)), []string{refer, clti}},
		{"day 28", since(28), []string{refer, four}},
		{"day 42", since(42), []string{refer, six}},
		{"day 84", since(84), []string{refer, six, twelve}},
		{"since an unknown day", fresh(), nil},
		{"since a month that may have been 3 weeks ago or yesterday", change(fresh(), func(in *Input) { in.Ulcer.Since = when.MustMoment("2026-03") }), nil},
		{"since a month that ended 38 days ago", change(fresh(), func(in *Input) { in.Ulcer.Since = when.MustMoment("2026-01") }), []string{refer, four}},
		{"seen before it is said to have begun", change(since(3), func(in *Input) { in.Past = []Past{past(20, func(u *Ulcer) {})} }), []string{refer}},
		{"closed 100 days ago and open again today", change(since(300), func(in *Input) { in.Past = []Past{past(100, closedUlcer)} }), nil},
		{"smaller at day 20", change(since(20), func(in *Input) { in.Past = []Past{past(10, sized(9, 8, Rectangle))} }), nil},
		{"closed at day 100", change(since(100), func(in *Input) { closedUlcer(&in.Ulcer) }), nil},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got := worries(Judge(tt.in))
			want := strings.Join(tt.want, "|")
			for _, w := range all {
				if strings.Contains(got, w) != strings.Contains(want, w) {
					t.Errorf("worries\n%s%q: want %v", got, w, strings.Contains(want, w))
				}
			}
		})
	}
}

func TestJudgeNoticesAChangeForTheWorse(t *testing.T) {
	in := fresh()
	in.Ulcer.Depth, in.Ulcer.ProbeToBone = BoneOrJoint, known.AnswerYes
	in.Ulcer.Infection.ErythemaMM, in.Ulcer.Infection.Spreading = known.Value(15), known.AnswerYes
	in.Past = []Past{past(3, func(u *Ulcer) { u.Infection.ErythemaMM = known.Value(6) })}
	got := worries(Judge(in))
	for _, w := range []string{"spreading", "Deeper than on 2026-03-07: skin before, bone or joint now", "Bone is felt", "Redness reaches 15 mm; it was 6 mm"} {
		if !strings.Contains(got, w) {
			t.Errorf("worries\n%swant one that says %q", got, w)
		}
	}
}

func TestResultReadsBackAsJSON(t *testing.T) {
	in := fresh()
	in.Past = []Past{past(42, sized(30, 20, Rectangle)), past(28, sized(24, 15, Rectangle)), past(14, sized(15, 11, Rectangle))}
	r := Judge(in)
	if r.Healing == nil || r.Healing.Projection == nil {
		t.Fatalf("no projection in %+v", r.Healing)
	}
	first, err := json.Marshal(r)
	if err != nil {
		t.Fatal(err)
	}
	var again Result
	if err := json.Unmarshal(first, &again); err != nil {
		t.Fatal(err)
	}
	second, _ := json.Marshal(again)
	if string(first) != string(second) {
		t.Errorf("differs after reading back:\n%s\n%s", first, second)
	}
}

func BenchmarkJudge(b *testing.B) {
	in := fresh()
	in.Past = []Past{past(42, sized(30, 20, Rectangle)), past(28, sized(24, 15, Rectangle)), past(14, sized(15, 11, Rectangle))}
	b.ReportAllocs()
	for b.Loop() {
		Judge(in)
	}
}
