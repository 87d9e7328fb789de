package web

import (
	"net/url"
	"slices"
	"strconv"
	"strings"

	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/foot"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/neuro"
	"tengram/internal/kernel/when"
	"tengram/internal/kernel/wound"
	"tengram/internal/web/drawing"
)

// formView is the exam form: every control with what is recorded in it.
type formView struct {
	ID     string
	Blocks []blockView
	Ulcers []ulcerView
	Feet   feetView
	// Kept are answers of the document that no control shows, such as a traced
	// outline: they go back as they came.
	Kept []preset
}

type blockView struct {
	block
	// Normal is what one touch records.
	Normal []preset
	Groups []groupView
}

type groupView struct {
	group
	Open bool
	Rows []rowView
}

// rowView is one question: for the person, or for both feet side by side.
type rowView struct {
	field
	// Controls are one, or the right foot's and the left's.
	Controls []controlView
	// Protocols names the monofilament protocols that this site is part of;
	// Hidden is a site outside the chosen one, without a result.
	Protocols string
	Hidden    bool
}

// controlView is one control as it stands on the page.
type controlView struct {
	field
	// Path is the path in the document, and the control's name.
	Path string
	// Name is the accessible name, with the foot.
	Name string
	// Values are what is recorded, or what was typed and could not be read.
	Values []string
	// Gone: the place is not there any more.
	Gone bool
	// GoneWith lists the losses that take the place away, for the script.
	GoneWith string
	// Said is what the record already knows, Was what the last exam says.
	Said, Was string
	Problems  []exam.Problem
	Lesions   []lesionRow
}

type lesionRow struct {
	Place, Kind, Note controlView
}

// ulcerView is one ulcer, or the empty card for another one on a foot.
type ulcerView struct {
	Path, ID string
	Side     foot.Side
	Blank    bool
	Title    string
	Which    []ulcerChoice
	// Earlier are the sizes of earlier exams, oldest first.
	Earlier  []string
	Fields   []controlView
	Problems []exam.Problem
}

// ulcerChoice is an ulcer that a card can be about: a new one, or one of earlier
// exams with its place.
type ulcerChoice struct {
	option
	Place string
}

// ID is the id of the control on the page.
func (c controlView) ID() string { return fieldID(c.Path) }

func fieldID(path string) string { return "f-" + path }

// Value is the single recorded value, or "".
func (c controlView) Value() string {
	if len(c.Values) == 0 {
		return ""
	}
	return c.Values[0]
}

// Has reports whether the option is recorded.
func (c controlView) Has(value string) bool {
	if value == "" {
		return len(c.Values) == 0
	}
	return slices.Contains(c.Values, value)
}

// Number is what stands in the field of a number: the number, or what was typed
// and could not be read.
func (c controlView) Number() string {
	if v := c.Value(); !slices.ContainsFunc(noNumber, func(o option) bool { return o.value == v }) {
		return v
	}
	return ""
}

// Reason is why there is no number.
func (c controlView) Reason() string {
	if c.Number() != "" {
		return ""
	}
	return c.Value()
}

// InMore returns the recorded answer where it stands behind "Other".
func (c controlView) InMore() (option, bool) {
	for _, o := range c.more {
		if o.value != "" && c.Has(o.value) {
			return o, true
		}
	}
	return option{}, false
}

// makeForm draws a draft into controls. raw holds what could not be read, as it
// was typed.
func makeForm(d exam.Draft, bg exam.Background, problems []exam.Problem, raw url.Values) formView {
	b := &formBuilder{
		form: encodeForm(d), problems: problems, gone: gonePaths(d), said: recordSays(bg), used: map[string]bool{},
	}
	for path, values := range raw {
		b.form[path] = values
	}
	view := formView{ID: d.ID, Feet: feetView{draft: d}}
	for _, bl := range blocks() {
		bv := blockView{block: bl, Normal: normalNow(bl.id, d, bg)}
		for _, g := range bl.groups {
			bv.Groups = append(bv.Groups, b.group(g, d))
		}
		view.Blocks = append(view.Blocks, bv)
	}
	view.Ulcers = b.ulcers(d, bg)
	for path, values := range b.form {
		if b.used[path] || slices.Contains(ownPaths, strings.SplitN(path, ".", 2)[0]) {
			continue
		}
		for _, v := range values {
			view.Kept = append(view.Kept, preset{path, v})
		}
	}
	slices.SortFunc(view.Kept, func(x, y preset) int { return strings.Compare(x.path+"="+x.value, y.path+"="+y.value) })
	return view
}

