package wound

import (
	"os"
	"strconv"
	"strings"
	"testing"

	"tengram/internal/kernel/foot"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/source"
	"tengram/internal/testdata"
)

// The two tables as the reference prints them, 5.2 and 5.3: a row is a wound
// grade, a group an ischaemia grade, a digit a foot infection grade.
//
// Standing: the first is second hand (from memory and equal in 64 of 64 cells
// to one independent transcription); the second is from memory with no second
// source. Neither was compared with the article.
const (
	printedAmputation = `
		1123 1234 2234 2334
		1123 1234 2344 3344
		2234 3344 3444 4444
		3344 4444 4444 4444`
	printedBenefit = `
		1111 1223 2233 3444
		1111 2333 3444 4444
		1111 3344 4444 4444
		1111 3334 4444 4444`
)

func eachCell(f func(w, i, fi int)) {
	for w := range 4 {
		for i := range 4 {
			for fi := range 4 {
				f(w, i, fi)
			}
		}
	}
}

// printed reads a table as printed.
func printed(t *testing.T, table string) [4][4][4]int {
	t.Helper()
	groups := strings.Fields(table)
	if len(groups) != 16 {
		t.Fatalf("%d groups, want 16", len(groups))
	}
	var cells [4][4][4]int
	eachCell(func(w, i, fi int) { cells[w][i][fi] = int(groups[4*w+i][fi] - '0') })
	return cells
}

func TestWIfITablesHoldTheirPrintedCells(t *testing.T) {
	amputation, benefit := printed(t, printedAmputation), printed(t, printedBenefit)
	eachCell(func(w, i, fi int) {
		if got, want := AmputationStage(w, i, fi), amputation[w][i][fi]; got != want {
			t.Errorf("W%d I%d fI%d: stage %d, want %d", w, i, fi, got, want)
		}
		if got, want := RevascularizationBenefit(w, i, fi), benefit[w][i][fi]; got != want {
			t.Errorf("W%d I%d fI%d: benefit %d, want %d", w, i, fi, got, want)
		}
	})
}

// TestWIfITablesMatchTheReferenceDocument reads both tables out of the
// reference itself, so that a slip in copying shows.
func TestWIfITablesMatchTheReferenceDocument(t *testing.T) {
	text, err := os.ReadFile(testdata.Reference(t, "tests-and-wounds.md"))
	if err != nil {
		t.Fatal(err)
	}
	for _, table := range []struct {
		heading string
		cell    func(w, i, fi int) int
	}{{"### 5.2 ", AmputationStage}, {"### 5.3 ", RevascularizationBenefit}} {
		_, below, ok := strings.Cut(string(text), table.heading)
		if !ok {
			t.Fatalf("no section %q", table.heading)
		}
		below, _, _ = strings.Cut(below, "\n### ")
		rows := 0
		for line := range strings.Lines(below) {
			columns := strings.Split(strings.Trim(strings.TrimSpace(line), "|"), "|")
			name := strings.TrimSpace(columns[0])
			if len(columns) != 5 || len(name) != 2 || name[0] != 'W' {
				continue
			}
			rows++
			w := int(name[1] - '0')
			for i, column := range columns[1:] {
				for fi, digit := range strings.Fields(column) {
					if want, _ := strconv.Atoi(digit); table.cell(w, i, fi) != want {
						t.Errorf("%sW%d I%d fI%d: %d, want %d", table.heading, w, i, fi, table.cell(w, i, fi), want)
					}
				}
			}
		}
		if rows != 4 {
			t.Errorf("%s: read %d rows, want 4", table.heading, rows)
		}
	}
}

