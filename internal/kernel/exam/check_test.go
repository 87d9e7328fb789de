package exam

import (
	"encoding/json"
	"reflect"
	"strings"
	"testing"

	"tengram/internal/kernel/foot"
	"tengram/internal/kernel/heat"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/neuro"
	"tengram/internal/kernel/perfusion"
	"tengram/internal/kernel/when"
	"tengram/internal/kernel/wound"
)

// normal is an exam of two whole feet with every part of the measure done.
func normal() Draft {
	d := Draft{
		Schema: SchemaID, ID: "11111111-1111-4111-8111-111111111111", Revision: 1, Patient: "p1",
		At: when.MustMoment("2026-03-02T09:00:00-05:00"), Examiner: Person{Name: "Demo Nurse"}, Protocol: neuro.FourSites,
	}
	for _, s := range foot.Sides {
		f := d.Foot(s)
		f.Loss.Level = foot.Whole
		f.Look.Skin, f.Look.Wound, f.Look.Shape = known.Normal, known.Normal, known.Normal
		f.Feel.Arteries.DP, f.Feel.Arteries.PT = perfusion.PulsePresent, perfusion.PulsePresent
		for _, site := range d.Protocol.Sites() {
			f.Test.Filament[site] = known.Normal
		}
	}
	return d
}

func TestANormalExamHasNoProblemAndCountsWhole(t *testing.T) {
	d := normal()
	if _, ps := Check(d); len(ps) != 0 {
		t.Errorf("problems: %+v", ps)
	}
	if !d.Done().All() {
		t.Errorf("done: %+v", d.Done())
	}
}