// ownPaths are what the server knows of a draft and takes from no form.
var ownPaths = []string{"schema", "id", "revision", "amends", "patient", "examiner", "edition"}

// owned puts what the server knows into a draft that came from a form. An own
// category is signed by whoever wrote it last.
func owned(sent, kept exam.Draft, who exam.Person) exam.Draft {
	sent.Schema, sent.ID, sent.Revision, sent.Amends = kept.Schema, kept.ID, kept.Revision, kept.Amends
	sent.Patient, sent.Examiner, sent.Edition = kept.Patient, kept.Examiner, kept.Edition
	if sent.Override != nil {
		sent.Override.By = who
		if k := kept.Override; k != nil && k.Category == sent.Override.Category && k.Reason == sent.Override.Reason {
			sent.Override.By = k.By
		}
	}
	return sent
}

type formBuilder struct {
	form     url.Values
	problems []exam.Problem
	gone     []string
	said     map[string]string
	used     map[string]bool
}

func (b *formBuilder) group(g group, d exam.Draft) groupView {
	v := groupView{group: g, Open: !g.folded}
	for _, f := range g.fields {
		row := rowView{field: f}
		for i, path := range bothFeet(f.path) {
			c := b.control(f, path, "")
			if g.paired {
				c.Name = f.label + ", " + foot.Sides[i].String() + " foot"
			}
			v.Open = v.Open || (len(c.Values) > 0 && !g.settled) || len(c.Problems) > 0
			row.Controls = append(row.Controls, c)
		}
		if site, ok := strings.CutPrefix(f.path, side+".test.filament."); ok {
			row.Protocols = protocolsWith(site)
			row.Hidden = d.Protocol != neuro.NoProtocol && !inProtocol(d.Protocol, site) &&
				len(row.Controls[0].Values)+len(row.Controls[1].Values) == 0
		}
		v.Rows = append(v.Rows, row)
	}
	return v
}

func (b *formBuilder) control(f field, path, name string) controlView {
	if name == "" {
		name = f.label
	}
	c := controlView{field: f, Path: path, Name: name, Values: b.take(path), Said: b.said[path],
		Gone: slices.Contains(b.gone, path), GoneWith: goneWith(f), Problems: b.at(path)}
	c.main = offered(f, c.Values)
	if f.as == lesions {
		c.Lesions = b.lesions(path)
		c.Gone = c.Gone && len(c.Lesions) == 1
	}
	return c
}

// goneWith lists the losses after which a question is not asked any more.
func goneWith(f field) string {
	switch {
	case !strings.HasPrefix(f.path, side) || strings.HasPrefix(f.path, side+".loss."):
		return ""
	case f.place != foot.NoPlace:
		return drawing.GoneWith(f.place)
	}
	return drawing.GoneWithFoot()
}

// offered is the options of a field with any recorded value that is not among
// them, so that nothing is lost because a list grew shorter.
func offered(f field, values []string) []option {
	if f.as != several && f.as != pick && f.as != choose {
		return f.main
	}
	list := slices.Clone(f.main)
	for _, v := range values {
		if !slices.ContainsFunc(slices.Concat(list, f.more), func(o option) bool { return o.value == v }) {
			list = append(list, option{v, v, notable})
		}
	}
	return list
}