// Counts of the reference, 5.2 and 5.3 (derived).
func TestWIfITableCounts(t *testing.T) {
	var stages, benefits [5]int
	eachCell(func(w, i, fi int) {
		stages[AmputationStage(w, i, fi)]++
		benefits[RevascularizationBenefit(w, i, fi)]++
	})
	if want := [5]int{0, 6, 10, 16, 32}; stages != want {
		t.Errorf("stages %v, want %v", stages, want)
	}
	if want := [5]int{0, 17, 5, 13, 29}; benefits != want {
		t.Errorf("benefits %v, want %v", benefits, want)
	}
}

func TestWIfITablesNeverFallSaveInOneCell(t *testing.T) {
	var falls []string
	eachCell(func(w, i, fi int) {
		for _, up := range [][3]int{{w + 1, i, fi}, {w, i + 1, fi}, {w, i, fi + 1}} {
			if up[0] > 3 || up[1] > 3 || up[2] > 3 {
				continue
			}
			if AmputationStage(up[0], up[1], up[2]) < AmputationStage(w, i, fi) {
				t.Errorf("the stage falls from W%d I%d fI%d to W%d I%d fI%d", w, i, fi, up[0], up[1], up[2])
			}
			if RevascularizationBenefit(up[0], up[1], up[2]) < RevascularizationBenefit(w, i, fi) {
				falls = append(falls, strconv.Itoa(100*up[0]+10*up[1]+up[2]))
			}
		}
	})
	// The known oddity: W3 I1 fI2 lies below W2 I1 fI2 (reference, 5.3).
	if len(falls) != 1 || falls[0] != "312" {
		t.Errorf("benefit falls at %v, want only at W3 I1 fI2", falls)
	}
}

// The stage is no function of the sum (reference, 5.2, derived).
func TestWIfIStageIsNotASum(t *testing.T) {
	var bySum [10][5]int
	eachCell(func(w, i, fi int) { bySum[w+i+fi][AmputationStage(w, i, fi)]++ })
	for sum, want := range map[int][5]int{2: {0, 2, 4}, 3: {0, 0, 6, 4}, 4: {0, 0, 0, 10, 2}, 5: {0, 0, 0, 2, 10}} {
		if bySum[sum] != want {
			t.Errorf("sum %d: stages %v, want %v", sum, bySum[sum], want)
		}
	}
}

func TestWIfITablesRefuseGradesOutsideTheirRange(t *testing.T) {
	for _, g := range [][3]int{{-1, 0, 0}, {0, 4, 0}, {0, 0, 7}} {
		if s, b := AmputationStage(g[0], g[1], g[2]), RevascularizationBenefit(g[0], g[1], g[2]); s != 0 || b != 0 {
			t.Errorf("%v: stage %d and benefit %d, want 0", g, s, b)
		}
	}
	if RevascularizationSource().Standing != source.Memory || AmputationSource().Standing != source.Secondary {
		t.Error("the tables must carry the standing in which they were read")
	}
}

// Check cases of the reference, 5.5.
func TestWIfICheckCases(t *testing.T) {
	for _, tt := range []struct{ w, i, fi, stage int }{
		{0, 0, 0, 1}, {1, 0, 1, 1}, {1, 1, 2, 3}, {1, 2, 2, 4}, {0, 3, 0, 2},
		{2, 0, 0, 2}, {2, 1, 0, 3}, {2, 2, 0, 3}, {2, 3, 0, 4}, {3, 0, 1, 3}, {0, 0, 3, 3},
	} {
		if got := AmputationStage(tt.w, tt.i, tt.fi); got != tt.stage {
			t.Errorf("W%d I%d fI%d: stage %d, want %d", tt.w, tt.i, tt.fi, got, tt.stage)
		}
	}
}

