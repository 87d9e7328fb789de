package web

import (
	"strings"

	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/foot"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/neuro"
	"tengram/internal/kernel/record"
	"tengram/internal/web/drawing"
)

// The marks on the drawings: what was seen and tested at each place, in a
// letter and in words. The script in web/src/exam/marks.ts keeps them true
// while the form is filled in.

// lesionLetters are the letters of the skin findings in the drawing.
var lesionLetters = map[exam.LesionKind]string{
	exam.Callus: "Ca", exam.Corn: "Co", exam.Blister: "Bl", exam.BleedingUnderCallus: "Bu", exam.Fissure: "Fi",
	exam.Maceration: "Ma", exam.Fungus: "Fu", exam.DrySkin: "Dr", exam.RedSpot: "Re", exam.ColourChange: "Ch", exam.OtherLesion: "Ot",
}

// ulcerLetter marks an open ulcer.
const ulcerLetter = "U"

// lookMarks are the skin findings and ulcers of one foot.
func lookMarks(d exam.Draft, s foot.Side) map[foot.Place]drawing.Mark {
	marks := map[foot.Place]drawing.Mark{}
	add := func(p foot.Place, class, letter, words string) {
		m, there := marks[p]
		if there {
			m.Letter += "+"
			m.Words += ", " + words
		} else {
			m.Letter, m.Words = letter, words
		}
		if m.Class != "danger" {
			m.Class = class
		}
		m.Letter = strings.Replace(m.Letter, "++", "+", 1)
		marks[p] = m
	}
	for _, u := range d.Ulcers {
		if u.Side == s && u.Open() != known.No {
			add(u.Place, "danger", ulcerLetter, "open ulcer "+u.ID)
		}
	}
	for _, l := range d.Foot(s).Look.Lesions {
		if l.Kind != exam.NoLesion && l.Place != foot.NoPlace {
			class := "finding"
			if l.Kind.PreUlcerative() {
				class = "danger"
			}
			add(l.Place, class, lesionLetters[l.Kind], lesionWord(l.Kind))
		}
	}
	rest := drawing.Mark{}
	switch d.Foot(s).Look.Skin {
	case known.Normal:
		rest = drawing.Mark{Class: "normal", Words: "skin normal"}
	case known.Abnormal:
		rest = drawing.Mark{Class: "seen", Words: "no finding here"}
	default:
		return marks
	}
	for _, p := range foot.Places() {
		if _, there := marks[p]; !there {
			marks[p] = rest
		}
	}
	return marks
}

func lesionWord(k exam.LesionKind) string {
	for _, o := range lesionKinds {
		if o.value == k.String() {
			return lower(o.label)
		}
	}
	return k.String()
}

// testMarks are the results of the monofilament.
func testMarks(d exam.Draft, s foot.Side) map[foot.Place]drawing.Mark {
	marks := map[foot.Place]drawing.Mark{}
	for site := range neuro.SiteCount {
		if m, ok := filamentMark(d.Foot(s).Test.Filament[site]); ok {
			marks[site.Place()] = m
		}
	}
	return marks
}

func filamentMark(f known.Finding) (drawing.Mark, bool) {
	switch {
	case f == known.Normal:
		return drawing.Mark{Letter: "+", Class: "normal", Words: "felt"}, true
	case f == known.Abnormal:
		return drawing.Mark{Letter: "−", Class: "finding", Words: "not felt"}, true
	case f.Recorded():
		word, _ := optionOf(felt("", "", foot.NoPlace), f.String())
		return drawing.Mark{Letter: "/", Class: "open", Words: lower(word)}, true
	}
	return drawing.Mark{}, false
}

// filamentPlaces are the places of the monofilament sites, tested by any
// protocol.
func filamentPlaces() []foot.Place {
	var ps []foot.Place
	for s := range neuro.SiteCount {
		ps = append(ps, s.Place())
	}
	return ps
}

// before adds to marks what an earlier exam found.
func before(marks, was map[foot.Place]drawing.Mark) map[foot.Place]drawing.Mark {
	for p, w := range was {
		m := marks[p]
		m.Was = w.Words
		marks[p] = m
	}
	return marks
}

// findingsOnly drops the marks that say that there is nothing.
func findingsOnly(marks map[foot.Place]drawing.Mark) map[foot.Place]drawing.Mark {
	for p, m := range marks {
		if m.Class == "normal" || m.Class == "seen" {
			delete(marks, p)
		}
	}
	return marks
}

// lastExam is the newest signed exam that is not the one at hand.
func lastExam(exams []record.SignedExam, id string) *record.SignedExam {
	for i := len(exams) - 1; i >= 0; i-- {
		if exams[i].Exam.ID != id {
			return &exams[i]
		}
	}
	return nil
}

// bothMarks are findings and tests in one drawing, for the pages that only show.
func bothMarks(d exam.Draft, s foot.Side) map[foot.Place]drawing.Mark {
	marks := findingsOnly(lookMarks(d, s))
	for p, m := range testMarks(d, s) {
		old, there := marks[p]
		switch {
		case there && m.Class == "finding":
			old.Words += "; monofilament not felt"
			old.Letter = strings.TrimSuffix(old.Letter, "+") + m.Letter
			marks[p] = old
		case !there:
			m.Words = "monofilament " + m.Words
			marks[p] = m
		}
	}
	return marks
}

// stillDrawing is one view that only shows what was recorded, with what an
// earlier exam found around it. Places of which nothing is to be said are not
// named.
func stillDrawing(d exam.Draft, s foot.Side, v drawing.View, was *exam.Draft) string {
	dr := drawing.Drawing{Side: s, View: v, Loss: d.Foot(s).Loss, Marks: bothMarks(d, s), Only: []foot.Place{}, Badge: 19}
	if was != nil {
		dr.Marks = before(dr.Marks, findingsOnly(bothMarks(*was, s)))
	}
	for _, p := range foot.Places() {
		m, there := dr.Marks[p]
		if !there {
			continue
		}
		if m.Was != "" {
			m.Words = strings.TrimPrefix(m.Words+"; last time "+m.Was, "; ")
			dr.Marks[p] = m
		}
		dr.Only = append(dr.Only, p)
	}
	return dr.SVG()
}

// topMarked reports whether anything is marked on top of a foot, so that the
// view is worth its room.
func topMarked(d exam.Draft, was *exam.Draft) bool {
	for _, s := range foot.Sides {
		exams := []exam.Draft{d}
		if was != nil {
			exams = append(exams, *was)
		}
		for _, e := range exams {
			marks := bothMarks(e, s)
			for _, p := range (drawing.Drawing{Side: s, View: drawing.Top}).Places() {
				if _, there := marks[p]; there {
					return true
				}
			}
		}
	}
	return false
}

// legend says the letters of the drawings of an exam, each once.
func legend(d exam.Draft) string {
	said := map[string]bool{}
	var words []string
	add := func(letter, says string) {
		if !said[letter] {
			said[letter] = true
			words = append(words, letter+" "+says)
		}
	}
	for _, s := range foot.Sides {
		tests := testMarks(d, s)
		for _, p := range foot.Places() {
			if m, there := tests[p]; there {
				add(m.Letter, m.Words)
			}
		}
		for _, u := range d.Ulcers {
			if u.Side == s && u.Open() != known.No {
				add(ulcerLetter, "open ulcer")
			}
		}
		for _, l := range d.Foot(s).Look.Lesions {
			if l.Kind != exam.NoLesion {
				add(lesionLetters[l.Kind], lesionWord(l.Kind))
			}
		}
	}
	return strings.Join(words, ", ")
}
