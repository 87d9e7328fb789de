package web

import (
	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/foot"
	"tengram/internal/kernel/record"
	"tengram/internal/web/drawing"
)

// feetView is the drawn feet of the exam page.
type feetView struct {
	draft exam.Draft
	// last is the exam whose marks can be shown beside, if there is one.
	last *record.SignedExam
}

// LastOn is the day of the last exam, or "".
func (v feetView) LastOn() string {
	if v.last == nil {
		return ""
	}
	return moment(v.last.Exam.At)
}

// look draws one view for the skin findings.
func (v feetView) look(s foot.Side, view drawing.View) string {
	d := drawing.Drawing{Side: s, View: view, Loss: v.draft.Foot(s).Loss, Marks: lookMarks(v.draft, s), Touch: true, Every: true}
	if v.last != nil {
		d.Marks = before(d.Marks, findingsOnly(lookMarks(v.last.Exam.Draft, s)))
	}
	return d.SVG()
}

// test draws one view with the monofilament sites. The drawing is small, so the
// targets are wide.
func (v feetView) test(s foot.Side, view drawing.View) string {
	d := drawing.Drawing{Side: s, View: view, Loss: v.draft.Foot(s).Loss, Marks: testMarks(v.draft, s), Touch: true, Every: true,
		Only: filamentPlaces(), Reach: 29}
	if v.last != nil {
		d.Marks = before(d.Marks, testMarks(v.last.Exam.Draft, s))
	}
	return d.SVG()
}

// noted is one line under a foot: what is at which place.
type noted struct{ Place, Letter, Where, Words string }

func (v feetView) noted(s foot.Side) []noted {
	marks := findingsOnly(lookMarks(v.draft, s))
	var list []noted
	for _, p := range foot.Places() {
		if m, there := marks[p]; there {
			list = append(list, noted{p.String(), m.Letter, sentence(p.Words()), m.Words})
		}
	}
	return list
}

// kindLetter is the letter of a skin finding's word.
func kindLetter(value string) string {
	var k exam.LesionKind
	if err := k.UnmarshalText([]byte(value)); err != nil {
		return ""
	}
	return lesionLetters[k]
}

// kindClass is the look of a skin finding in the drawing.
func kindClass(value string) string {
	var k exam.LesionKind
	if err := k.UnmarshalText([]byte(value)); err == nil && k.PreUlcerative() {
		return "danger"
	}
	return "finding"
}

// remember sets what the last exam says beside each question.
func (v *formView) remember(last *record.SignedExam) {
	if last == nil {
		return
	}
	v.Feet.last = last
	form := encodeForm(last.Exam.Draft)
	for i := range v.Blocks {
		for j := range v.Blocks[i].Groups {
			for k := range v.Blocks[i].Groups[j].Rows {
				row := &v.Blocks[i].Groups[j].Rows[k]
				for l := range row.Controls {
					c := &row.Controls[l]
					if a := answerAt(form, c.field, c.Path); a.Recorded {
						c.Was = a.Words
					}
				}
			}
		}
	}
}