// Expected grades are those of the reference, 5.1 (second hand), 5.5 and 8.
func TestIschaemiaGrade(t *testing.T) {
	noReading := func(s known.ReadingState) known.Reading { return known.Reading{State: s} }
	tests := []struct {
		name      string
		flow      Flow
		low, high int
		ask       string
	}{
		{"ABI 0.79 with toe 38 is grade 2: the toe wins", Flow{ABI: known.Value(79), Toe: known.Value(38)}, 2, 2, ""},
		{"ABI 1.45 without a toe value asks for the toe", Flow{ABI: known.Value(145)}, 0, 3, "leg.toe-pressure"},
		{"a stump with ABI 1.5 asks for TcPO2", Flow{ABI: known.Value(150), Toe: noReading(known.CannotMeasure)}, 0, 3, "leg.tcpo2"},
		{"ABI 1.30 can still be graded", Flow{ABI: known.Value(130)}, 0, 0, ""},
		{"ABI 0.80", Flow{ABI: known.Value(80)}, 0, 0, ""},
		{"ABI 0.79", Flow{ABI: known.Value(79)}, 1, 1, ""},
		{"ABI 0.60", Flow{ABI: known.Value(60)}, 1, 1, ""},
		{"ABI 0.59", Flow{ABI: known.Value(59)}, 2, 2, ""},
		{"ABI 0.40", Flow{ABI: known.Value(40)}, 2, 2, ""},
		{"ABI 0.39", Flow{ABI: known.Value(39)}, 3, 3, ""},
		{"toe 60", Flow{Toe: known.Value(60)}, 0, 0, ""},
		{"toe 59", Flow{Toe: known.Value(59)}, 1, 1, ""},
		{"toe 40", Flow{Toe: known.Value(40)}, 1, 1, ""},
		{"toe 39", Flow{Toe: known.Value(39)}, 2, 2, ""},
		{"toe 30", Flow{Toe: known.Value(30)}, 2, 2, ""},
		{"toe 29", Flow{Toe: known.Value(29)}, 3, 3, ""},
		{"the second toe at 34, with the hallux gone, is grade 2", Flow{Toe: known.Value(34), ToeUsed: 2}, 2, 2, ""},
		{"TcPO2 decides before the ABI", Flow{ABI: known.Value(95), TcPO2: known.Value(29)}, 3, 3, ""},
		{"the toe decides before TcPO2", Flow{Toe: known.Value(60), TcPO2: known.Value(29)}, 0, 0, ""},
		{"ankle 101", Flow{Ankle: known.Value(101)}, 0, 0, ""},
		{"ankle 100", Flow{Ankle: known.Value(100)}, 1, 1, ""},
		{"ankle 71", Flow{Ankle: known.Value(71)}, 1, 1, ""},
		{"ankle exactly 70 is grade 2 (our proposal)", Flow{Ankle: known.Value(70)}, 2, 2, ""},
		{"ankle 50 is grade 2", Flow{Ankle: known.Value(50)}, 2, 2, ""},
		{"ankle 49 is grade 3", Flow{Ankle: known.Value(49)}, 3, 3, ""},
		{"ankle 70 with toe 45 is grade 1: the toe decides", Flow{Ankle: known.Value(70), Toe: known.Value(45)}, 1, 1, ""},
		{"ABI and ankle differ: the worse counts (our proposal)", Flow{ABI: known.Value(85), Ankle: known.Value(60)}, 2, 2, ""},
		{"an ankle that cannot be compressed gives nothing", Flow{Ankle: noReading(known.TooHigh)}, 0, 3, "leg.toe-pressure"},
		{"no signal at the toe is the worst (our proposal)", Flow{Toe: noReading(known.NoSignal)}, 3, 3, ""},
		{"no signal at the ankle is the worst (our proposal)", Flow{Ankle: noReading(known.NoSignal)}, 3, 3, ""},
		{"nothing measured may be anything", Flow{}, 0, 3, "leg.toe-pressure"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			g := GradeIschaemia("leg", tt.flow)
			if g.Low != tt.low || g.High != tt.high {
				t.Errorf("grade %d to %d, want %d to %d", g.Low, g.High, tt.low, tt.high)
			}
			if got := strings.Join(g.Missing, " "); got != tt.ask {
				t.Errorf("asks for %q, want %q", got, tt.ask)
			}
			if len(g.Because) == 0 {
				t.Error("no reason")
			}
		})
	}
}

