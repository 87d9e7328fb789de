package demo

import (
	"bytes"
	"encoding/json"
	"fmt"

	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/foot"
	"tengram/internal/kernel/heat"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/neuro"
	"tengram/internal/kernel/perfusion"
	"tengram/internal/kernel/when"
	"tengram/internal/kernel/wound"
)

// Example is one exam document that shows one situation, for documentation and
// for tests of whatever reads or judges exams.
type Example struct {
	// Name is the name of its file without the ending, such as
	// "01-wholly-normal".
	Name string
	// Shows says in one sentence what the document is about.
	Shows string
	Draft exam.Draft
}

// File is the document as it stands in docs/examples: indented, one line feed
// at the end.
func (e Example) File() ([]byte, error) {
	text, err := json.MarshalIndent(e.Draft, "", "  ")
	if err != nil {
		return nil, fmt.Errorf("write example %s: %w", e.Name, err)
	}
	return append(text, '\n'), nil
}

// ExamplesIndex is the table of the examples, in Markdown, as it stands in
// docs/examples/README.md.
func ExamplesIndex() []byte {
	var b bytes.Buffer
	b.WriteString("# Example exams\n\n" +
		"Twenty exam documents about people who do not exist. Each is written by\n" +
		"`internal/demo` and checked against `docs/schema/exam.schema.json` by its tests; to\n" +
		"change one, change the code and run `go test ./internal/demo -update`.\n\n" +
		"| document | shows |\n| --- | --- |\n")
	for _, e := range Examples() {
		fmt.Fprintf(&b, "| [%s](%s.json) | %s |\n", e.Name, e.Name, e.Shows)
	}
	return b.Bytes()
}

// Examples lists the twenty example exams. Each call makes new documents.
func Examples() []Example {
	list := []struct {
		name, shows string
		change      func(*exam.Draft)
	}{
		{"wholly-normal", "Both feet normal, everything recorded.", func(*exam.Draft) {}},
		{"lops-one-site", "The monofilament is not felt at one site of the right foot.", lopsOneSite},
		{"weak-pulse", "One foot pulse is weak, no symptoms, no pressures yet.", weakPulse},
		{"claudication-abi", "Calf pain on walking; ankle and toe pressures are low on the right.", claudication},
		{"stiff-arteries", "The ankle arteries cannot be compressed, so only the toe pressures speak.", stiffArteries},
		{"hallux-valgus", "A bunion on the left and nothing else.", halluxValgus},
		{"callus-with-lops", "Callus under the first metatarsal head of a foot without protective sensation.", callusWithLOPS},
		{"past-ulcer", "A healed ulcer in the past; sensation and pulses are normal.", pastUlcer},
		{"toe-amputation", "The right great toe is gone, so its site is absent and not failed; another site is not felt.", toeAmputation},
		{"below-knee", "The left leg is amputated below the knee; one foot is left to examine.", belowKnee},
		{"both-feet-gone", "Both legs are amputated below the knee: no foot is left to test.", bothFeetGone},
		{"dialysis", "Kidney failure on dialysis, with loss of protective sensation.", dialysis},
		{"incomplete", "Skin of both feet and the pulses of one: the category stays an interval.", incomplete},
		{"refused-monofilament", "The nerve tests were refused; everything else is normal.", refusedFilament},
		{"touch-only", "No monofilament at hand: light touch of the toe tips, not felt at two of them.", touchOnly},
		{"ulcer-clean", "A small, clean, shallow ulcer that is new today.", ulcerClean},
		{"ulcer-infected", "An ulcer with redness beyond 2 cm, swelling and pus; no fever.", ulcerInfected},
		{"charcot-suspected", "A warm, swollen, red foot without a wound and without sensation.", charcotSuspected},
		{"dry-gangrene", "One black, dry toe, with pain at rest and absent pulses.", dryGangrene},
		{"ulcer-ambulance", "An ulcer with fever, shivering and redness moving up the leg.", ulcerAmbulance},
	}
	examples := make([]Example, len(list))
	for i, l := range list {
		d := normalExam(i + 1)
		l.change(&d)
		examples[i] = Example{Name: fmt.Sprintf("%02d-%s", i+1, l.name), Shows: l.shows, Draft: d}
	}
	return examples
}

