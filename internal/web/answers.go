package web

import (
	"net/url"
	"slices"
	"strings"

	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/foot"
	"tengram/internal/kernel/when"
	"tengram/internal/kernel/wound"
)

// answerRow is one question with what was answered: for the person, or for the
// right and the left foot.
type answerRow struct {
	Label   string
	Answers []answer
}

// answer is one recorded answer in words.
type answer struct {
	Words string
	// Recorded is false for "not recorded"; Notable marks a finding.
	Recorded, Notable bool
}

type answerGroup struct {
	Title  string
	Paired bool
	Rows   []answerRow
}

// answersOf lists what was recorded in an exam, by the tables of the form.
// Questions without any answer are left out.
func answersOf(d exam.Draft) []answerGroup {
	form := encodeForm(d)
	var groups []answerGroup
	for _, b := range blocks() {
		for _, g := range b.groups {
			ag := answerGroup{Title: b.title + ": " + strings.ToLower(g.title[:1]) + g.title[1:], Paired: g.paired}
			for _, f := range g.fields {
				if f.path == timePath {
					continue // the heading of an exam says it
				}
				row := answerRow{Label: f.label}
				recorded := false
				for _, path := range bothFeet(f.path) {
					a := answerAt(form, f, path)
					recorded = recorded || a.Recorded
					row.Answers = append(row.Answers, a)
				}
				if recorded {
					ag.Rows = append(ag.Rows, row)
				}
			}
			if len(ag.Rows) > 0 {
				groups = append(groups, ag)
			}
		}
	}
	for i, u := range d.Ulcers {
		groups = append(groups, ulcerAnswers(form, i, u.ID, u.Side))
	}
	return groups
}

func ulcerAnswers(form url.Values, i int, id string, s foot.Side) answerGroup {
	b := &formBuilder{form: form, used: map[string]bool{}}
	card := b.ulcer(i, s, id, nil, false)
	g := answerGroup{Title: card.Title}
	for _, c := range card.Fields {
		if a := answerAt(form, c.field, c.Path); a.Recorded {
			g.Rows = append(g.Rows, answerRow{c.label, []answer{a}})
		}
	}
	return g
}

// answerAt is the answer at a path in the words of its control.
func answerAt(form url.Values, f field, path string) answer {
	if f.as == lesions {
		return lesionAnswer(form, path)
	}
	if path == timePath {
		return timeAnswer(form.Get(path))
	}
	var words []string
	a := answer{}
	for _, v := range form[path] {
		if v == "" {
			continue
		}
		a.Recorded = true
		word, t := optionOf(f, v)
		words = append(words, word)
		a.Notable = a.Notable || t == notable
	}
	a.Words = strings.Join(words, ", ")
	if !a.Recorded {
		a.Words = "not recorded"
	}
	return a
}

// timePath is where the time of the exam stands.
const timePath = "at"

// timeAnswer is the time of the exam for people, or as it was written where that
// is no time.
func timeAnswer(text string) answer {
	if text == "" {
		return answer{Words: "not recorded"}
	}
	if at, err := when.ParseMoment(text); err == nil {
		text = moment(at)
	}
	return answer{Words: text, Recorded: true}
}

func optionOf(f field, value string) (string, tone) {
	options := slices.Concat(f.main, f.more)
	if f.as == gauge {
		options = noNumber
	}
	for _, o := range options {
		if o.value == value {
			return o.label, o.tone
		}
	}
	if f.unit != "" {
		return value + " " + f.unit, plain
	}
	return value, plain
}

func lesionAnswer(form url.Values, path string) answer {
	b := &formBuilder{form: form, used: map[string]bool{}}
	var words []string
	for _, r := range b.lesions(path) {
		kind, _ := optionOf(r.Kind.field, r.Kind.Value())
		place, _ := optionOf(r.Place.field, r.Place.Value())
		if r.Kind.Value() == "" && r.Place.Value() == "" {
			continue
		}
		text := kind + ", " + strings.ToLower(place)
		if n := r.Note.Value(); n != "" {
			text += " (" + n + ")"
		}
		words = append(words, text)
	}
	if len(words) == 0 {
		return answer{Words: "not recorded"}
	}
	return answer{Words: strings.Join(words, "; "), Recorded: true, Notable: true}
}

// change is one answer that differs between two exams or revisions.
type change struct {
	Label    string
	Was, Now answer
	Side     string
}

// changesBetween lists the answers that differ, in the order of the form.
func changesBetween(was, now exam.Draft) []change {
	a, b := encodeForm(was), encodeForm(now)
	var list []change
	for _, bl := range blocks() {
		for _, g := range bl.groups {
			for _, f := range g.fields {
				for i, path := range bothFeet(f.path) {
					x, y := answerAt(a, f, path), answerAt(b, f, path)
					if x.Words == y.Words {
						continue
					}
					c := change{Label: f.label, Was: x, Now: y}
					if f.place != foot.NoPlace { // many tests are of the same places
						c.Label = g.title + ", " + lower(f.label)
					}
					if strings.Contains(f.path, side) {
						c.Side = foot.Sides[i].String() + " foot"
					}
					list = append(list, c)
				}
			}
		}
	}
	return append(list, ulcerChanges(a, b, was, now)...)
}

func ulcerChanges(a, b url.Values, was, now exam.Draft) []change {
	var list []change
	for i, u := range now.Ulcers {
		old := -1
		for j, o := range was.Ulcers {
			if o.ID == u.ID {
				old = j
			}
		}
		after := ulcerAnswers(b, i, u.ID, u.Side)
		if old < 0 {
			list = append(list, change{Label: after.Title, Was: answer{Words: "not there"}, Now: answer{Words: "recorded", Recorded: true, Notable: true}})
			continue
		}
		before := ulcerAnswers(a, old, u.ID, was.Ulcers[old].Side)
		list = append(list, rowChanges(before, after)...)
	}
	for _, o := range was.Ulcers {
		if !slices.ContainsFunc(now.Ulcers, func(u wound.Ulcer) bool { return u.ID == o.ID }) {
			list = append(list, change{Label: "Ulcer " + o.ID + ", " + o.Side.String() + " foot", Was: answer{Words: "recorded", Recorded: true}, Now: answer{Words: "not recorded"}})
		}
	}
	return list
}

func rowChanges(before, after answerGroup) []change {
	var list []change
	find := func(rows []answerRow, label string) answer {
		for _, r := range rows {
			if r.Label == label {
				return r.Answers[0]
			}
		}
		return answer{Words: "not recorded"}
	}
	for _, r := range after.Rows {
		if was := find(before.Rows, r.Label); was.Words != r.Answers[0].Words {
			list = append(list, change{Label: after.Title + ": " + r.Label, Was: was, Now: r.Answers[0]})
		}
	}
	for _, r := range before.Rows {
		if now := find(after.Rows, r.Label); !now.Recorded {
			list = append(list, change{Label: after.Title + ": " + r.Label, Was: r.Answers[0], Now: now})
		}
	}
	return list
}
