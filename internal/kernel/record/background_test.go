package record

import (
	"encoding/csv"
	"os"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/foot"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/term"
	"tengram/internal/kernel/when"
	"tengram/internal/kernel/wound"
	"tengram/internal/testdata"
)

func day(s string) when.Day {
	d, err := when.ParseDay(s)
	if err != nil {
		panic(err)
	}
	return d
}

func at(s string) when.Moment {
	if s == "" {
		return when.Moment{}
	}
	return when.MustMoment(s)
}

func icd(code string) term.Code    { return term.New("http://hl7.org/fhir/sid/icd-10-cm", code) }
func snomed(code string) term.Code { return term.New("http://snomed.info/sct", code) }
func loinc(code string) term.Code  { return term.New("http://loinc.org", code) }

// condition is an active condition on the problem list.
func condition(start string, codes ...term.Code) Fact {
	return Fact{Kind: Condition, Codes: codes, Start: at(start), Ended: known.No}
}

func background(on string, facts ...Fact) exam.Background {
	r := Record{Facts: facts}
	return r.Background(day(on))
}

// items lists what a background says yes to, with what it rests on.
func items(bg exam.Background) map[string]string {
	out := map[string]string{}
	for name, item := range map[string]exam.Item{
		"ulcer history": bg.UlcerHistory, "open ulcer": bg.OpenUlcer, "amputation": bg.Amputation,
		"charcot": bg.CharcotHistory, "revascularised": bg.Revascularised, "pad": bg.PAD,
		"neuropathy": bg.Neuropathy, "retinopathy": bg.Retinopathy, "low vision": bg.LowVision,
		"deformity": bg.Deformity, "kidney failure": bg.KidneyFailure, "dialysis": bg.Dialysis,
		"transplant": bg.Transplant, "egfr below 30": bg.EGFRBelow30, "smoker": bg.Smoker,
	} {
		switch item.Is {
		case known.Yes:
			out[name] = item.From
		case known.No:
			out[name] = "NO" // the record can only say yes
		}
	}
	return out
}

func wantItems(t *testing.T, bg exam.Background, want map[string]string) {
	t.Helper()
	if d := cmp.Diff(want, items(bg)); d != "" {
		t.Error(d)
	}
}

// Factors of codes/icd10cm-foot-risk.csv (2021 order file) and what each means
// here; a factor that is not named means nothing.
var factorMeans = map[string]meaning{
	"diabetes": meansDiabetes, "diabetes_remission": meansDiabetes,
	"neuropathy": meansNeuropathy, "neuropathy_lops_likely": meansNeuropathy,
	"pad": meansPAD, "pad_gangrene": meansPAD, "pad_severe": meansPAD, "pad_ulcer": meansPAD,
	"charcot": meansCharcot, "foot_ulcer_active": meansUlcer, "foot_ulcer_history": meansUlcerHistory,
	"retinopathy": meansRetinopathy, "visual_impairment": meansLowVision, "deformity": meansDeformity,
	"amputation_toe": meansAmputation, "amputation_foot": meansAmputation, "amputation_ankle": meansAmputation, "amputation_major": meansAmputation,
	"revascularisation": meansRevascularised, "eskd": meansKidneyFailure, "ckd_5": meansKidneyFailure,
	"dialysis": meansDialysis, "kidney_transplant": meansTransplant,
	"smoking_current": meansSmoker, "smoking_past": meansPastSmoker,
}

func readCSV(t *testing.T, path string) []map[string]string {
	t.Helper()
	f, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var out []map[string]string
	for _, row := range rows[1:] {
		m := map[string]string{}
		for i, name := range rows[0] {
			m[name] = row[i]
		}
		out = append(out, m)
	}
	return out
}

func TestEveryCodeOfTheFootRiskTableMeansItsRiskFactor(t *testing.T) {
	const also = meansDiabetes | meansEGFRBelow30 | meansKidneyFailure
	for _, row := range readCSV(t, testdata.Reference(t, "codes", "icd10cm-foot-risk.csv")) {
		code, factor := row["code"], row["risk_factor"]
		got, _ := meaningOf(icd(code))
		if code == "E11.A" || strings.HasPrefix(code, "E10.A") {
			got, _ = meaningOf(icd(code + "0"))
		}
		if strings.HasSuffix(code, ".") {
			got, _ = meaningOf(icd(code + "9"))
		}
		want := factorMeans[factor]
		if factor == "neuropathy_other" && code != "G57" {
			want = meansNeuropathy // many nerves, or of unknown kind; G57 is one nerve
		}
		if strings.HasPrefix(code, "I70.") && code >= "I70.3" && code <= "I70.7" {
			want |= meansRevascularised // note of the row: implies earlier revascularisation
		}
		if got.means&^also != want&^also || want&also&^got.means != 0 {
			t.Errorf("%s (%s): means %b, want %b", code, factor, got.means, want)
		}
	}
}