// take reads the values of a path and remembers that a control shows them.
func (b *formBuilder) take(path string) []string {
	b.used[path] = true
	return slices.DeleteFunc(slices.Clone(b.form[path]), func(v string) bool { return v == "" })
}

// at lists the problems of a path; for a list also those of its elements.
func (b *formBuilder) at(path string) []exam.Problem {
	var here []exam.Problem
	for _, p := range b.problems {
		if p.Field == path {
			here = append(here, p)
		}
	}
	return here
}

// lesions are the recorded rows and one empty row.
func (b *formBuilder) lesions(path string) []lesionRow {
	var rows []lesionRow
	for i := 0; ; i++ {
		at := path + "." + strconv.Itoa(i)
		row := lesionRow{
			Place: b.control(field{label: "Place", as: pick, main: placeOptions()}, at+".place", "Place of skin finding"),
			Kind:  b.control(field{label: "Finding", as: pick, main: lesionKinds}, at+".kind", "Kind of skin finding"),
			Note:  b.control(field{label: "Note", as: write}, at+".note", "Note on skin finding"),
		}
		row.Kind.Problems = append(row.Kind.Problems, b.at(at)...)
		rows = append(rows, row)
		if len(row.Place.Values)+len(row.Kind.Values)+len(row.Note.Values) == 0 {
			return rows
		}
	}
}

func placeOptions() []option {
	list := []option{{"", "where", apart}}
	for _, p := range foot.Places() {
		list = append(list, option{p.String(), sentence(p.Words()), notable})
	}
	return list
}

// ulcers are the recorded ulcers and one empty card for each foot.
func (b *formBuilder) ulcers(d exam.Draft, bg exam.Background) []ulcerView {
	var cards []ulcerView
	for i, u := range d.Ulcers {
		card := b.ulcer(i, u.Side, u.ID, nil, false)
		card.Earlier = earlierSizes(bg, func(past wound.Ulcer) bool { return past.ID == u.ID })
		cards = append(cards, card)
	}
	for i, s := range foot.Sides {
		card := b.ulcer(len(d.Ulcers)+i, s, nextUlcer(d, bg, i), pastUlcers(d, bg, s), true)
		card.Earlier = earlierSizes(bg, func(past wound.Ulcer) bool { return past.Side == s })
		cards = append(cards, card)
	}
	return cards
}

func (b *formBuilder) ulcer(i int, s foot.Side, id string, past []ulcerChoice, blank bool) ulcerView {
	path := "ulcers." + strconv.Itoa(i)
	v := ulcerView{Path: path, ID: id, Side: s, Blank: blank, Problems: append(b.at(path), b.at(path+".id")...)}
	v.Title = "Ulcer " + id + ", " + s.String() + " foot"
	if blank {
		v.Title = "Record an ulcer, " + s.String() + " foot"
		v.Which = append([]ulcerChoice{{option: option{id, "A new ulcer, " + id, notable}}}, past...)
	}
	b.take(path + ".id")
	b.take(path + ".side")
	fields := append([]field{
		{path: ".place", label: "Place", as: pick, main: placeOptions()},
		{path: ".since", label: "First noticed", hint: "A day, a month or a year: 2026-11-20, 2026-11 or 2026", as: write},
		measured(".size.length-mm", "Longest diameter", "mm", ""),
		measured(".size.width-mm", "Widest at right angles", "mm", ""),
		{path: ".size.method", label: "Area from", as: choose,
			main: []option{{"rectangle", "Rectangle", plain}, {"ellipse", "Ellipse", plain}, {"traced", "Traced", plain}}, more: []option{notRecorded}},
		{path: ".depth", label: "Deepest tissue", as: pick, main: []option{{"", "Not recorded", apart}, {"closed", "Closed", plain},
			{"skin", "Skin only", notable}, {"subcutis", "Fat under the skin", notable},
			{"tendon-or-muscle", "Tendon or muscle", notable}, {"bone-or-joint", "Bone or joint", notable}}},
		hoped(".probe-to-bone", "Hard bone felt with a sterile probe", ""),
	}, infectionFields(".infection")...)
	fields = append(fields, wanted(".healed", "Healed", "Closed with whole skin"), field{path: ".note", label: "Note", as: write})
	for _, f := range fields {
		c := b.control(f, path+f.path, f.label+", "+v.Title)
		v.Fields = append(v.Fields, c)
		if blank && len(c.Values) > 0 { // what was typed and could not be read
			v.Blank = false
		}
	}
	return v
}

