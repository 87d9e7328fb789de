package assess

import (
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"testing"

	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/foot"
	"tengram/internal/kernel/heat"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/neuro"
	"tengram/internal/kernel/perfusion"
	"tengram/internal/kernel/risk"
	"tengram/internal/kernel/source"
	"tengram/internal/kernel/when"
	"tengram/internal/kernel/wound"
)

// remembered lists every rule that nobody read in its publication, and an
// answer in which it is used. Before a rule leaves this list somebody has read
// its document. The words of the rules stand in the references of the house:
// risk.md and tests-and-wounds.md, tag [M].
var remembered = []struct {
	rule  string // the place in the document, as the code gives it
	given func() any
}{
	// Nerves.
	{"the three sites of the monofilament", nerves("lops-iwgdf-2023", "")},
	{"light touch of the toe tips if neither is at hand; two missed toes from memory", nerves("lops-iwgdf-2023", "touch")},
	{"one or more abnormal tests suggest LOPS", nerves("lops-ada-2008", "")},
	{"points of each item, and bands", func() any { return neuro.NDS([2]neuro.Foot{}) }},
	{"points of each item", func() any { return neuro.NSS(neuro.Symptoms{}) }},
	{"neuropathy by both scores", func() any { _, r := neuro.NeuropathyByScores(neuro.Score{}, neuro.Score{}); return r }},
	{"version with the monofilament, 10 points", func() any { return neuro.MNSIExamWithFilament([2]neuro.MNSIFoot{}) }},
	{"bands", func() any { return neuro.Toronto{}.Score() }},

	// Arteries.
	{"PAD less likely at ABI 0.9 to 1.3", func() any { return perfusion.ABIScales() }},
	{"PAD less likely at TBI 0.75 or more", func() any { return perfusion.TBIScales() }},
	{"PAD less likely at TBI 0.70 or more", func() any { return perfusion.TBIScales() }},
	{"PAD less likely: ABI 0.9 to 1.3, TBI 0.70 or more, triphasic or biphasic waveform", arteries(func(p *someone) {
		for _, s := range foot.Sides {
			a := &p.Foot(s).Feel.Arteries
			a.AnkleDP, a.AnklePT, a.ToePressure = known.Value(130), known.Value(128), known.Value(100)
		}
		p.Arms = perfusion.Arms{Right: known.Value(130), Left: known.Value(128)}
	})},
	{"monophasic or absent waveform", arteries(func(p *someone) { p.Left.Feel.Arteries.Waveform = perfusion.Monophasic })},
	{"first check for PAD: colour on elevation and hanging, venous filling", arteries(func(p *someone) { p.Left.Feel.Arteries.PostureColour = known.Abnormal })},
	{"claudication, rest pain relieved by dependency, or decreased or absent pulses: ABI with toe pressures", arteries(func(p *someone) { p.Ask.RestPain = told })},

	// Warmth.
	{"more than 2.2 degrees C on two consecutive days: less walking, and a call", func() any {
		day := heat.DayReading{On: examDay, Unit: heat.Celsius}
		day.Right[heat.SpotHeel], day.Left[heat.SpotHeel] = known.TenthsOf(310), known.TenthsOf(310)
		return heat.HomeLog([]heat.DayReading{day}, [2]foot.Loss{}, heat.TwoDays, 0)
	}},
	{"other limb missing: compare upward from toe to knee", func() any {
		in := heat.Input{Unit: heat.Celsius, Loss: [2]foot.Loss{{}, {Level: foot.BelowKnee}}}
		in.Right[heat.SpotHeel] = known.TenthsOf(310)
		return heat.Judge(in)
	}},

	// Wounds.
	{"ischaemia grade: toe pressure before TcPO2 and ABI", func() any { return wound.GradeIschaemia("leg", wound.Flow{Toe: known.Value(38)}) }},
	{"ischaemia grade: ABI above 1.30", func() any { return wound.GradeIschaemia("leg", wound.Flow{ABI: known.Value(145)}) }},
	{"table of benefit from revascularisation", func() any { return wound.WIfI(wound.Grades{}, wound.Grades{}, wound.Grades{}) }},
	{"ischaemia threshold, ABI below 0.80", ulcers(func(p *someone) {
		leftPressures(120, 100)(&p.Draft)
	})},
	{"infection grades, bone without two local signs", ulcers(func(p *someone) { p.Ulcers[0].Infection.Bone = told })},
	{"vascular imaging after 4 to 6 weeks of good care", ulcers(func(p *someone) { p.Ulcers[0].Since = when.MustMoment("2026-01-30") })},
	{"area lost over the mean length of the edge", func() any { return wound.EdgeBecause() }},

	// Risk.
	{"points: monofilament 1, absent pulse 1, past ulcer or amputation 2", func() any {
		s, _ := risk.ByID("podus-2020")
		return risk.Judge(s, &risk.Facts{})
	}},

	// What cannot wait.
	{"acute limb ischaemia is an emergency of hours", flags(func(p *someone) { p.Left.Feel.SuddenlyCold = told })},
	{"grade 4, severe: hospital", flags(func(p *someone) {
		p.Left.Look.Infection.Pus, p.Left.Look.Infection.Swelling, p.Vitals.TemperatureC = told, told, known.TenthsOf(390)
	})},
	{"suspected acute Charcot foot: off-load meanwhile", flags(func(p *someone) {
		lossOfSensation(&p.Draft)
		p.Left.Feel.Warm, p.Left.Feel.Swollen = told, told
	})},

	// The plan.
	{"pressures with toe pressures", planned(func(p *someone) { p.Left.Feel.Arteries.DP = perfusion.PulseWeak })},
	{"non-removable knee-high device first for a plantar ulcer from nerve damage", planned(withUlcers)},
	{"smoking as a reason for lifelong surveillance", planned(func(p *someone) { p.Ask.Smoking = exam.CurrentSmoker })},
	{"pre-ulcerative lesion: blister, fissure that spares the dermis, bleeding under skin or callus", planned(lesion("", foot.Left, exam.Blister).to)},
	{"abundant callus, ingrown or thick nails and fungal infection are treated as pre-ulcerative signs", planned(nails("", exam.IngrownNail).to)},
	{"shoe 1 to 2 cm longer than the foot", func() any {
		_, _, because, _ := exam.ShoeLength(known.Value(270), known.Value(258), known.Reading{})
		return because
	}},
}