func normalExam(n int) exam.Draft {
	d := exam.Draft{
		Schema:   exam.SchemaID,
		ID:       fmt.Sprintf("00000000-0000-4000-8000-%012d", n),
		Revision: 1,
		Patient:  fmt.Sprintf("tg-example-%02d", n),
		At:       when.MustMoment(when.Date(2026, 4, 6).AddWorkingDays(n-1).String() + "T09:30:00-05:00"),
		Examiner: exam.Person{ID: "d-oakes", Name: "Dana Oakes", Role: "nurse"},
		Protocol: neuro.FiveSites,
		Ask:      nothingAsked,
		Footwear: exam.Footwear{Suitable: known.Normal, Sized: known.AnswerYes},
		Teach:    exam.Teach{Given: known.AnswerYes, TaughtBack: known.AnswerYes, Language: "en"},
		Seconds:  exam.Seconds{Ask: 48, Look: 41, Feel: 26, Test: 47, Teach: 15},
	}
	d.Right, d.Left = normalFoot(d.Protocol), normalFoot(d.Protocol)
	return d
}

// nothingAsked is every question put and answered without a finding.
var nothingAsked = exam.Ask{
	UlcerHistory: known.AnswerNo, AmputationHistory: known.AnswerNo, CharcotHistory: known.AnswerNo,
	Revascularised: known.AnswerNo, PADDiagnosed: known.AnswerNo, Retinopathy: known.AnswerNo,
	LowVision: known.AnswerNo, KidneyDisease: known.AnswerNo, KidneyFailure: known.AnswerNo,
	Dialysis: known.AnswerNo, Transplant: known.AnswerNo, Smoking: exam.NeverSmoked,
	GlucoseAboveTarget: known.AnswerNo, Numbness: known.AnswerNo, Pain: known.AnswerNo,
	Claudication: known.AnswerNo, RestPain: known.AnswerNo, CannotReach: known.AnswerNo,
	Helper: known.AnswerYes, DailyCheck: known.AnswerYes, Barefoot: known.AnswerNo,
	FootSpecialist: known.AnswerNo, VenousDisease: known.AnswerNo, OtherNeuropathy: known.AnswerNo,
}

// normalFoot is a whole foot with every part of the exam done and normal.
func normalFoot(p neuro.Protocol) exam.Foot {
	f := exam.Foot{
		Loss: foot.Loss{Level: foot.Whole},
		Look: exam.Look{
			Skin: known.Normal, Wound: known.Normal, Gangrene: wound.NoGangrene, Nails: known.Normal,
			Shape: known.Normal, Mobility: known.Normal, Wasting: known.Normal, Redness: known.AnswerNo,
		},
		Feel: exam.Feel{
			Arteries: perfusion.Leg{DP: perfusion.PulsePresent, PT: perfusion.PulsePresent, CapillaryRefill: known.Normal},
			Oedema:   known.Normal, Warm: known.AnswerNo, Swollen: known.AnswerNo, SuddenlyCold: known.AnswerNo,
		},
		Test: neuro.Foot{Vibration: known.Normal},
	}
	for _, s := range p.Sites() {
		f.Test.Filament[s] = known.Normal
	}
	return f
}

func lopsOneSite(d *exam.Draft) {
	d.Ask.Numbness = known.AnswerYes
	d.Right.Test.Filament[neuro.SiteMTH1] = known.Abnormal
	d.Right.Test.Vibration = known.Abnormal
}

// numb takes the feeling of both forefeet.
func numb(d *exam.Draft) {
	d.Ask.Numbness = known.AnswerYes
	for _, s := range foot.Sides {
		t := &d.Foot(s).Test
		t.Filament[neuro.SiteHallux], t.Filament[neuro.SiteMTH1], t.Vibration = known.Abnormal, known.Abnormal, known.Abnormal
	}
}

func weakPulse(d *exam.Draft) { d.Left.Feel.Arteries.DP = perfusion.PulseWeak }

func claudication(d *exam.Draft) {
	d.Ask.Claudication, d.Ask.Smoking = known.AnswerYes, exam.CurrentSmoker
	d.Arms = perfusion.Arms{Right: known.Value(140), Left: known.Value(136)}
	d.Right.Feel.Arteries = perfusion.Leg{
		DP: perfusion.PulseAbsent, PT: perfusion.PulseWeak, CapillaryRefill: known.Normal,
		AnkleDP: known.Value(90), AnklePT: known.Value(98), ToePressure: known.Value(64), Waveform: perfusion.Monophasic,
	}
	a := &d.Left.Feel.Arteries
	a.AnkleDP, a.AnklePT, a.ToePressure, a.Waveform = known.Value(146), known.Value(150), known.Value(112), perfusion.Triphasic
}

