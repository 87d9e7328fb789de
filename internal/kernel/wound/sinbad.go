package wound

import (
	"strconv"
	"strings"

	"tengram/internal/kernel/known"
	"tengram/internal/kernel/source"
)

// SINBADItems are the six items, in the order of the name; a yes is a point.
type SINBADItems struct {
	// Site: midfoot or hindfoot.
	Site known.Tri
	// Ischaemia: clinical evidence of reduced flow; no if one pulse is felt.
	Ischaemia known.Tri
	// Neuropathy: protective sensation is lost.
	Neuropathy known.Tri
	// Bacterial infection is present.
	Infection known.Tri
	// Area is 1 cm2 or more.
	Area known.Tri
	// Depth: muscle, tendon or deeper.
	Depth known.Tri
}

// SINBADAreaMM2 is the least area that counts as a point, in mm2: 1 cm2 (IWGDF
// 2023 table, second hand).
const SINBADAreaMM2 = 100

var (
	sinbadItems  = source.IWGDF2023Classification.At("SINBAD table", source.Secondary)
	sinbadAdvice = source.IWGDF2023Classification.At("communicating an ulcer", source.Secondary)
	sinbadSlow   = source.SINBAD2008.At("abstract", source.Confirmed)
)

var sinbadNames = [6]string{"site", "ischaemia", "neuropathy", "infection", "area", "depth"}

var sinbadSays = [6][2]string{
	{"The ulcer is on the forefoot.", "The ulcer is behind the forefoot."},
	{"A foot pulse is felt, or pressures speak against ischaemia.", "Flow to the foot is reduced."},
	{"Protective sensation is present.", "Protective sensation is lost."},
	{"The ulcer is not infected.", "The ulcer is infected."},
	{"The area is below 1 cm2.", "The area is 1 cm2 or more."},
	{"The ulcer stays in skin and subcutis.", "The ulcer reaches muscle, tendon or deeper."},
}

func (i SINBADItems) list() [6]known.Tri {
	return [6]known.Tri{i.Site, i.Ischaemia, i.Neuropathy, i.Infection, i.Area, i.Depth}
}

// Score is the sum of the items, 0 to 6, as an interval where one is unknown.
func (i SINBADItems) Score() (low, high int) {
	for _, t := range i.list() {
		if t == known.Yes {
			low++
		}
		if t != known.No {
			high++
		}
	}
	return low, high
}

// Words lists the items with their points: the IWGDF 2023 classification
// guideline asks to tell the six items and not the sum alone (second hand).
func (i SINBADItems) Words() string {
	var b strings.Builder
	for n, t := range i.list() {
		if n > 0 {
			b.WriteString(", ")
		}
		b.WriteString(sinbadNames[n])
		switch t {
		case known.Yes:
			b.WriteString(" 1")
		case known.No:
			b.WriteString(" 0")
		default:
			b.WriteString(" not known")
		}
	}
	return b.String()
}

// Class writes the items as a class.
func (i SINBADItems) Class() Class { return i.class([6]string{}, sinbadItems) }

// class writes the items with the facts they rest on, and the rule by which
// the flow was judged.
func (i SINBADItems) class(facts [6]string, flow *source.Source) Class {
	low, high := i.Score()
	c := Class{ID: "sinbad", Name: "SINBAD", Low: strconv.Itoa(low), High: strconv.Itoa(high), Words: i.Words()}
	c.Because = make(source.Because, 0, 8)
	for n, t := range i.list() {
		if !t.Known() {
			continue
		}
		src := sinbadItems
		if n == 1 {
			src = flow
		}
		c.Because = append(c.Because, reason(sinbadSays[n][t-known.No], facts[n], src))
	}
	if low >= 3 {
		c.Because = append(c.Because, reason("Healing is slower from 3 points on.", "", sinbadSlow))
	}
	c.Because = append(c.Because, reason("Tell the six items, not the sum alone; the score does not predict one person's outcome.", "", sinbadAdvice))
	return c
}

func (f *findings) sinbad(g InfectionGrade) Class {
	u := &f.in.Ulcer
	items := SINBADItems{Neuropathy: f.in.LOPS, Infection: f.infected, Depth: f.reaches(TendonOrMuscle)}
	if !u.Place.IsZero() {
		items.Site = known.Of(!u.Place.Forefoot())
	}
	flow, flowSource := f.noPulse()
	items.Ischaemia = flow
	if f.area.Known() {
		items.Area = known.Of(f.area.Value >= SINBADAreaMM2)
	}
	at := [6]string{f.at + ".place", f.leg, filamentAt[u.Side&1], f.at + ".infection", f.at + ".size", f.at + ".depth"}
	c := items.class(at, flowSource)
	c.Missing = missing(c.Missing, at[0], items.Site)
	if flow == known.Unknown {
		c.Missing = append(c.Missing, f.leg+".dorsalis-pedis", f.leg+".posterior-tibial")
	}
	c.Missing = missing(c.Missing, at[2], items.Neuropathy)
	c.Missing = f.missingInfection(c.Missing, g)
	c.Missing = missing(c.Missing, at[4], items.Area)
	c.Missing = missing(c.Missing, at[5], items.Depth)
	return c
}