// Reference, 5.5 (our proposal): 0.795 rounds to 0.80 and is flagged.
func TestRoundABI(t *testing.T) {
	for _, tt := range []struct {
		ratio float64
		want  int
		edge  bool
	}{{0.795, 80, true}, {0.7949, 79, false}, {0.80, 80, false}, {0.79, 79, false}, {0.595, 60, true}, {0.395, 40, true}, {0.845, 85, false}, {104.0 / 132, 79, false}} {
		if got, edge := RoundABI(tt.ratio); got != tt.want || edge != tt.edge {
			t.Errorf("%v: %d, edge %v; want %d, %v", tt.ratio, got, edge, tt.want, tt.edge)
		}
	}
}

// Expected grades follow the words of the reference, 5.1 (second hand); where
// they leave room, the interval is our proposal.
func TestWoundGrade(t *testing.T) {
	ulcer := func(d Depth, p foot.Place) Ulcer { return Ulcer{ID: "u1", Depth: d, Place: p} }
	tests := []struct {
		name      string
		ulcer     Ulcer
		gangrene  Gangrene
		low, high int
		judge     bool
		missing   string
	}{
		{"closed, no gangrene", ulcer(Closed, foot.MTH1), NoGangrene, 0, 0, false, ""},
		{"shallow on the ball", ulcer(Subcutis, foot.MTH1), NoGangrene, 1, 1, false, ""},
		{"shallow on the heel", ulcer(SkinOnly, foot.Heel), NoGangrene, 2, 2, false, ""},
		{"into the subcutis of the heel is a judgement", ulcer(Subcutis, foot.HeelBack), NoGangrene, 2, 3, true, ""},
		{"to bone on the heel", ulcer(BoneOrJoint, foot.Heel), NoGangrene, 3, 3, false, ""},
		{"to bone at a toe is 1 at the end phalanx, else 2", ulcer(BoneOrJoint, foot.Toe2), NoGangrene, 1, 2, true, ""},
		{"to tendon at a toe may not be below bone at a toe", ulcer(TendonOrMuscle, foot.Hallux), NoGangrene, 1, 2, true, ""},
		{"to tendon on the top of the foot is a judgement", ulcer(TendonOrMuscle, foot.Dorsum), NoGangrene, 2, 3, true, ""},
		{"dry gangrene of one toe is 2", ulcer(Closed, foot.Hallux), ToeGangrene, 2, 2, false, ""},
		{"gangrene of the forefoot is 3", ulcer(SkinOnly, foot.MTH1), ForefootGangrene, 3, 3, false, ""},
		{"gangrene of the whole foot is 3", ulcer(SkinOnly, foot.MTH1), WholeFootGangrene, 3, 3, false, ""},
		{"gangrene not looked for leaves it open", ulcer(SkinOnly, foot.MTH1), GangreneNotRecorded, 1, 3, false, "right.look.gangrene"},
		{"depth not recorded leaves it open", ulcer(DepthUnknown, foot.MTH1), NoGangrene, 1, 3, true, "u.depth"},
		{"place not recorded leaves it open", ulcer(SkinOnly, foot.NoPlace), NoGangrene, 1, 2, false, "u.place"},
		{"bone felt with a probe is bone", Ulcer{ID: "u1", Depth: SkinOnly, Place: foot.Heel, ProbeToBone: known.AnswerYes}, NoGangrene, 3, 3, false, ""},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			g := GradeWound("u", tt.ulcer, tt.gangrene)
			if g.Low != tt.low || g.High != tt.high || (g.Judgement != "") != tt.judge || strings.Join(g.Missing, " ") != tt.missing {
				t.Errorf("got %+v, want %d to %d, judgement %v, missing %q", g, tt.low, tt.high, tt.judge, tt.missing)
			}
		})
	}
}
