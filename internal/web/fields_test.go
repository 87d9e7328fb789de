package web

import (
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"maps"
	"net/url"
	"reflect"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/foot"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/neuro"
)

// allFields lists the fields of the tables by path.
func allFields() map[string]field {
	fields := map[string]field{}
	for _, b := range blocks() {
		for _, g := range b.groups {
			for _, f := range g.fields {
				for _, p := range bothFeet(f.path) {
					fields[p] = f
				}
			}
		}
	}
	return fields
}

// What the form does not ask: what the server knows, the clock, and parts that
// a drawing will fill, which travel unseen.
var notAsked = []string{"schema", "id", "revision", "amends", "patient", "examiner", "edition", "seconds",
	"override.by", "ulcers.*.id", "ulcers.*.side", "ulcers.*.size.outline", "ulcers.*.size.units-per-mm"}

func TestEveryAnswerOfTheDocumentIsOnTheForm(t *testing.T) {
	fields := allFields()
	b := &formBuilder{form: url.Values{}, used: map[string]bool{}}
	for _, c := range b.ulcer(0, foot.Right, "u1", nil, false).Fields {
		fields[starred(c.Path)] = c.field
	}
	documentShape.leaves("", func(path string, leaf *shape) {
		if slices.ContainsFunc(notAsked, func(p string) bool { return path == p || strings.HasPrefix(path, p+".") }) {
			return
		}
		if list, _, ok := strings.Cut(path, ".lesions.*"); ok {
			path = list + ".lesions"
		}
		f, ok := fields[path]
		if !ok {
			t.Errorf("nothing on the form answers %s", path)
			return
		}
		if f.as == choose || f.as == pick {
			offersEveryWord(t, path, f, leaf)
		}
	})
	for path := range fields {
		if s, ok := documentShape.at(strings.ReplaceAll(path, "*", "0")); !ok || (s.kind == branch && fields[path].as != lesions) {
			t.Errorf("the form asks for %s, which the document does not have", path)
		}
	}
}

// offersEveryWord fails where a word of a closed list cannot be chosen, or a
// word can be chosen that the list does not have.
func offersEveryWord(t *testing.T, path string, f field, leaf *shape) {
	var offered []string
	for _, o := range slices.Concat(f.main, f.more) {
		offered = append(offered, o.value)
		if _, says := leafJSON(leaf, []string{o.value}); says != "" && o.value != "" {
			t.Errorf("%s offers %q: %s", path, o.value, says)
		}
	}
	if leaf.typ.Kind() != reflect.Uint8 {
		return
	}
	for i := range wordCount(leaf.typ) {
		v := reflect.New(leaf.typ).Elem()
		v.SetUint(uint64(i))
		word, err := v.Interface().(interface{ MarshalText() ([]byte, error) }).MarshalText()
		if err != nil {
			t.Fatal(err)
		}
		if !slices.Contains(offered, string(word)) {
			t.Errorf("%s does not offer %q", path, word)
		}
	}
}

func TestATouchOfNormalRecordsOnlyHopedForAnswers(t *testing.T) {
	fields := allFields()
	for _, b := range blocks() {
		if b.normal == "" || len(normals(b.id)) == 0 {
			t.Errorf("block %s has no normal", b.id)
		}
		for _, p := range normals(b.id) {
			for _, path := range bothFeet(p.path) {
				f, ok := fields[path]
				if !ok {
					t.Errorf("%s is no field", path)
					continue
				}
				i := slices.IndexFunc(f.main, func(o option) bool { return o.value == p.value })
				if i < 0 || f.main[i].tone != plain {
					t.Errorf("%s: %q is not what one hopes for", path, p.value)
				}
			}
		}
	}
}

func TestAnExamOfFiveTouchesIsNormalAndCanBeSigned(t *testing.T) {
	d := wholeDraft("e", "2026-11-24T09:00:00-05:00")
	if _, problems := exam.Check(d); len(problems) > 0 {
		t.Errorf("problems: %v", problems)
	}
	if !d.Done().All() {
		t.Errorf("the measure is open: %+v", d.Done())
	}
	for _, m := range d.MissingForComprehensive() {
		if m.Field != "ask.smoking" { // what a touch cannot know
			t.Errorf("missing %s", m.Field)
		}
	}
}

func TestATouchOfNormalChangesNothingThatIsThere(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var d exam.Draft
		fill(t, reflect.ValueOf(&d).Elem(), 0.4)
		form := encodeForm(d)
		before := maps.Clone(form)
		block := rapid.SampledFrom([]string{"ask", "look", "feel", "test", "teach"}).Draw(t, "block")
		applyNormal(form, normalNow(block, d, exam.Background{}), d.Protocol)
		for path, was := range before {
			if !slices.Equal(was, form[path]) {
				t.Fatalf("%s was %v, is %v", path, was, form[path])
			}
		}
	})
}

