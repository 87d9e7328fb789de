package wound

import (
	"fmt"
	"strconv"

	"tengram/internal/kernel/known"
	"tengram/internal/kernel/source"
)

// InfectionGrade is the infection of one ulcer or one foot by one edition.
type InfectionGrade struct {
	Edition InfectionEdition
	// Low and High bound the grade: 1 none, 2 mild, 3 moderate, 4 severe.
	Low, High int
	// Infected answers "is there an infection at all?".
	Infected known.Tri
	// Bone answers "is bone involved or suspected?"; the edition of 2023 then
	// adds (O) to the grade.
	Bone known.Tri
	// Wide answers "is redness wide, or the infection deeper than skin and
	// subcutis?", which makes it moderate.
	Wide known.Tri
	SIRS SIRSResult
	// Missing names what would settle the grade.
	Missing []string
	Because source.Because
}

var infectionWords = [...]string{1: "not infected", 2: "mild infection", 3: "moderate infection", 4: "severe infection"}

var (
	grade2023   = source.IWGDFIDSA2023Infection.At("infection grades", source.Secondary)
	bone2023    = source.IWGDFIDSA2023Infection.At("infection grades, (O)", source.Secondary)
	bareBone23  = source.IWGDFIDSA2023Infection.At("infection grades, bone without two local signs", source.Memory)
	grade2012   = source.IDSA2012Infection.At("infection grades", source.Secondary)
	gasIsDeep   = own("gas in the tissue counts as deep infection")
	bareBone12  = own("bone infection without two local signs is graded as in 2023")
	bareDeepOwn = own("an abscess or other deep infection needs no second local sign")
)

// GradeInfection grades an infection. Infected is two or more of: swelling,
// redness of more than 5 mm from the edge, tenderness, warmth, pus. Moderate
// starts where redness reaches 20 mm (2023) or passes 20 mm (2012), or where it
// is deeper than skin and subcutis; severe is any infection with SIRS (both
// second hand). A deep infection or an infected bone needs no second local
// sign: for bone that is the edition of 2023 from memory, for the rest our
// proposal.
//
// The grade never falls when a finding gets worse, so an unknown answer is
// tried both ways: Low takes it for normal, High for abnormal. at is where the
// signs stand in the exam, such as "ulcers.u1.infection".
func GradeInfection(at string, i Infection, s Systemic, e InfectionEdition) InfectionGrade {
	deep := known.Any(i.Deep.Tri(), i.Crepitus.Tri())
	signs := [5]known.Tri{i.Swelling.Tri(), redness(i.ErythemaMM, 6), i.Tenderness.Tri(), i.Warmth.Tri(), i.Pus.Tri()}
	edge := 20
	if e == Infection2012 {
		edge = 21
	}
	wideRedness := redness(i.ErythemaMM, edge)
	least, most := 0, 0
	for _, t := range signs {
		if t == known.Yes {
			least++
		}
		if t != known.No {
			most++
		}
	}
	g := InfectionGrade{Edition: e, Bone: i.Bone.Tri(), SIRS: SIRSBy(s, e)}
	twoSigns := atLeast(least, most, 2)
	g.Infected = known.Any(twoSigns, deep, g.Bone)
	g.Wide = known.Any(deep, g.Bone, known.All(twoSigns, wideRedness))
	g.Low = infectionGrade(g.Infected == known.Yes, g.Wide == known.Yes, g.SIRS.Is == known.Yes)
	g.High = infectionGrade(g.Infected != known.No, g.Wide != known.No, g.SIRS.Is != known.No)
	if !g.Settled() {
		g.Missing = g.missing(at, i, signs, twoSigns, wideRedness, deep)
	}
	g.explain(at, i, least, most)
	return g
}

// Settled reports whether one grade remains, its (O) included.
func (g InfectionGrade) Settled() bool {
	return g.Low == g.High && (g.Edition == Infection2012 || g.Bone.Known())
}

func infectionGrade(infected, wide, sirs bool) int {
	switch {
	case !infected:
		return 1
	case sirs:
		return 4
	case wide:
		return 3
	}
	return 2
}

// redness answers "does redness reach from millimetres or more?".
func redness(mm known.Reading, from int) known.Tri {
	switch {
	case mm.State == known.TooHigh:
		return known.Yes
	case !mm.Known() || mm.Value < 0:
		return known.Unknown
	}
	return known.Of(mm.Value >= from)
}