func TestTheSideReadFromACodeIsThatOfItsOfficialTitle(t *testing.T) {
	checked := 0
	want := map[string]sides{"right": onRight, "left": onLeft, "bilateral": onBoth, "unspecified": 0}
	for _, row := range readCSV(t, testdata.Shared(t, "icd10cm", "icd10cm_foot.csv")) {
		says, ok := meaningOf(icd(row["code"]))
		side, given := want[row["side_from_title"]]
		if row["billable"] != "1" || !ok || !given || says.sideAt == 0 && says.sides == 0 {
			continue
		}
		checked++
		if says.sides != side {
			t.Errorf("%s %s: side %b, want %b", row["code"], row["title"], says.sides, side)
		}
	}
	if checked < 100 {
		t.Errorf("only %d codes with a side were compared", checked)
	}
}

// measures-and-standards section 3.4.
func TestPublishedCheckCasesOfCodes(t *testing.T) {
	t.Run("E1142 is neuropathy of type 2 diabetes", func(t *testing.T) {
		bg := background("2025-01-10", condition("2020-03-01", icd("E1142")))
		wantItems(t, bg, map[string]string{"neuropathy": "E11.42, 2020-03-01"})
		if bg.DiabetesYears != known.Value(4) {
			t.Errorf("diabetes years %v, want 4", bg.DiabetesYears)
		}
	})
	t.Run("E11.621 with L97.512 is an active ulcer of the right foot", func(t *testing.T) {
		wantItems(t, background("2025-01-10", condition("2025-01-10", icd("E11.621"), icd("L97.512"))),
			map[string]string{"open ulcer": "L97.512, 2025-01-10"})
		if says, _ := meaningOf(icd("L97.512")); says.sides != onRight {
			t.Errorf("sides %b, want right", says.sides)
		}
	})
	t.Run("E11.9 with Z86.31 is a past ulcer, side unknown", func(t *testing.T) {
		wantItems(t, background("2025-01-10", condition("", icd("E11.9")), condition("2019-05-02", icd("Z86.31"))),
			map[string]string{"ulcer history": "Z86.31, 2019-05-02"})
	})
	t.Run("Z89.422 is other toes of the left foot", func(t *testing.T) {
		bg := background("2025-01-10", condition("2018", icd("Z89.422")))
		wantItems(t, bg, map[string]string{"amputation": "Z89.422, 2018"})
		if want := [2]foot.Loss{foot.Left: {Level: foot.ToesOnly}}; bg.Loss != want {
			t.Errorf("loss %+v, want %+v", bg.Loss, want)
		}
	})
	t.Run("I70.235 is artery disease and an ulcer, right", func(t *testing.T) {
		wantItems(t, background("2025-01-10", condition("2025-01-10", icd("I70.235"))),
			map[string]string{"pad": "I70.235, 2025-01-10", "open ulcer": "I70.235, 2025-01-10"})
		if says, _ := meaningOf(icd("I70.235")); says.sides != onRight {
			t.Errorf("sides %b, want right", says.sides)
		}
	})
	t.Run("F17.211 in remission is not smoking now", func(t *testing.T) {
		wantItems(t, background("2025-01-10", condition("2020-01-01", icd("F17.211"))), map[string]string{})
	})
	t.Run("M21.611 is a deformity, right", func(t *testing.T) {
		wantItems(t, background("2025-01-10", condition("2020-01-01", icd("M21.611"))), map[string]string{"deformity": "M21.611, 2020-01-01"})
		if says, _ := meaningOf(icd("M21.611")); says.sides != onRight {
			t.Errorf("sides %b, want right", says.sides)
		}
	})
	t.Run("O24.410 is no diabetes", func(t *testing.T) {
		if bg := background("2025-01-10", condition("2020-01-01", icd("O24.410"))); bg.DiabetesYears.Known() {
			t.Errorf("diabetes years %v, want none", bg.DiabetesYears)
		}
	})
	t.Run("E09.42 is neuropathy of drug-induced diabetes", func(t *testing.T) {
		wantItems(t, background("2025-01-10", condition("2020-01-01", icd("E09.42"))), map[string]string{"neuropathy": "E09.42, 2020-01-01"})
	})
	t.Run("E11 alone and Z51.5 say nothing of the foot", func(t *testing.T) {
		wantItems(t, background("2025-01-10", condition("2020-01-01", icd("E11"), icd("Z51.5"))), map[string]string{})
	})
}