func stiffArteries(d *exam.Draft) {
	d.Ask.KidneyDisease = known.AnswerYes
	d.Arms = perfusion.Arms{Right: known.Value(144), Left: known.Value(148)}
	for _, s := range foot.Sides {
		a := &d.Foot(s).Feel.Arteries
		a.AnkleDP, a.AnklePT = known.Reading{State: known.TooHigh}, known.Value(228)
		a.Waveform = perfusion.Biphasic
	}
	d.Right.Feel.Arteries.ToePressure, d.Left.Feel.Arteries.ToePressure = known.Value(88), known.Value(116)
}

func halluxValgus(d *exam.Draft) {
	d.Left.Look.Shape, d.Left.Look.Deformities = known.Abnormal, []exam.Deformity{exam.HalluxValgus}
}

func callusWithLOPS(d *exam.Draft) {
	numb(d)
	d.Right.Look.Skin = known.Abnormal
	d.Right.Look.Lesions = []exam.Lesion{{Place: foot.MTH1, Kind: exam.Callus}}
}

func pastUlcer(d *exam.Draft) {
	d.Ask.UlcerHistory = known.AnswerYes
	d.Note = "Ulcer under the left heel about six years ago, healed after ten weeks."
}

func toeAmputation(d *exam.Draft) {
	d.Ask.AmputationHistory, d.Ask.Numbness = known.AnswerYes, known.AnswerYes
	f := &d.Right
	f.Loss = foot.Loss{Level: foot.ToesOnly, Toes: foot.ToesOf(1)}
	f.Test.Filament[neuro.SiteHallux], f.Test.Filament[neuro.SiteMTH1] = known.Absent, known.Abnormal
	f.Test.Vibration = known.Absent
}

// withoutFoot leaves nothing to examine on a side.
func withoutFoot(d *exam.Draft, s foot.Side, level foot.Level) {
	d.Ask.AmputationHistory = known.AnswerYes
	*d.Foot(s) = exam.Foot{Loss: foot.Loss{Level: level}}
}

func belowKnee(d *exam.Draft) {
	numb(d)
	withoutFoot(d, foot.Left, foot.BelowKnee)
	d.Right.Feel.Arteries.DP = perfusion.PulseWeak
	d.Footwear.Prescribed = known.AnswerYes
}

func bothFeetGone(d *exam.Draft) {
	withoutFoot(d, foot.Right, foot.BelowKnee)
	withoutFoot(d, foot.Left, foot.BelowKnee)
	d.Protocol, d.Footwear = neuro.NoProtocol, exam.Footwear{}
	d.Note = "Both stumps looked at: skin whole, no pressure marks from the prostheses."
}

func dialysis(d *exam.Draft) {
	numb(d)
	d.Ask.KidneyDisease, d.Ask.KidneyFailure, d.Ask.Dialysis = known.AnswerYes, known.AnswerYes, known.AnswerYes
	for _, s := range foot.Sides {
		f := d.Foot(s)
		f.Look.Skin = known.Abnormal
		f.Look.Lesions = []exam.Lesion{{Place: foot.Heel, Kind: exam.DrySkin}}
	}
}

func incomplete(d *exam.Draft) {
	d.Ask = exam.Ask{UlcerHistory: known.AnswerNo, AmputationHistory: known.AnswerNo, KidneyFailure: known.AnswerNo}
	for _, s := range foot.Sides {
		f := d.Foot(s)
		f.Look = exam.Look{Skin: known.Normal, Wound: known.Normal, Shape: known.Normal}
		f.Test = neuro.Foot{}
		f.Feel = exam.Feel{}
	}
	d.Right.Feel.Arteries = perfusion.Leg{DP: perfusion.PulsePresent, PT: perfusion.PulsePresent}
	d.Footwear, d.Teach = exam.Footwear{}, exam.Teach{}
	d.Seconds = exam.Seconds{Ask: 12, Look: 30, Feel: 9}
	d.Note = "Stopped: called away."
}

func refusedFilament(d *exam.Draft) {
	for _, s := range foot.Sides {
		t := &d.Foot(s).Test
		for _, site := range d.Protocol.Sites() {
			t.Filament[site] = known.Refused
		}
		t.Vibration = known.Refused
	}
}

func touchOnly(d *exam.Draft) {
	d.Protocol = neuro.NoProtocol
	felt := neuro.Touch{Toe1: known.Normal, Toe3: known.Normal, Toe5: known.Normal}
	d.Right.Test, d.Left.Test = neuro.Foot{Touch: felt}, neuro.Foot{Touch: felt}
	d.Right.Test.Touch.Toe1, d.Left.Test.Touch.Toe1 = known.Abnormal, known.Abnormal
}

