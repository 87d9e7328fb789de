package web

import (
	"fmt"
	"net/url"
	"reflect"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/foot"
	"tengram/internal/kernel/heat"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/neuro"
	"tengram/internal/kernel/when"
	"tengram/internal/kernel/wound"
)

var sameDraft = cmp.Comparer(func(a, b when.Moment) bool { return a.String() == b.String() })

func TestEveryDraftSurvivesTheForm(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var want exam.Draft
		fill(t, reflect.ValueOf(&want).Elem(), 0.6)
		got, problems := decodeForm(encodeForm(want))
		if len(problems) > 0 {
			t.Fatalf("problems: %v", problems)
		}
		if diff := cmp.Diff(want, got, sameDraft); diff != "" {
			t.Fatalf("the draft changed on the way (-want +got):\n%s", diff)
		}
	})
}

// A draft with everything filled in has a value at every path of the document.
func TestAFullDraftHasAValueAtEveryPath(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var d exam.Draft
		fill(t, reflect.ValueOf(&d).Elem(), 1)
		form := encodeForm(d)
		paths := map[string]bool{}
		for p := range form {
			paths[starred(p)] = true
		}
		n := 0
		documentShape.leaves("", func(path string, _ *shape) {
			n++
			if !paths[path] {
				t.Errorf("nothing at %s", path)
			}
		})
		if n < 150 {
			t.Fatalf("only %d paths: the document has more", n)
		}
	})
}

func TestDecodeForm(t *testing.T) {
	for _, c := range []struct {
		name     string
		form     string
		want     exam.Draft
		problems []exam.Problem
	}{
		{name: "nothing given is nothing recorded", form: "ask.numbness=&right.look.skin="},
		{name: "names that begin with a dash are not of the document", form: "-do=save"},
		{
			name: "a site of the monofilament",
			form: "right.test.filament.hallux=normal&left.test.filament.mth5=abnormal",
			want: exam.Draft{
				Right: exam.Foot{Test: neuro.Foot{Filament: neuro.Filament{neuro.SiteHallux: known.Normal}}},
				Left:  exam.Foot{Test: neuro.Foot{Filament: neuro.Filament{neuro.SiteMTH5: known.Abnormal}}},
			},
		},
		{
			name: "a number and the empty reason beside it",
			form: "right.feel.arteries.toe-pressure=62&right.feel.arteries.toe-pressure=",
			want: func() (d exam.Draft) { d.Right.Feel.Arteries.ToePressure = known.Value(62); return }(),
		},
		{
			name: "the reason why there is no number",
			form: "right.feel.arteries.toe-pressure=&right.feel.arteries.toe-pressure=no-signal",
			want: func() (d exam.Draft) {
				d.Right.Feel.Arteries.ToePressure = known.Reading{State: known.NoSignal}
				return
			}(),
		},
		{
			name:     "a number and a reason at once are refused at the field",
			form:     "right.feel.arteries.toe-pressure=62&right.feel.arteries.toe-pressure=no-signal",
			problems: []exam.Problem{{Field: "right.feel.arteries.toe-pressure", Says: "There are two answers here: keep the number or the reason why there is none.", Blocks: true}},
		},
		{
			name:     "two decimals are refused and the rest stands",
			form:     "ask.a1c-percent=7.25&ask.numbness=yes",
			want:     exam.Draft{Ask: exam.Ask{Numbness: known.AnswerYes}},
			problems: []exam.Problem{{Field: "ask.a1c-percent", Says: "Write a number with at most one decimal, such as 7.2.", Blocks: true}},
		},
		{
			name:     "a word that no list has",
			form:     "ask.numbness=perhaps",
			problems: []exam.Problem{{Field: "ask.numbness", Says: "This is not one of the answers that can be given here.", Blocks: true}},
		},
		{
			name:     "a path that the document does not have",
			form:     "right.look.beauty=great",
			problems: []exam.Problem{{Field: "right.look.beauty", Says: "The exam has no such answer: reload the page and try again.", Blocks: true}},
		},
		{
			name:     "a branch is no answer",
			form:     "right.look=normal",
			problems: []exam.Problem{{Field: "right.look", Says: "The exam has no such answer: reload the page and try again.", Blocks: true}},
		},
		{
			name: "an empty row of a list is left out, and the order of the rest stays",
			form: "left.look.lesions.0.place=&left.look.lesions.2.place=heel&left.look.lesions.2.kind=fissure&left.look.lesions.10.place=hallux&left.look.lesions.10.kind=callus",
			want: exam.Draft{Left: exam.Foot{Look: exam.Look{Lesions: []exam.Lesion{
				{Place: foot.Heel, Kind: exam.Fissure}, {Place: foot.Hallux, Kind: exam.Callus},
			}}}},
		},
		{
			name: "an ulcer that has only its id and its side was not recorded",
			form: "ulcers.0.id=u1&ulcers.0.side=left&ulcers.1.id=u2&ulcers.1.side=right&ulcers.1.depth=skin",
			want: exam.Draft{Ulcers: []wound.Ulcer{{ID: "u2", Side: foot.Right, Depth: wound.SkinOnly}}},
		},
		{
			name: "lost toes come as one control each",
			form: "right.loss.level=toes&right.loss.toes=1&right.loss.toes=4",
			want: exam.Draft{Right: exam.Foot{Loss: foot.Loss{Level: foot.ToesOnly, Toes: foot.ToesOf(1, 4)}}},
		},
	} {
		t.Run(c.name, func(t *testing.T) {
			form, err := url.ParseQuery(c.form)
			if err != nil {
				t.Fatal(err)
			}
			got, problems := decodeForm(form)
			if diff := cmp.Diff(c.want, got, sameDraft); diff != "" {
				t.Errorf("draft (-want +got):\n%s", diff)
			}
			if diff := cmp.Diff(c.problems, problems); diff != "" {
				t.Errorf("problems (-want +got):\n%s", diff)
			}
		})
	}
}