func TestOnlyWhatStandsOnTheDayCounts(t *testing.T) {
	past := condition("2019-05-02", icd("Z86.31"))
	change := func(do func(*Fact)) Fact { f := past; do(&f); return f }
	for _, tc := range []struct {
		name string
		fact Fact
		yes  bool
	}{
		{"a fact that stands counts", past, true},
		{"a refuted fact does not", change(func(f *Fact) { f.Standing = Void }), false},
		{"what was not done does not", change(func(f *Fact) { f.Standing = NotDone }), false},
		{"what is planned does not", change(func(f *Fact) { f.Standing = Planned }), false},
		{"a preliminary fact does not", change(func(f *Fact) { f.Standing = Preliminary }), false},
		{"a fact of the day itself counts", change(func(f *Fact) { f.Start = at("2025-01-10") }), true},
		{"a fact of the next day does not", change(func(f *Fact) { f.Start = at("2025-01-11") }), false},
		{"a fact of the running year counts", change(func(f *Fact) { f.Start = at("2025") }), true},
		{"a fact of the next month does not", change(func(f *Fact) { f.Start = at("2025-02") }), false},
		{"a fact without a date counts", change(func(f *Fact) { f.Start = when.Moment{} }), true},
		{"a history counts also when its entry has ended", change(func(f *Fact) { f.Ended, f.End = known.Yes, at("2020-01-01") }), true},
		{"an order is no history", change(func(f *Fact) { f.Kind = Order }), false},
		{"a diagnosis of a visit counts", change(func(f *Fact) { f.Kind = Encounter }), true},
	} {
		t.Run(tc.name, func(t *testing.T) {
			if got := background("2025-01-10", tc.fact).UlcerHistory.Is == known.Yes; got != tc.yes {
				t.Errorf("ulcer history %v, want %v", got, tc.yes)
			}
		})
	}
}

func TestWhatAPersonHasNowEndsWithItsCondition(t *testing.T) {
	ended := func(code term.Code, end string) Fact {
		return Fact{Kind: Condition, Codes: []term.Code{code}, Start: at("2015-01-01"), End: at(end), Ended: known.Yes}
	}
	for _, tc := range []struct {
		name string
		fact Fact
		want map[string]string
	}{
		{"ended kidney failure is silent", ended(icd("N18.6"), "2020-01-01"), map[string]string{}},
		{"kidney failure that ends later is there", ended(icd("N18.6"), "2025-06-01"),
			map[string]string{"kidney failure": "N18.6, 2015-01-01", "egfr below 30": "N18.6, 2015-01-01"}},
		{"kidney failure that ends some time this year may still be there", ended(icd("N18.6"), "2025"),
			map[string]string{"kidney failure": "N18.6, 2015-01-01", "egfr below 30": "N18.6, 2015-01-01"}},
		{"an ulcer that ended is a past ulcer", ended(icd("E11.621"), "2016-01-01"), map[string]string{"ulcer history": "E11.621, 2015-01-01"}},
		{"a Charcot foot that ended is a past Charcot foot", ended(icd("M14.672"), "2016-01-01"), map[string]string{"charcot": "M14.672, 2015-01-01"}},
		{"an ended amputation entry is still an amputation", ended(icd("Z89.419"), "2016-01-01"), map[string]string{"amputation": "Z89.419, 2015-01-01"}},
		{"an older ulcer that never ended is both", condition("2024-12-01", icd("L97.421")),
			map[string]string{"ulcer history": "L97.421, 2024-12-01", "open ulcer": "L97.421, 2024-12-01"}},
		{"dialysis is kidney failure too", condition("2024-12-01", icd("Z99.2")),
			map[string]string{"dialysis": "Z99.2, 2024-12-01", "kidney failure": "Z99.2, 2024-12-01"}},
		{"a transplant is a fact of its own", condition("2024-12-01", icd("Z94.0")), map[string]string{"transplant": "Z94.0, 2024-12-01"}},
		{"a dialysis session of 92 days ago is dialysis", Fact{Kind: Procedure, Codes: []term.Code{snomed("265764009")}, Start: at("2024-10-10")},
			map[string]string{"dialysis": "SNOMED 265764009, 2024-10-10"}},
		{"a dialysis session of 93 days ago is silent", Fact{Kind: Procedure, Codes: []term.Code{snomed("265764009")}, Start: at("2024-10-09")}, map[string]string{}},
	} {
		t.Run(tc.name, func(t *testing.T) { wantItems(t, background("2025-01-10", tc.fact), tc.want) })
	}
}