// What Check refuses is our own list (contradictions, impossible numbers, parts
// that are not there); the ranges are common practice, no source.
func TestCheckNamesWhatIsWrongAtItsField(t *testing.T) {
	ulcer := wound.Ulcer{ID: "u1", Side: foot.Left, Place: foot.MTH1, Depth: wound.SkinOnly}
	rows := []struct {
		name, field string
		blocks      bool
		change      func(*Draft)
	}{
		{"another form of document", "schema", true, func(d *Draft) { d.Schema = "other/9" }},
		{"no person", "patient", true, func(d *Draft) { d.Patient = "" }},
		{"a day is not a time of exam", "at", true, func(d *Draft) { d.At = when.MustMoment("2026-03-02") }},
		{"nobody examined", "examiner", true, func(d *Draft) { d.Examiner = Person{} }},
		{"second revision without its base", "amends", true, func(d *Draft) { d.Revision = 2 }},
		{"first revision that amends", "amends", true, func(d *Draft) { d.Amends = &Amendment{Revision: 1, Reason: "x"} }},
		{"amendment without a reason", "amends.reason", true, func(d *Draft) { d.Revision, d.Amends = 2, &Amendment{Revision: 1} }},
		{"filament without a protocol", "protocol", true, func(d *Draft) { d.Protocol = 0 }},
		{"override without a reason", "override.reason", true, func(d *Draft) { d.Override = &Override{Category: "2"} }},
		{"no amputation, and a toe is gone", "ask.amputation-history", true, func(d *Draft) {
			d.Ask.AmputationHistory = known.AnswerNo
			d.Right.Loss = foot.Loss{Level: foot.ToesOnly, Toes: foot.ToesOf(5)}
		}},
		{"an amputation, and both feet are whole", "ask.amputation-history", false, func(d *Draft) { d.Ask.AmputationHistory = known.AnswerYes }},
		{"new rest pain without rest pain", "ask.rest-pain", true, func(d *Draft) { d.Ask.RestPain, d.Ask.RestPainNew = known.AnswerNo, known.AnswerYes }},
		{"dialysis without kidney failure", "ask.kidney-failure", true, func(d *Draft) { d.Ask.KidneyFailure, d.Ask.Dialysis = known.AnswerNo, known.AnswerYes }},
		{"toes level without toes", "right.loss.toes", true, func(d *Draft) { d.Right.Loss = foot.Loss{Level: foot.ToesOnly} }},
		{"toes listed on a whole foot", "left.loss.level", true, func(d *Draft) { d.Left.Loss.Toes = foot.ToesOf(2) }},
		{"findings on a foot that is gone", "left.loss.level", true, func(d *Draft) { d.Left.Loss.Level = foot.BelowKnee }},
		{"normal skin with a blister", "right.look.skin", true, func(d *Draft) { d.Right.Look.Lesions = []Lesion{{Place: foot.Heel, Kind: Blister}} }},
		{"a skin finding on a lost toe", "right.look.lesions.0", true, func(d *Draft) {
			d.Right.Loss = foot.Loss{Level: foot.ToesOnly, Toes: foot.ToesOf(5)}
			d.Right.Look.Skin = known.Abnormal
			d.Right.Look.Lesions = []Lesion{{Place: foot.Toe5, Kind: Callus}}
		}},
		{"normal shape with a claw toe", "left.look.shape", true, func(d *Draft) { d.Left.Look.Deformities = []Deformity{ClawToe} }},
		{"deformity not named", "left.look.shape", false, func(d *Draft) { d.Left.Look.Shape = known.Abnormal }},
		{"no wound, and an open ulcer", "left.look.wound", true, func(d *Draft) { d.Ulcers = []wound.Ulcer{ulcer} }},
		{"a wound not described", "left.look.wound", false, func(d *Draft) { d.Left.Look.Wound = known.Abnormal }},
		{"filament felt on a lost toe", "right.test.filament.hallux", true, func(d *Draft) { d.Right.Loss = foot.Loss{Level: foot.ToesOnly, Toes: foot.ToesOf(1)} }},
		{"site absent on a whole foot", "right.test.filament.mth1", true, func(d *Draft) { d.Right.Test.Filament[neuro.SiteMTH1] = known.Absent }},
		{"touch on a lost toe", "right.test.touch.toe3", true, func(d *Draft) {
			d.Right.Loss = foot.Loss{Level: foot.ToesOnly, Toes: foot.ToesOf(3)}
			d.Right.Test.Touch.Toe3 = known.Normal
		}},
		{"ulcer without a name", "ulcers.0.id", true, func(d *Draft) { u := ulcer; u.ID = ""; d.Left.Look.Wound = known.Abnormal; d.Ulcers = []wound.Ulcer{u} }},
		{"two ulcers of one name", "ulcers.1.id", true, func(d *Draft) { d.Left.Look.Wound = known.Abnormal; d.Ulcers = []wound.Ulcer{ulcer, ulcer} }},
		{"ulcer on a lost part", "ulcers.0.place", true, func(d *Draft) {
			d.Left.Loss = foot.Loss{Level: foot.Transmetatarsal}
			d.Left.Test.Filament = neuro.Filament{}
			d.Left.Look.Wound, d.Ulcers = known.Abnormal, []wound.Ulcer{ulcer}
		}},
		{"wider than long", "ulcers.0.size", true, func(d *Draft) {
			u := ulcer
			u.Size.LengthMM, u.Size.WidthMM = known.Value(8), known.Value(9)
			d.Left.Look.Wound, d.Ulcers = known.Abnormal, []wound.Ulcer{u}
		}},
		{"a tracing without a scale", "ulcers.0.size", true, func(d *Draft) {
			u := ulcer
			u.Size.Outline = []wound.Point{{X: 0, Y: 0}, {X: 1, Y: 0}, {X: 0, Y: 1}}
			d.Left.Look.Wound, d.Ulcers = known.Abnormal, []wound.Ulcer{u}
		}},
		{"healed, and as deep as bone", "ulcers.0.depth", true, func(d *Draft) {
			u := ulcer
			u.Healed, u.Depth = known.AnswerYes, wound.BoneOrJoint
			d.Ulcers = []wound.Ulcer{u}
		}},
		{"a negative pressure", "right.feel.arteries.ankle-dp", true, func(d *Draft) { d.Right.Feel.Arteries.AnkleDP = known.Value(-5) }},
		{"A1c in mmol/mol", "ask.a1c-percent", true, func(d *Draft) { d.Ask.A1c = known.TenthsOf(580) }},
		{"skin temperature without a unit", "temperature-unit", true, func(d *Draft) { d.Right.Feel.Temperatures[heat.SpotHeel] = known.TenthsOf(310) }},
		{"Fahrenheit given as Celsius", "left.feel.temperatures.heel", true, func(d *Draft) {
			d.TemperatureUnit = heat.Celsius
			d.Left.Feel.Temperatures[heat.SpotHeel] = known.TenthsOf(880)
		}},
		{"a time below nought", "seconds", false, func(d *Draft) { d.Seconds.Feel = -3 }},
		{"a toe that nobody has", "left.feel.arteries.toe-used", true, func(d *Draft) { d.Left.Feel.Arteries.ToeUsed = 6 }},
	}
	for _, r := range rows {
		t.Run(r.name, func(t *testing.T) {
			d := normal()
			r.change(&d)
			_, ps := Check(d)
			for _, p := range ps {
				if p.Field == r.field && p.Blocks == r.blocks {
					return
				}
			}
			t.Errorf("no problem at %s (blocks %v) among %+v", r.field, r.blocks, ps)
		})
	}
}