func FuzzDecodeForm(f *testing.F) {
	f.Add("right.test.filament.hallux=normal&ask.a1c-percent=7.2&ulcers.0.size.outline.1.x=1e9")
	f.Add("right.loss.toes=9&note=%0d%0a&seconds.ask=-1&at=2026-02-30")
	f.Fuzz(func(t *testing.T, query string) {
		form, err := url.ParseQuery(query)
		if err != nil {
			t.Skip()
		}
		d, problems := decodeForm(form)
		for _, p := range problems {
			if p.Field == "" {
				t.Fatalf("a problem without a place: %s", p.Says)
			}
		}
		if again, problems := decodeForm(encodeForm(d)); len(problems) > 0 || !cmp.Equal(d, again, sameDraft) {
			t.Fatalf("not stable: %v\n%s", problems, cmp.Diff(d, again, sameDraft))
		}
	})
}

// starred replaces the places in lists by "*".
func starred(path string) string {
	parts := strings.Split(path, ".")
	for i, p := range parts {
		if _, ok := listIndex(p); ok {
			parts[i] = "*"
		}
	}
	return strings.Join(parts, ".")
}

// fill puts random answers into a draft; each field is filled with the given
// chance. Elements of lists always hold more than their id and side.
func fill(t *rapid.T, v reflect.Value, chance float64) {
	if chance < 1 && rapid.Float64Range(0, 1).Draw(t, "leave") > chance {
		return
	}
	switch v.Type() {
	case reflect.TypeFor[known.Reading]():
		if rapid.Bool().Draw(t, "number") {
			v.Set(reflect.ValueOf(known.Value(rapid.IntRange(0, 400).Draw(t, "reading"))))
			return
		}
		v.Set(reflect.ValueOf(known.Reading{State: drawState(t)}))
		return
	case reflect.TypeFor[known.Tenths]():
		if rapid.Bool().Draw(t, "number") {
			v.Set(reflect.ValueOf(known.TenthsOf(rapid.IntRange(-50, 4000).Draw(t, "tenths"))))
			return
		}
		v.Set(reflect.ValueOf(known.Tenths{State: drawState(t)}))
		return
	case reflect.TypeFor[foot.Toes]():
		v.SetUint(uint64(rapid.IntRange(1, 31).Draw(t, "toes")))
		return
	case reflect.TypeFor[when.Moment]():
		s := rapid.SampledFrom([]string{"2026", "2026-11", "2026-11-24", "2026-11-24T10:05:00-05:00"}).Draw(t, "moment")
		v.Set(reflect.ValueOf(when.MustMoment(s)))
		return
	case reflect.TypeFor[heat.Temperatures](), reflect.TypeFor[neuro.Filament]():
		for i := range v.Len() {
			fill(t, v.Index(i), chance)
		}
		return
	}
	switch v.Kind() {
	case reflect.Pointer:
		v.Set(reflect.New(v.Type().Elem()))
		fill(t, v.Elem(), 1)
	case reflect.String:
		v.SetString(rapid.StringMatching(`[a-z é"<&\n]{0,8}[a-z.]`).Draw(t, "text"))
	case reflect.Int:
		v.SetInt(int64(rapid.IntRange(1, 5).Draw(t, "int")))
	case reflect.Float64:
		v.SetFloat(float64(rapid.IntRange(1, 9999).Draw(t, "float")) / 8)
	case reflect.Uint8:
		v.SetUint(uint64(rapid.IntRange(1, wordCount(v.Type())-1).Draw(t, v.Type().Name())))
	case reflect.Slice:
		n := rapid.IntRange(1, 12).Draw(t, "length")
		v.Set(reflect.MakeSlice(v.Type(), n, n))
		for i := range n {
			fill(t, v.Index(i), 1)
		}
	case reflect.Struct:
		for i := range v.NumField() {
			fill(t, v.Field(i), chance)
		}
	default:
		panic(fmt.Sprintf("the test cannot fill a %s", v.Type()))
	}
}

func drawState(t *rapid.T) known.ReadingState {
	return rapid.SampledFrom([]known.ReadingState{
		known.NoSignal, known.TooHigh, known.CannotMeasure, known.MeasureDeclined,
	}).Draw(t, "state")
}

// wordCount is how many words a closed list of the kernel has.
func wordCount(t reflect.Type) int {
	for i := range 256 {
		v := reflect.New(t).Elem()
		v.SetUint(uint64(i))
		if _, err := v.Interface().(interface{ MarshalText() ([]byte, error) }).MarshalText(); err != nil {
			return i
		}
	}
	panic("no end of " + t.Name())
}