func TestATouchOfNormalPassesOverWhatIsGone(t *testing.T) {
	d := exam.Draft{Protocol: neuro.TenSites}
	d.Right.Loss = foot.Loss{Level: foot.ToesOnly, Toes: foot.ToesOf(1)}
	d.Left.Loss = foot.Loss{Level: foot.BelowKnee}
	form := encodeForm(d)
	for _, b := range blocks() {
		applyNormal(form, normalNow(b.id, d, exam.Background{Amputation: exam.Item{Is: known.Yes}}), d.Protocol)
	}
	got, problems := decodeForm(form)
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	if got.Right.Test.Filament[neuro.SiteHallux] != known.NotDone || got.Right.Test.Filament[neuro.SiteMTH1] != known.Normal {
		t.Errorf("the lost toe %v, the metatarsal head below it %v", got.Right.Test.Filament[neuro.SiteHallux], got.Right.Test.Filament[neuro.SiteMTH1])
	}
	if !got.Left.Look.IsZero() || !got.Left.Feel.IsZero() || !got.Left.Test.IsZero() {
		t.Errorf("findings on a foot that is gone: %+v", got.Left)
	}
	if got.Ask.AmputationHistory != known.NotAsked {
		t.Error("said no to an amputation that the record knows")
	}
}

// The page itself carries every draft: drawn, and sent back by a browser without
// a script, it is the same draft.
func TestThePageCarriesEveryDraft(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var want exam.Draft
		fill(t, reflect.ValueOf(&want).Elem(), rapid.SampledFrom([]float64{0.2, 0.7, 1}).Draw(t, "chance"))
		withoutNewlines(reflect.ValueOf(&want).Elem())
		view := editView{Draft: want, Form: makeForm(want, exam.Background{}, nil, nil), Result: resultView{Live: true}}
		var page bytes.Buffer
		if err := editTemplate(frame{}, view).Render(t.Context(), &page); err != nil {
			t.Fatal(err)
		}
		got, problems := decodeForm(sentBy(t, page.Bytes()))
		if len(problems) > 0 {
			t.Fatalf("problems: %v", problems)
		}
		got = owned(got, want, exam.Person{})
		if want.Override != nil {
			got.Override.By = want.Override.By
		}
		if diff := cmp.Diff(want, got, sameDraft, asSets); diff != "" {
			t.Fatalf("the draft changed on the way (-want +got):\n%s", diff)
		}
	})
}

// asSets compares what is ticked: in any order, and once each.
var asSets = cmp.Options{ticked[string](), ticked[exam.NailKind](), ticked[exam.Deformity]()}

func ticked[T comparable]() cmp.Option {
	return cmp.Transformer("ticked", func(list []T) map[T]bool {
		set := map[T]bool{}
		for _, v := range list {
			set[v] = true
		}
		return set
	})
}

// withoutNewlines takes line ends out of texts: a one-line field cannot hold
// them.
func withoutNewlines(v reflect.Value) {
	switch v.Kind() {
	case reflect.String:
		v.SetString(strings.ReplaceAll(v.String(), "\n", " "))
	case reflect.Pointer:
		if !v.IsNil() {
			withoutNewlines(v.Elem())
		}
	case reflect.Slice:
		for i := range v.Len() {
			withoutNewlines(v.Index(i))
		}
	case reflect.Struct:
		for i := range v.NumField() {
			if v.Type().Field(i).IsExported() {
				withoutNewlines(v.Field(i))
			}
		}
	}
}

// sentBy is what a browser would send for the exam form of a page.
func sentBy(t *rapid.T, page []byte) url.Values {
	dec := xml.NewDecoder(bytes.NewReader(page))
	dec.Strict, dec.AutoClose, dec.Entity = false, xml.HTMLAutoClose, xml.HTMLEntity
	form := url.Values{}
	inside, name, chosen, first, text := false, "", "", "", ""
	options, listed := 0, false
	for {
		token, err := dec.Token()
		if errors.Is(err, io.EOF) {
			return form
		}
		if err != nil {
			t.Fatal(err)
		}
		switch e := token.(type) {
		case xml.StartElement:
			at := func(key string) (string, bool) {
				for _, a := range e.Attr {
					if a.Name.Local == key {
						return a.Value, true
					}
				}
				return "", false
			}
			value, _ := at("value")
			_, checked := at("checked")
			_, selected := at("selected")
			kind, _ := at("type")
			switch e.Name.Local {
			case "form":
				id, _ := at("id")
				inside = id == "exam"
			case "input":
				n, _ := at("name")
				if inside && n != "" && (checked || (kind != "radio" && kind != "checkbox")) {
					form.Add(n, value)
				}
			case "select":
				name, _ = at("name")
				options, chosen, first, listed = 0, "", "", false
			case "option":
				if options == 0 {
					first = value
				}
				options++
				if selected {
					chosen, listed = value, true
				}
			case "textarea":
				name, _ = at("name")
				text = ""
			}
		case xml.CharData:
			text += string(e)
		case xml.EndElement:
			switch e.Name.Local {
			case "form":
				inside = false
			case "select":
				if !listed {
					chosen = first
				}
				form.Add(name, chosen)
			case "textarea":
				form.Add(name, text)
			}
		}
	}
}

func TestAMissingAnswerLeadsToItsField(t *testing.T) {
	var d exam.Draft
	for _, m := range append(d.MissingForMeasure(), d.MissingForComprehensive()...) {
		if fieldLink(m.Field) == "" {
			t.Errorf("%s leads nowhere", m.Field)
		}
	}
	for path, want := range map[string]string{
		"right.test.filament.hallux": "#f-right.test.filament.hallux",
		"left.feel.arteries":         "#f-left.feel.arteries.dorsalis-pedis",
		"look.shape":                 "#f-right.look.shape",
		"left.look.lesions.2":        "#f-left.look.lesions",
		"ulcers.1.size.width-mm":     "#f-ulcers.1",
		"amends.reason":              "",
	} {
		if got := fieldLink(path); got != want {
			t.Errorf("%s leads to %q, want %q", path, got, want)
		}
	}
}