func TestTheNewestSmokingStatusCounts(t *testing.T) {
	status := func(on, value string) Fact {
		return Fact{Kind: Observation, Codes: []term.Code{loinc("72166-2")}, Start: at(on), Value: Value{Given: true, Codes: []term.Code{snomed(value)}}}
	}
	const daily, ex, never = "449868002", "8517006", "266919005"
	for _, tc := range []struct {
		name  string
		facts []Fact
		want  string
	}{
		{"smokes daily", []Fact{status("2024-01-01", daily)}, "SNOMED 449868002, 2024-01-01"},
		{"stopped since", []Fact{status("2023-01-01", daily), status("2024-01-01", ex)}, ""},
		{"started again", []Fact{status("2023-01-01", ex), status("2024-01-01", daily)}, "SNOMED 449868002, 2024-01-01"},
		{"never smoked", []Fact{status("2024-01-01", never)}, ""},
		{"an older diagnosis gives way to a newer status", []Fact{condition("2010-01-01", icd("F17.210")), status("2024-01-01", ex)}, ""},
		{"both on one day counts as smoking", []Fact{status("2024-01-01", ex), status("2024-01-01", daily)}, "SNOMED 449868002, 2024-01-01"},
		{"chewing counts", []Fact{condition("2020-01-01", icd("F17.220"))}, "F17.220, 2020-01-01"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			if got := background("2025-01-10", tc.facts...).Smoker; got.From != tc.want || (got.Is == known.Yes) != (tc.want != "") {
				t.Errorf("got %+v, want %q", got, tc.want)
			}
		})
	}
}

func TestTheNewestKidneyFunctionCounts(t *testing.T) {
	egfr := func(on, number, comparator, unit string) Fact {
		return Fact{Kind: Observation, Codes: []term.Code{loinc("33914-3")}, Start: at(on), Value: Value{Given: true, Number: number, Comparator: comparator, Unit: unit}}
	}
	const unit = "mL/min/{1.73_m2}"
	for _, tc := range []struct {
		name  string
		facts []Fact
		want  string
	}{
		{"29.9 is below 30", []Fact{egfr("2024-01-01", "29.9", "", unit)}, "eGFR 29.9, 2024-01-01"},
		{"30 is not", []Fact{egfr("2024-01-01", "30", "", unit)}, ""},
		{"the newer value counts", []Fact{egfr("2023-01-01", "25", "", unit), egfr("2024-01-01", "41", "", unit)}, ""},
		{"less than 15 is below", []Fact{egfr("2024-01-01", "15", "<", unit)}, "eGFR <15, 2024-01-01"},
		{"less than 60 leaves the older value standing", []Fact{egfr("2023-01-01", "25", "", unit), egfr("2024-01-01", "60", "<", unit)}, "eGFR 25, 2023-01-01"},
		{"more than 60 is above", []Fact{egfr("2023-01-01", "25", "", unit), egfr("2024-01-01", "60", ">", unit)}, ""},
		{"another unit is not read", []Fact{egfr("2024-01-01", "0.4", "", "mL/s")}, ""},
		{"a value in words is not read", []Fact{egfr("2024-01-01", "low", "", unit)}, ""},
		{"stage 4 is below 30 where no value is newer", []Fact{condition("2024-01-01", icd("N18.4"))}, "N18.4, 2024-01-01"},
		{"stage 4 gives way to a newer value", []Fact{condition("2023-01-01", icd("N18.4")), egfr("2024-01-01", "41", "", unit)}, ""},
	} {
		t.Run(tc.name, func(t *testing.T) {
			if got := background("2025-01-10", tc.facts...).EGFRBelow30; got.From != tc.want || (got.Is == known.Yes) != (tc.want != "") {
				t.Errorf("got %+v, want %q", got, tc.want)
			}
		})
	}
}

