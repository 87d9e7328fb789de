package wound

import (
	"strconv"

	"tengram/internal/kernel/foot"
	"tengram/internal/kernel/source"
)

var (
	woundGradeWords = source.WIfI2014.At("wound grade", source.Secondary)
	fiGradeWords    = source.WIfI2014.At("foot infection grade", source.Secondary)
	toeBone         = own("tendon or bone on a toe is grade 1 or 2: grade 1 where only the end phalanx shows")
	forefootDead    = own("gangrene of the forefoot is taken as extensive")
	noWordsForSite  = own("the published words name no such place")
)

// GradeWound is the WIfI wound grade 0 to 3 as far as the published words allow
// (second hand): 1 small and shallow without bone, save the end phalanx; 2 with
// bone, joint or tendon showing, generally not on the heel, or a shallow heel
// ulcer, or gangrene of toes only; 3 extensive and deep, or full thickness on
// the heel, or extensive gangrene. "Small" and "extensive" have no number, so
// there the grade stays an interval with Judgement saying what to decide; an
// interval with nothing missing is such a judgement.
//
// at and side say where the ulcer and its foot stand in the exam.
func GradeWound(at string, u Ulcer, g Gangrene) Grades {
	least, most := u.Depths()
	low, lowWhy := woundGrade(least, u.Place)
	high, highWhy := woundGrade(most, u.Place)
	r := Grades{Low: low[0], High: high[1]}
	switch {
	case highWhy != "":
		r.Judgement = highWhy
	case lowWhy != "":
		r.Judgement = lowWhy
	}
	r.Because = append(r.Because, reason("Depth: "+depthWords(least, most)+"; place: "+placeWords(u.Place)+".", at+".depth", woundGradeWords))
	if least != most {
		r.Missing = append(r.Missing, at+".depth")
	}
	if u.Place.IsZero() && most != Closed {
		r.Missing = append(r.Missing, at+".place")
	}
	switch {
	case most >= TendonOrMuscle && u.Place.Toe() > 0:
		r.Because = append(r.Because, reason("Tendon or bone on a toe: grade 1 if only the end phalanx shows, else 2.", at+".depth", toeBone))
	case most != Closed && u.Place == foot.Stump:
		r.Because = append(r.Because, reason("A stump stands in none of the published grades.", at+".place", noWordsForSite))
	}
	return r.withGangrene(gangreneAt[u.Side&1], g)
}

// withGangrene lifts a wound grade by the gangrene of the foot.
func (r Grades) withGangrene(at string, g Gangrene) Grades {
	switch g {
	case GangreneNotRecorded:
		if r.Low < 3 {
			r.Missing = append(r.Missing, at)
		}
		r.High = 3
	case ToeGangrene:
		r.Low, r.High = max(r.Low, 2), max(r.High, 2)
		r.Because = append(r.Because, reason("Gangrene of a toe: grade 2 or more.", at, woundGradeWords))
	case ForefootGangrene:
		r.Low, r.High = 3, 3
		r.Because = append(r.Because, reason("Gangrene of the forefoot: grade 3.", at, forefootDead))
	case WholeFootGangrene:
		r.Low, r.High = 3, 3
		r.Because = append(r.Because, reason("Gangrene of the whole foot: grade 3.", at, woundGradeWords))
	}
	if r.Low == r.High {
		r.Judgement, r.Missing = "", nil
	}
	return r
}

// woundGrade bounds the grade of one depth at one place, and says what is left
// to judge.
func woundGrade(d Depth, p foot.Place) (bounds [2]int, judge string) {
	heel := p == foot.Heel || p == foot.HeelBack
	switch {
	case d == Closed:
		return [2]int{0, 0}, ""
	case p.IsZero() && d == SkinOnly:
		return [2]int{1, 2}, "" // 2 on the heel
	case p.IsZero():
		return [2]int{1, 3}, ""
	case heel && d == SkinOnly:
		return [2]int{2, 2}, ""
	case heel && d == Subcutis:
		return [2]int{2, 3}, "is the heel ulcer shallow (2) or full thickness (3)?"
	case heel:
		return [2]int{3, 3}, ""
	case d <= Subcutis:
		return [2]int{1, 1}, ""
	case p.Toe() > 0:
		return [2]int{1, 2}, "does only the end phalanx show (1), or more (2)?"
	}
	return [2]int{2, 3}, "is the deep ulcer extensive, so that it needs a complex reconstruction (3), or not (2)?"
}

func placeWords(p foot.Place) string {
	if p.IsZero() {
		return "not recorded"
	}
	return p.Words()
}

// GradeFootInfection is the WIfI foot infection grade 0 to 3: the grade of the
// edition of 2012, one lower, since its edge is redness of more than 2 cm and
// 10 % immature cells (second hand).
func GradeFootInfection(g12 InfectionGrade) Grades {
	return Grades{Low: g12.Low - 1, High: g12.High - 1, Missing: g12.Missing, Because: g12.Because}
}

// WIfI joins the three grades to a stage. The table never falls when a grade
// rises, so its bounds are those of the grades.
func WIfI(w, i, fi Grades) Class {
	low, high := AmputationStage(w.Low, i.Low, fi.Low), AmputationStage(w.High, i.High, fi.High)
	c := Class{
		ID: "wifi", Name: "WIfI", Low: "stage " + strconv.Itoa(low), High: "stage " + strconv.Itoa(high),
		Words: w.text("W") + " " + i.text("I") + " " + fi.text("fI") + ": " + between(Likelihood(low), Likelihood(high)) + " 1-year risk of amputation",
	}
	for _, g := range []Grades{w, i, fi} {
		if g.Judgement != "" && low != high {
			c.Words += "; to judge: " + g.Judgement
		}
		if low != high {
			c.Missing = append(c.Missing, g.Missing...)
		}
		c.Because = append(c.Because, g.Because...)
	}
	c.Because = append(c.Because, reason("Stage by the table of the three grades, never by their sum.", "", amputationSource))
	least, most := Benefit(w, i, fi)
	c.Because = append(c.Because, reason("Likelihood of benefit from revascularisation once infection is controlled: "+
		between(Likelihood(least), Likelihood(most))+" (this table is from memory and not checked).", "", benefitSource))
	return c
}

// Benefit bounds the second table over the box of the grades; it is not
// monotone, so every cell is read.
func Benefit(w, i, fi Grades) (least, most int) {
	least, most = 4, 1
	for a := w.Low; a <= w.High; a++ {
		for b := i.Low; b <= i.High; b++ {
			for c := fi.Low; c <= fi.High; c++ {
				v := RevascularizationBenefit(a, b, c)
				least, most = min(least, v), max(most, v)
			}
		}
	}
	return least, most
}

func (g Grades) text(letter string) string {
	if g.Low == g.High {
		return letter + strconv.Itoa(g.Low)
	}
	return letter + strconv.Itoa(g.Low) + "-" + strconv.Itoa(g.High)
}

func (f *findings) wifi(g12 InfectionGrade) Class {
	i := GradeIschaemia(f.leg, FlowOf(f.in.Leg, f.in.Perfusion))
	w := GradeWound(f.at, f.in.Ulcer, f.in.Gangrene)
	c := WIfI(w, i, GradeFootInfection(g12))
	if g12.Low == g12.High && g12.Low > 1 {
		c.Because = append(c.Because, reason("The foot infection grade is the infection grade of 2012, one lower.", f.at+".infection", fiGradeWords))
	}
	return c
}