// earlierSizes tells the sizes of the ulcers that are wanted, one look a line.
func earlierSizes(bg exam.Background, wanted func(wound.Ulcer) bool) []string {
	var lines []string
	for _, p := range bg.Ulcers {
		if !wanted(p.Ulcer) {
			continue
		}
		on := p.On
		if d, err := when.ParseDay(p.On); err == nil {
			on = day(d)
		}
		size := "size not recorded"
		if area, method, _ := wound.Area(p.Ulcer.Size); area.Known() {
			size = thousands(area.Value) + " mm², " + method.String()
		}
		if p.Ulcer.Healed == known.AnswerYes {
			size = "healed"
		}
		lines = append(lines, p.Ulcer.ID+", "+p.Ulcer.Place.Words()+", "+on+": "+size)
	}
	return lines
}

// nextUlcer names the nth ulcer that is new to the record.
func nextUlcer(d exam.Draft, bg exam.Background, n int) string {
	taken := func(id string) bool {
		return slices.ContainsFunc(d.Ulcers, func(u wound.Ulcer) bool { return u.ID == id }) ||
			slices.ContainsFunc(bg.Ulcers, func(p exam.PastUlcer) bool { return p.Ulcer.ID == id })
	}
	for i := 1; ; i++ {
		if id := "u" + strconv.Itoa(i); !taken(id) {
			if n == 0 {
				return id
			}
			n--
		}
	}
}

// pastUlcers offers the ulcers of earlier exams on a foot, newest look first,
// so that one wound keeps one name.
func pastUlcers(d exam.Draft, bg exam.Background, s foot.Side) []ulcerChoice {
	var list []ulcerChoice
	for i := len(bg.Ulcers) - 1; i >= 0; i-- {
		p := bg.Ulcers[i]
		same := func(o ulcerChoice) bool { return o.value == p.Ulcer.ID }
		if p.Ulcer.Side != s || slices.ContainsFunc(list, same) ||
			slices.ContainsFunc(d.Ulcers, func(u wound.Ulcer) bool { return u.ID == p.Ulcer.ID }) {
			continue
		}
		label := "The same as " + p.Ulcer.ID + ", " + p.Ulcer.Place.Words() + ", seen " + p.On
		list = append(list, ulcerChoice{option{p.Ulcer.ID, label, notable}, p.Ulcer.Place.String()})
	}
	return list
}

func protocolsWith(site string) string {
	var names []string
	for _, p := range []neuro.Protocol{neuro.ThreeSites, neuro.FourSites, neuro.FiveSites, neuro.TenSites} {
		if inProtocol(p, site) {
			names = append(names, p.String())
		}
	}
	return strings.Join(names, " ")
}

// fieldLink is where on the form a path of the document is answered: the field
// itself, the first field below it, or the one it is part of. A path without a
// side, such as "look.shape", leads to the right foot.
func fieldLink(path string) string {
	for _, p := range []string{path, foot.Right.String() + "." + path} {
		for _, b := range blocks() {
			for _, g := range b.groups {
				for _, f := range g.fields {
					for _, q := range bothFeet(f.path) {
						if q == p || strings.HasPrefix(q, p+".") || strings.HasPrefix(p, q+".") {
							return "#" + fieldID(q)
						}
					}
				}
			}
		}
	}
	if strings.HasPrefix(path, "ulcers.") {
		return "#" + fieldID(strings.Join(strings.SplitN(path, ".", 3)[:2], "."))
	}
	return ""
}