func signed(on string, change func(*exam.Draft)) SignedExam {
	d := exam.Draft{ID: on, At: at(on + "T09:00:00Z")}
	change(&d)
	return SignedExam{Exam: exam.Exam{Draft: d}}
}

func TestLossesJoinCodesAndExams(t *testing.T) {
	greatToe := condition("2020-01-01", icd("Z89.412"))
	belowKnee := condition("2024-06-01", icd("Z89.512"))
	toes := foot.Loss{Level: foot.ToesOnly, Toes: foot.ToesOf(2, 3)}
	seen := func(on string, l foot.Loss) SignedExam {
		return signed(on, func(d *exam.Draft) { d.Left.Loss = l })
	}
	bySite := condition("2020-01-01", snomed("308684007"))
	bySite.Sites = []term.Code{snomed("7771000")}
	for _, tc := range []struct {
		name  string
		facts []Fact
		exams []SignedExam
		want  foot.Loss
	}{
		{"nothing said is not recorded", nil, nil, foot.Loss{}},
		{"a great toe by code", []Fact{greatToe}, nil, foot.Loss{Level: foot.ToesOnly, Toes: foot.ToesOf(1)}},
		{"a great toe whose side stands in the body site", []Fact{bySite}, nil, foot.Loss{Level: foot.ToesOnly, Toes: foot.ToesOf(1)}},
		{"a great toe and other toes by code", []Fact{greatToe, condition("2021-01-01", icd("Z89.422"))}, nil, foot.Loss{Level: foot.ToesOnly, Toes: foot.ToesOf(1)}},
		{"the higher of two codes", []Fact{greatToe, belowKnee}, nil, foot.Loss{Level: foot.BelowKnee}},
		{"a foot absent without a level is taken for its least", []Fact{condition("2020-01-01", icd("Z89.432"))}, nil, foot.Loss{Level: foot.Transmetatarsal}},
		{"an exam stands before an older code", []Fact{greatToe}, []SignedExam{seen("2023-01-01", toes)}, toes},
		{"an exam that saw a whole foot stands before an older code", []Fact{belowKnee}, []SignedExam{seen("2024-07-01", foot.Loss{Level: foot.Whole})}, foot.Loss{Level: foot.Whole}},
		{"a later code adds to an exam", []Fact{belowKnee}, []SignedExam{seen("2023-01-01", toes)}, foot.Loss{Level: foot.BelowKnee}},
		{"toes of an exam and a later code are joined", []Fact{condition("2024-01-01", icd("Z89.412"))}, []SignedExam{seen("2023-01-01", toes)}, foot.Loss{Level: foot.ToesOnly, Toes: foot.ToesOf(1, 2, 3)}},
		{"the newest exam counts", nil, []SignedExam{seen("2023-01-01", foot.Loss{Level: foot.Whole}), seen("2024-01-01", toes)}, toes},
		{"an exam of the same day does not count", nil, []SignedExam{seen("2025-01-10", toes)}, foot.Loss{}},
		{"a traumatic loss below the knee, subsequent encounter", []Fact{condition("2020-01-01", icd("S88.112D"))}, nil, foot.Loss{Level: foot.BelowKnee}},
	} {
		t.Run(tc.name, func(t *testing.T) {
			r := Record{Facts: tc.facts, Exams: tc.exams}
			bg := r.Background(day("2025-01-10"))
			if bg.Loss[foot.Left] != tc.want || !bg.Loss[foot.Right].IsZero() {
				t.Errorf("loss %+v, want left %+v", bg.Loss, tc.want)
			}
		})
	}
}