// atLeast answers "are there n or more?" of a count between least and most.
func atLeast(least, most, n int) known.Tri {
	switch {
	case least >= n:
		return known.Yes
	case most < n:
		return known.No
	}
	return known.Unknown
}

func (g *InfectionGrade) missing(at string, i Infection, signs [5]known.Tri, twoSigns, wideRedness, deep known.Tri) []string {
	var m []string
	if twoSigns == known.Unknown {
		m = missing(m, at+".swelling", signs[0])
	}
	if twoSigns == known.Unknown || (twoSigns == known.Yes && wideRedness == known.Unknown && g.Wide != known.Yes) {
		m = missing(m, at+".erythema-mm", known.Any(signs[1], wideRedness))
	}
	if twoSigns == known.Unknown {
		m = missing(m, at+".tenderness", signs[2])
		m = missing(m, at+".warmth", signs[3])
		m = missing(m, at+".pus", signs[4])
	}
	if deep == known.Unknown && g.Low < 3 {
		m = missing(m, at+".deep", i.Deep.Tri())
		m = missing(m, at+".crepitus", i.Crepitus.Tri())
	}
	if g.Low < 3 || g.Edition == Infection2023 {
		m = missing(m, at+".bone", g.Bone)
	}
	if g.High == 4 && g.Low < 4 {
		m = append(m, g.SIRS.Missing...)
	}
	return m
}

func (g *InfectionGrade) explain(at string, i Infection, least, most int) {
	src, edge := grade2023, "20 mm or more"
	if g.Edition == Infection2012 {
		src, edge = grade2012, "more than 20 mm"
	}
	signs := strconv.Itoa(least)
	if most > least {
		signs += " to " + strconv.Itoa(most)
	}
	g.Because = append(g.Because, source.Reason{Says: signs + " of 5 local signs; two or more are an infection.", Fact: at, Source: src})
	if i.ErythemaMM.Recorded() && least >= 1 {
		g.Because = append(g.Because, source.Reason{
			Says: fmt.Sprintf("Redness reaches %v mm from the edge; %s makes an infection moderate.", i.ErythemaMM, edge),
			Fact: at + ".erythema-mm", Source: src})
	}
	if i.Deep == known.AnswerYes {
		deepSource := src
		if least < 2 {
			deepSource = bareDeepOwn
		}
		g.Because = append(g.Because, source.Reason{Says: "The infection is deeper than skin and subcutis.", Fact: at + ".deep", Source: deepSource})
	}
	if i.Crepitus == known.AnswerYes {
		g.Because = append(g.Because, source.Reason{Says: "There is gas in the tissue.", Fact: at + ".crepitus", Source: gasIsDeep})
	}
	if g.Bone == known.Yes {
		g.Because = append(g.Because, source.Reason{Says: "Bone is infected or suspected to be.", Fact: at + ".bone", Source: g.boneSource(least)})
	}
	if g.Infected != known.No && g.SIRS.Is == known.Yes {
		g.Because = append(g.Because, source.Reason{Says: "Two or more systemic criteria are met: any infection is then severe.", Source: src})
		g.Because = append(g.Because, g.SIRS.Because...)
	}
}

func (g *InfectionGrade) boneSource(signs int) *source.Source {
	switch {
	case g.Edition == Infection2023 && signs < 2:
		return bareBone23
	case g.Edition == Infection2023:
		return bone2023
	case signs < 2:
		return bareBone12
	}
	return grade2012
}

// Text writes a bound of the grade, with (O) where the edition adds it.
func (g InfectionGrade) Text(grade int, bone bool) string {
	if bone && g.Edition == Infection2023 && grade >= 3 {
		return strconv.Itoa(grade) + "(O)"
	}
	return strconv.Itoa(grade)
}

// Class writes the grade as a class of the fixed list.
func (g InfectionGrade) Class() Class {
	c := Class{
		ID: "infection-2023", Name: "Infection, IWGDF/IDSA 2023",
		Low: g.Text(g.Low, g.Bone == known.Yes), High: g.Text(g.High, g.Bone != known.No),
		Words: between(infectionWords[g.Low], infectionWords[g.High]), Missing: g.Missing, Because: g.Because,
	}
	if g.Edition == Infection2012 {
		c.ID, c.Name = "infection-2012", "Infection, IDSA 2012"
	}
	return c
}

// between joins the words of two bounds.
func between(low, high string) string {
	if low == high {
		return low
	}
	return low + " to " + high
}
