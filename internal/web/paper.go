package web

import (
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"

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
	add("Foot", func(s foot.Side) answer {
		a := answerAt(form, fields[side+".loss.level"], s.String()+".loss.level")
		for _, more := range []struct{ path, says string }{{".loss.toes", ": "}, {".loss.rays", "; with the metatarsal head: "}} {
			if toes := answerAt(form, fields[side+more.path], s.String()+more.path); toes.Recorded {
				a.Words += more.says + lower(toes.Words)
			}
		}
		return a
	})
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
	add("Nails", func(s foot.Side) answer {
		if l := at(".look.nail-kinds")(s); l.Recorded {
			return l
		}
		return at(".look.nails")(s)
	})
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
				text += "; " + c.Name + ": " + c.Low
				if c.High != c.Low {
					text += " to " + c.High
				}
			}
			return answer{Words: text, Recorded: true, Notable: true}
		})
	}
	return rows
}

// inRows are the findings that the lines of paperRows say; every other finding
// of a foot stands in a line of its own.
var inRows = map[string]bool{
	"amputated": true, "skin": true, "pre-ulcerative-lesion": true, "open-wound": true, "nails": true, "deformity": true,
	"limited-movement": true, "pulse": true, "oedema": true, "lops": true,
}

// besides are the findings of one foot that no line of paperRows says.
func (v resultView) besides(s foot.Side) answer {
	var says []string
	for _, f := range v.Findings {
		if inRows[f.ID] || !slices.Contains(f.Sides, s) {
			continue
		}
		text := strings.TrimSuffix(f.Says, ".")
		if f.Is == known.Unknown {
			text = "In doubt: " + lower(text)
		}
		says = append(says, text)
	}
	if len(says) == 0 {
		return answer{Words: "nothing else"}
	}
	return answer{Words: strings.Join(says, "; "), Recorded: true, Notable: true}
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

// paperView is both feet on one page.
type paperView struct {
	// table are the lines that say something of a foot.
	table []answerRow
	// ulcers need the whole width.
	ulcers []answerRow
	// silent names the lines of which nothing is recorded on either foot.
	silent []string
}

func (v examView) paper() paperView {
	var p paperView
	for _, r := range paperRows(v.Signed) {
		switch {
		case strings.HasPrefix(r.Label, "Ulcer "):
			p.ulcers = append(p.ulcers, r)
		case !r.Answers[foot.Right].Recorded && !r.Answers[foot.Left].Recorded:
			p.silent = append(p.silent, lower(r.Label))
		default:
			p.table = append(p.table, r)
		}
	}
	if right, left := v.Result.besides(foot.Right), v.Result.besides(foot.Left); right.Notable || left.Notable {
		p.table = append(p.table, answerRow{"Also found", []answer{right, left}})
	}
	return p
}

// The settings of the printed page, as classes of web/src/css/paper.css: a table
// in large type; both feet beside each other and two columns; and the same in the
// smallest type that reads well.
const (
	setWide  = "sheet-wide"
	setClose = "sheet-close"
	setTight = "sheet-close sheet-tight"
)

// How many lines, as reckoned, go on one page of the shorter paper, US Letter.
// The length of a text is reckoned, not measured: that is enough to choose a
// setting, and e2e/exam-print.test.mjs holds what comes out.
const (
	wideLines   = 36
	closeLines  = 58
	lineLetters = 105 // across the page
	sideLetters = 26  // one foot in the table
)

// setting is the largest in which the exam goes on one page.
func (v examView) setting() string {
	switch n := v.reckoned(); {
	case n <= wideLines:
		return setWide
	case n <= closeLines:
		return setClose
	}
	return setTight
}

// reckoned is about how many lines the exam takes in the wide setting, without
// the headings, which every exam has.
func (v examView) reckoned() int {
	p := v.paper()
	rows := 0
	for _, r := range p.table {
		rows += max(1, linesOf(r.Answers[foot.Right].Words, sideLetters), linesOf(r.Answers[foot.Left].Words, sideLetters))
	}
	lines := rows + rows/4 // a row of the table is higher than a line
	for _, text := range v.paperRest(p) {
		lines += linesOf(text, lineLetters*2/3)
	}
	across := []string{missingWords(v.Result.missing(exam.ForComprehensive)), v.Signed.Exam.Note}
	for _, f := range v.Result.Flags {
		across = append(across, f.Urgency.Words()+"right foot: "+f.Says)
	}
	for _, g := range byUrgency(v.Result.Plan) {
		across = append(across, paperUrgency(g)+paperActions(g))
	}
	for _, text := range across {
		lines += linesOf(text, lineLetters)
	}
	return lines
}

// paperRest are the lines that do not go into the table, about as they read.
func (v examView) paperRest(p paperView) []string {
	texts := []string{strings.Join(v.Result.personal(), " "), legend(v.Signed.Exam.Draft), joinWords(p.silent)}
	for _, u := range p.ulcers {
		texts = append(texts, u.Label+ulcerWords(u))
	}
	return texts
}

// linesOf is about how many lines a text fills.
func linesOf(text string, letters int) int {
	return (utf8.RuneCountInString(text) + letters - 1) / letters
}

// restUnder is where the lines that are not of one foot alone stand in the close
// setting: below both feet, or under the foot of which there is less to say,
// whichever ends higher.
func (v examView) restUnder(p paperView) (below bool, s foot.Side) {
	const half = 50 // letters across one foot
	var feet [2]int
	for _, r := range p.table {
		for s, a := range r.Answers {
			feet[s] += linesOf(r.Label+": "+a.Words, half)
		}
	}
	across, under := 0, 0
	for _, text := range v.paperRest(p) {
		across, under = across+linesOf(text, 2*half+20), under+linesOf(text, half)
	}
	less, more := foot.Left, foot.Right
	if feet[less] > feet[more] {
		less, more = more, less
	}
	return feet[more]+across <= max(feet[more], feet[less]+under), less
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

// oneDue is the deadline that all actions of one urgency share, in words; empty
// where they differ or have none.
func oneDue(g urgencyGroup) string {
	due := ""
	for i, a := range g.Actions {
		words := dueWords(a.Urgency, a.Due)
		if i > 0 && words != due {
			return ""
		}
		due = words
	}
	return due
}

// paperUrgency is the heading of one urgency, with the day that all of it shares.
func paperUrgency(g urgencyGroup) string {
	if due := oneDue(g); due != "" {
		return g.Words + ", " + due
	}
	return g.Words
}

// paperActions are the actions of one urgency in one line, each with its day
// where they differ.
func paperActions(g urgencyGroup) string {
	words := make([]string, len(g.Actions))
	for i, a := range g.Actions {
		words[i] = a.Says
		if due := dueWords(a.Urgency, a.Due); due != "" && oneDue(g) == "" {
			words[i] = strings.TrimSuffix(a.Says, ".") + " (" + due + ")."
		}
	}
	return strings.Join(words, " ")
}