func TestPartsCountOnlyWhatWasTrulyDone(t *testing.T) {
	rows := []struct {
		name   string
		want   Parts
		change func(*Draft)
	}{
		{"one pulse not felt for", Parts{true, true, false}, func(d *Draft) { d.Left.Feel.Arteries.PT = 0 }},
		{"an absent pulse is a result", Parts{true, true, true}, func(d *Draft) { d.Left.Feel.Arteries.PT = perfusion.PulseAbsent }},
		{"both pulses not possible under a dressing", Parts{true, true, false}, func(d *Draft) {
			d.Left.Feel.Arteries.DP, d.Left.Feel.Arteries.PT = perfusion.PulseNotPossible, perfusion.PulseNotPossible
		}},
		{"filament refused at one site", Parts{true, false, true}, func(d *Draft) { d.Right.Test.Filament[neuro.SiteMTH5] = known.Refused }},
		{"filament not felt is a result", Parts{true, true, true}, func(d *Draft) { d.Right.Test.Filament[neuro.SiteMTH5] = known.Abnormal }},
		{"one site under a callus", Parts{true, true, true}, func(d *Draft) { d.Right.Test.Filament[neuro.SiteMTH5] = known.NotPossible }},
		{"skin not looked at", Parts{false, true, true}, func(d *Draft) { d.Right.Look.Skin = 0 }},
		{"a lost toe is not asked for", Parts{true, true, true}, func(d *Draft) {
			d.Right.Loss = foot.Loss{Level: foot.ToesOnly, Toes: foot.ToesOf(1)}
			d.Right.Test.Filament[neuro.SiteHallux] = known.Absent
		}},
		{"one leg lost, the other foot examined", Parts{true, true, true}, func(d *Draft) { d.Left = Foot{Loss: foot.Loss{Level: foot.BelowKnee}} }},
		{"both legs lost", Parts{}, func(d *Draft) {
			d.Left = Foot{Loss: foot.Loss{Level: foot.BelowKnee}}
			d.Right = Foot{Loss: foot.Loss{Level: foot.AboveKnee}}
		}},
		{"nothing recorded", Parts{}, func(d *Draft) { d.Left, d.Right = Foot{}, Foot{} }},
	}
	for _, r := range rows {
		d := normal()
		r.change(&d)
		if got := d.Done(); got != r.want {
			t.Errorf("%s: %+v, want %+v", r.name, got, r.want)
		}
		if (len(d.MissingForMeasure()) == 0) != (d.Done().All() || d.Right.Loss.FootGone() && d.Left.Loss.FootGone()) {
			t.Errorf("%s: missing %+v does not fit done %+v", r.name, d.MissingForMeasure(), d.Done())
		}
	}
}

func TestTheDocumentRoundTripsAndLeavesOutWhatWasNotRecorded(t *testing.T) {
	d := normal()
	d.Ulcers = []wound.Ulcer{{ID: "u1", Side: foot.Left, Place: foot.MTH1, Since: when.MustMoment("2026-02"), Depth: wound.Subcutis,
		Size: wound.Size{LengthMM: known.Value(12), WidthMM: known.Value(9), Method: wound.Ellipse}}}
	d.Left.Look.Wound = known.Abnormal
	d.Left.Feel.Arteries.ToePressure = known.Reading{State: known.NoSignal}
	d.TemperatureUnit, d.Left.Feel.Temperatures[heat.SpotHeel] = heat.Celsius, known.TenthsOf(309)
	b, err := json.Marshal(d)
	if err != nil {
		t.Fatal(err)
	}
	var back Draft
	if err := json.Unmarshal(b, &back); err != nil {
		t.Fatal(err)
	}
	if !reflect.DeepEqual(d, back) {
		t.Errorf("came back different:\n%s", b)
	}
	for _, word := range []string{"not recorded", `""`, "null", "ask", "vitals"} {
		if strings.Contains(string(b), word) {
			t.Errorf("the document holds %q though nothing was recorded there: %s", word, b)
		}
	}
}
