package web

import (
	"fmt"
	"strings"

	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/foot"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/record"
	"tengram/internal/kernel/when"
)

// paperRows is one foot beside the other in a dozen lines: what a reader of one
// page needs, not every answer of the form.
func paperRows(signed record.SignedExam) []answerRow {
	d := signed.Exam.Draft
	form := encodeForm(d)
	var rows []answerRow
	add := func(label string, of func(foot.Side) answer) {
		rows = append(rows, answerRow{label, []answer{of(foot.Right), of(foot.Left)}})
	}
	fields := map[string]field{}
	for _, b := range blocks() {
		for _, g := range b.groups {
			for _, f := range g.fields {
				fields[f.path] = f
			}
		}
	}
	at := func(path string) func(foot.Side) answer {
		return func(s foot.Side) answer {
			if d.Foot(s).Loss.FootGone() {
				return answer{Words: "Not there", Recorded: true, Notable: true}
			}
			return answerAt(form, fields[side+path], s.String()+path)
		}
	}
	add("Foot", func(s foot.Side) answer { return answerAt(form, fields[side+".loss.level"], s.String()+".loss.level") })
	add("Protective sensation", func(s foot.Side) answer { return sensation(signed, s) })
	add("Vibration", at(".test.vibration"))
	add("Dorsalis pedis pulse", at(".feel.arteries.dorsalis-pedis"))
	add("Posterior tibial pulse", at(".feel.arteries.posterior-tibial"))
	add("Skin", func(s foot.Side) answer {
		a := at(".look.skin")(s)
		if l := lesionAnswer(form, s.String()+".look.lesions"); l.Recorded {
			return l
		}
		return a
	})
	add("Wound", at(".look.wound"))
	add("Shape", func(s foot.Side) answer {
		if l := at(".look.deformities")(s); l.Recorded {
			return l
		}
		return at(".look.shape")(s)
	})
	add("Nails", at(".look.nails"))
	add("Movement", at(".look.mobility"))
	add("Oedema", at(".feel.oedema"))
	for _, r := range signed.Assessment.Ulcers {
		u := r
		add("Ulcer "+u.ID, func(s foot.Side) answer {
			if s != u.Side {
				return answer{}
			}
			text := sentence(u.Place.Words())
			if u.AreaMM2.Known() {
				text += fmt.Sprintf(", %d mm²", u.AreaMM2.Value)
			}
			for _, c := range u.Classes {
				if c.ID != "sinbad" && !strings.HasPrefix(c.ID, "infection") {
					continue // the rest stands with the exam
				}
				text += "; " + c.Name + " " + c.Low
				if c.High != c.Low {
					text += " to " + c.High
				}
			}
			return answer{Words: text, Recorded: true, Notable: true}
		})
	}
	return rows
}

// sensation is the monofilament of one foot in words.
func sensation(signed record.SignedExam, s foot.Side) answer {
	f := signed.Assessment.LOPS.Feet[s]
	counts := fmt.Sprintf("%d of %d sites not felt", f.Insensate, f.Tested)
	switch {
	case f.Gone:
		return answer{Words: "Not there", Recorded: true, Notable: true}
	case f.LOPS == known.Yes:
		return answer{Words: "Lost, " + counts, Recorded: true, Notable: true}
	case f.LOPS == known.No:
		return answer{Words: "Kept, " + counts, Recorded: true}
	case f.Tested > 0:
		return answer{Words: "Cannot say, " + counts, Recorded: true}
	}
	return answer{Words: "not recorded"}
}

// personal are the findings of the whole person, as sentences.
func (v resultView) personal() []string {
	var says []string
	for _, f := range v.Findings {
		if len(f.Sides) == 0 {
			says = append(says, f.Says)
		}
	}
	return says
}

func missingWords(ms []exam.Missing) string {
	words := make([]string, len(ms))
	for i, m := range ms {
		words[i] = m.Says
	}
	return strings.Join(words, "; ")
}

func answerClass(a answer) string {
	switch {
	case !a.Recorded:
		return "not-recorded"
	case a.Notable:
		return "notable"
	}
	return "plain-answer"
}

func personName(p exam.Person) string {
	switch {
	case p.Name != "":
		return p.Name
	case p.ID != "":
		return p.ID
	}
	return "somebody not named"
}

func bornWords(p record.Person) string {
	if p.Birth.Precision() == when.None {
		return "date of birth not known"
	}
	return "born " + moment(p.Birth)
}

// paperTable parts the lines of the printed page: those that say something of a
// foot, the ulcers, which need the whole width, and the names of those of which
// nothing is recorded on either foot.
func paperTable(rows []answerRow) (table, ulcers []answerRow, silent []string) {
	for _, r := range rows {
		switch {
		case strings.HasPrefix(r.Label, "Ulcer "):
			ulcers = append(ulcers, r)
		case !r.Answers[0].Recorded && !r.Answers[1].Recorded:
			silent = append(silent, lower(r.Label))
		default:
			table = append(table, r)
		}
	}
	return table, ulcers, silent
}

// ulcerWords is the line of an ulcer with its foot.
func ulcerWords(r answerRow) string {
	for i, a := range r.Answers {
		if a.Recorded {
			return foot.Sides[i].String() + " foot: " + a.Words
		}
	}
	return ""
}

// paperActions are the actions of one urgency in one line, each with its day.
func paperActions(g urgencyGroup) string {
	words := make([]string, len(g.Actions))
	for i, a := range g.Actions {
		words[i] = a.Says
		if due := dueWords(a.Urgency, a.Due); due != "" {
			words[i] = strings.TrimSuffix(a.Says, ".") + " (" + due + ")."
		}
	}
	return strings.Join(words, " ")
}