func TestEarlierExamsSpeakForThemselves(t *testing.T) {
	ulcer := wound.Ulcer{ID: "u1", Side: foot.Left, Place: foot.Heel}
	healed := ulcer
	healed.Healed = known.AnswerYes
	r := Record{Exams: []SignedExam{
		signed("2023-05-01", func(d *exam.Draft) {
			d.Ask = exam.Ask{CharcotHistory: known.AnswerYes, LowVision: known.AnswerYes, PADDiagnosed: known.AnswerNo, Smoking: exam.CurrentSmoker, Dialysis: known.AnswerYes}
			d.Ulcers = []wound.Ulcer{ulcer}
		}),
		signed("2024-05-01", func(d *exam.Draft) {
			d.Ask = exam.Ask{CharcotHistory: known.AnswerNo, LowVision: known.AnswerNo, Smoking: exam.PastSmoker}
			d.Ulcers = []wound.Ulcer{healed}
			d.Right.Look.Wound, d.Left.Look.Wound = known.Normal, known.Normal
			d.Right.Loss = foot.Loss{Level: foot.ToesOnly, Toes: foot.ToesOf(5)}
		}),
		signed("2025-01-10", func(d *exam.Draft) { d.Ask.Retinopathy = known.AnswerYes }),
	}}
	bg := r.Background(day("2025-01-10"))
	wantItems(t, bg, map[string]string{
		"ulcer history": "an ulcer at an exam, 2024-05-01",
		"charcot":       "told at an exam, 2023-05-01",
		"dialysis":      "told at an exam, 2023-05-01",
		"amputation":    "seen at an exam, 2024-05-01",
	})
	want := []exam.PastUlcer{{On: "2023-05-01", Ulcer: ulcer}, {On: "2024-05-01", Ulcer: healed}}
	if d := cmp.Diff(want, bg.Ulcers, cmp.AllowUnexported(when.Moment{})); d != "" {
		t.Error(d)
	}
	before := r.Background(day("2024-05-01"))
	if before.OpenUlcer.From != "open at an exam, 2023-05-01" || before.Smoker.Is != known.Yes {
		t.Errorf("a year earlier the ulcer was open and the person smoked: %+v", items(before))
	}
}

func TestAgeIsWhatIsSurelyReached(t *testing.T) {
	for _, tc := range []struct {
		birth string
		want  int
	}{
		{"", 0}, {"1960-01-10", 65}, {"1960-01-11", 64}, {"1960", 64}, {"1960-01", 64}, {"1959", 65}, {"2026-01-01", 0},
	} {
		r := Record{Person: Person{Birth: at(tc.birth)}}
		if got := r.Background(day("2025-01-10")).Age; got != tc.want {
			t.Errorf("born %q: age %d, want %d", tc.birth, got, tc.want)
		}
	}
}

func drawFact(t *rapid.T) Fact {
	codes := []term.Code{icd("Z86.31"), icd("E11.621"), icd("Z89.411"), icd("Z89.512"), icd("N18.6"), icd("E11.51"), icd("F17.210"), icd("Z87.891"), snomed("161665007"), icd("M21.611")}
	return Fact{
		Kind:     rapid.SampledFrom([]Kind{Condition, Condition, Encounter, Procedure, Order}).Draw(t, "kind"),
		Codes:    []term.Code{rapid.SampledFrom(codes).Draw(t, "code")},
		Standing: rapid.SampledFrom([]Standing{Stands, Stands, Stands, Void}).Draw(t, "standing"),
		Start:    at(rapid.SampledFrom([]string{"", "2015", "2020-03", "2024-01-01", "2025-01-10", "2026-01-01"}).Draw(t, "start")),
		End:      at(rapid.SampledFrom([]string{"", "", "2024-06-01"}).Draw(t, "end")),
		Ended:    rapid.SampledFrom([]known.Tri{known.Unknown, known.No, known.Yes}).Draw(t, "ended"),
	}
}

func TestTheOrderOfFactsChangesNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		facts := rapid.SliceOfN(rapid.Custom(drawFact), 0, 8).Draw(t, "facts")
		shuffled := rapid.Permutation(facts).Draw(t, "shuffled")
		if d := cmp.Diff(background("2025-01-10", facts...), background("2025-01-10", shuffled...)); d != "" {
			t.Fatal(d)
		}
	})
}

func TestAFurtherConditionNeverTakesAHistoryAway(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		facts := rapid.SliceOfN(rapid.Custom(drawFact), 0, 6).Draw(t, "facts")
		more := append(facts[:len(facts):len(facts)], drawFact(t))
		was, is := items(background("2025-01-10", facts...)), items(background("2025-01-10", more...))
		for name := range was {
			if _, ok := is[name]; !ok && name != "smoker" {
				t.Fatalf("%s was lost", name)
			}
		}
	})
}

var sink exam.Background

func BenchmarkBackgroundOfThirtyFacts(b *testing.B) {
	var r Record
	for _, code := range []string{"E11.42", "I10", "E11.9", "Z86.31", "Z89.411", "J06.9"} {
		for range 5 {
			r.Facts = append(r.Facts, condition("2020-01-01", icd(code)))
		}
	}
	b.ReportAllocs()
	for b.Loop() {
		sink = r.Background(day("2025-01-10"))
	}
}