// ulcerated puts an ulcer on the right sole of a foot without feeling, with
// every sign of infection looked for and absent.
func ulcerated(d *exam.Draft, size wound.Size, depth wound.Depth) *wound.Ulcer {
	numb(d)
	d.Right.Look.Skin, d.Right.Look.Wound = known.Abnormal, known.Abnormal
	d.Ulcers = []wound.Ulcer{{
		ID: "u1", Side: foot.Right, Place: foot.MTH1, Size: size, Depth: depth,
		ProbeToBone: known.AnswerNo,
		Infection: wound.Infection{
			Swelling: known.AnswerNo, ErythemaMM: known.Value(0), Tenderness: known.AnswerNo, Warmth: known.AnswerNo,
			Pus: known.AnswerNo, Deep: known.AnswerNo, Bone: known.AnswerNo, Spreading: known.AnswerNo, Crepitus: known.AnswerNo,
		},
	}}
	d.Vitals = wound.Systemic{
		TemperatureC: known.TenthsOf(367), HeartRate: known.Value(74), RespiratoryRate: known.Value(14), Unwell: known.AnswerNo,
	}
	return &d.Ulcers[0]
}

func ulcerClean(d *exam.Draft) {
	u := ulcerated(d, wound.Size{LengthMM: known.Value(8), WidthMM: known.Value(6), Method: wound.Ellipse}, wound.SkinOnly)
	u.Since = when.MustMoment("2026-04-25")
}

func ulcerInfected(d *exam.Draft) {
	u := ulcerated(d, wound.Size{LengthMM: known.Value(22), WidthMM: known.Value(15), Method: wound.Ellipse}, wound.Subcutis)
	u.Since = when.MustMoment("2026-03")
	u.Infection.Swelling, u.Infection.Warmth, u.Infection.Pus = known.AnswerYes, known.AnswerYes, known.AnswerYes
	u.Infection.ErythemaMM = known.Value(26)
	d.Right.Look.Redness = known.AnswerYes
}

func charcotSuspected(d *exam.Draft) {
	numb(d)
	d.TemperatureUnit = heat.Celsius
	d.Right.Look.Redness = known.AnswerYes
	d.Right.Feel.Warm, d.Right.Feel.Swollen, d.Right.Feel.Oedema = known.AnswerYes, known.AnswerYes, known.Abnormal
	d.Right.Feel.Temperatures = heat.Temperatures{
		heat.SpotMTH1: known.TenthsOf(319), heat.SpotMTH3: known.TenthsOf(321), heat.SpotMidfoot: known.TenthsOf(338), heat.SpotHeel: known.TenthsOf(312),
	}
	d.Left.Feel.Temperatures = heat.Temperatures{
		heat.SpotMTH1: known.TenthsOf(304), heat.SpotMTH3: known.TenthsOf(305), heat.SpotMidfoot: known.TenthsOf(302), heat.SpotHeel: known.TenthsOf(303),
	}
	d.Note = "Twisted the foot on a kerb three weeks ago; little pain."
}

func dryGangrene(d *exam.Draft) {
	d.Ask.RestPain, d.Ask.RestPainNew = known.AnswerYes, known.AnswerNo
	d.Ask.Claudication, d.Ask.Smoking = known.AnswerYes, exam.CurrentSmoker
	f := &d.Left
	f.Look.Skin, f.Look.Gangrene = known.Abnormal, wound.ToeGangrene
	f.Look.Lesions = []exam.Lesion{{Place: foot.Toe3, Kind: exam.ColourChange, Note: "black and dry to the middle joint"}}
	f.Feel.Arteries = perfusion.Leg{DP: perfusion.PulseAbsent, PT: perfusion.PulseAbsent, CapillaryRefill: known.Abnormal, PostureColour: known.Abnormal}
}

func ulcerAmbulance(d *exam.Draft) {
	u := ulcerated(d, wound.Size{LengthMM: known.Value(31), WidthMM: known.Value(24), Method: wound.Ellipse}, wound.TendonOrMuscle)
	u.Since = when.MustMoment("2026-04-14")
	u.Infection = wound.Infection{
		Swelling: known.AnswerYes, ErythemaMM: known.Value(70), Tenderness: known.AnswerYes, Warmth: known.AnswerYes,
		Pus: known.AnswerYes, Deep: known.Unsure, Bone: known.Unsure, Spreading: known.AnswerYes, Crepitus: known.AnswerNo,
	}
	d.Vitals = wound.Systemic{
		TemperatureC: known.TenthsOf(389), HeartRate: known.Value(118), RespiratoryRate: known.Value(24), Unwell: known.AnswerYes,
	}
	d.Right.Look.Redness = known.AnswerYes
	d.Right.Feel.Warm, d.Right.Feel.Swollen = known.AnswerYes, known.AnswerYes
}