func assessed(change func(*someone)) Assessment {
	p := sound()
	change(&p)
	return p.judge(DefaultEdition())
}

func arteries(change func(*someone)) func() any { return func() any { return assessed(change).PAD } }
func flags(change func(*someone)) func() any    { return func() any { return assessed(change).Flags } }
func planned(change func(*someone)) func() any  { return func() any { return assessed(change).Plan } }

func ulcers(change func(*someone)) func() any {
	return func() any { return assessed(func(p *someone) { withUlcers(p); change(p) }).Ulcers }
}

// nerves judges two felt feet by one definition, by touch alone if so asked.
func nerves(definition, by string) func() any {
	return func() any {
		p := sound()
		tests := neuro.Tests{Protocol: neuro.FourSites, Feet: [2]neuro.Foot{p.Right.Test, p.Left.Test}}
		if by == "touch" {
			felt := neuro.Touch{Toe1: known.Normal, Toe3: known.Normal, Toe5: known.Normal}
			tests.Feet = [2]neuro.Foot{{Touch: felt}, {Touch: felt}}
		}
		for _, d := range neuro.Definitions() {
			if d.ID == definition {
				return d.Judge(tests)
			}
		}
		return nil
	}
}

func TestWhatIsRememberedSaysSoInItsAnswer(t *testing.T) {
	for _, r := range remembered {
		found := false
		everySource(reflect.ValueOf(r.given()), func(s source.Source) {
			found = found || s.Place == r.rule && s.Standing == source.Memory
		})
		if !found {
			t.Errorf("%q is used without saying that it is from memory", r.rule)
		}
	}
}

// The list above is whole: every place that the clinical rooms cite from memory
// is on it.
func TestEveryRememberedRuleIsOnTheList(t *testing.T) {
	var cited []string
	for _, room := range []string{"neuro", "perfusion", "wound", "heat", "exam", "danger", "risk", "plan", "assess", "calc"} {
		cited = append(cited, citedFromMemory(t, filepath.Join("..", room))...)
	}
	if len(cited) < 30 {
		t.Fatalf("only %d rules found: the test no longer sees the rooms", len(cited))
	}
	for _, place := range cited {
		if !slices.ContainsFunc(remembered, func(r struct {
			rule  string
			given func() any
		}) bool {
			return r.rule == place
		}) {
			t.Errorf("%q is cited from memory and not on the list", place)
		}
	}
	for _, r := range remembered {
		if !slices.Contains(cited, r.rule) {
			t.Errorf("%q is on the list and cited nowhere from memory", r.rule)
		}
	}
}

// citedFromMemory lists the places of X.At(place, source.Memory) in a package.
func citedFromMemory(t *testing.T, dir string) (places []string) {
	t.Helper()
	entries, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range entries {
		if !strings.HasSuffix(e.Name(), ".go") || strings.HasSuffix(e.Name(), "_test.go") {
			continue
		}
		f, err := parser.ParseFile(token.NewFileSet(), filepath.Join(dir, e.Name()), nil, parser.SkipObjectResolution)
		if err != nil {
			t.Fatal(err)
		}
		ast.Inspect(f, func(n ast.Node) bool {
			call, ok := n.(*ast.CallExpr)
			if !ok || len(call.Args) != 2 {
				return true
			}
			fun, isMethod := call.Fun.(*ast.SelectorExpr)
			standing, isName := call.Args[1].(*ast.SelectorExpr)
			place, isText := call.Args[0].(*ast.BasicLit)
			if isMethod && isName && isText && fun.Sel.Name == "At" && standing.Sel.Name == "Memory" {
				text, err := strconv.Unquote(place.Value)
				if err != nil {
					t.Fatal(err)
				}
				places = append(places, text)
			}
			return true
		})
	}
	return places
}
