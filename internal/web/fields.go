package web

import (
	"sync"

	"tengram/internal/kernel/foot"
	"tengram/internal/kernel/heat"
	"tengram/internal/kernel/neuro"
)

// The tables of this file and its neighbours (fields_*.go) are the exam page:
// every answer of the document, in the order of the hands. The page, the words
// beside a missing answer and the "all normal" buttons are all made from them;
// a test walks the document and fails where a path is in no table.

// side stands for the foot in the path of a field that both feet have.
const side = "{side}"

// control is how one answer is given.
type control string

const (
	choose  control = "choose"  // one of a few words, as large buttons
	pick    control = "pick"    // one of many words, as a list that opens
	gauge   control = "measure" // a number, or why there is none
	several control = "several" // any number of words
	write   control = "write"   // a line of text
	compose control = "compose" // several lines of text
	lesions control = "lesions" // the rows of skin findings
)

// tone is how an answer looks, so that it can be told apart without colour.
type tone string

const (
	plain   tone = "plain"   // what one hopes for
	notable tone = "notable" // a finding
	apart   tone = "apart"   // no result: could not, declined, not there
)

// option is one answer that can be chosen.
type option struct {
	value, label string
	tone         tone
}

// field is one answer of the document.
type field struct {
	// path is where it stands in the document.
	path  string
	label string
	hint  string
	as    control
	// main are the answers in sight, more those behind "Other".
	main, more []option
	// unit of a measurement.
	unit string
	// place is where on the foot it lies, where it lies anywhere: a place that
	// is gone is not asked for.
	place foot.Place
}

// group is some fields under one heading.
type group struct {
	id, title, hint string
	// paired: each field stands once for each foot.
	paired bool
	// folded: closed until something in it is recorded, for what most exams do
	// not need. settled: closed even then, for what is filled in from the start.
	folded, settled bool
	fields          []field
}

// block is one stage of the exam.
type block struct {
	id, title, hint string
	// normal says what the one-touch button records; empty for none.
	normal string
	groups []group
}

// blocks lists the exam in the order of the hands. Nobody changes the list.
var blocks = sync.OnceValue(func() []block {
	return []block{askBlock(), lookBlock(), feelBlock(), testBlock(), teachBlock()}
})

// The answers of the document's closed lists, in the words of the page.

var notRecorded = option{"", "Not recorded", apart}

var cannotAnswer = []option{
	{"unsure", "Does not know", apart}, {"declined", "Declined", apart},
	{"prevented", "Could not ask or see", apart}, notRecorded,
}

var cannotTest = []option{
	{"not-possible", "Not possible today", apart}, {"refused", "Declined", apart},
	{"absent", "Not there", apart}, notRecorded,
}

// hoped is a question to which "no" is what one hopes for.
func hoped(path, label, hint string) field {
	return field{path: path, label: label, hint: hint, as: choose, more: cannotAnswer,
		main: []option{{"no", "No", plain}, {"yes", "Yes", notable}}}
}

// wanted is a question to which "yes" is what one hopes for.
func wanted(path, label, hint string) field {
	return field{path: path, label: label, hint: hint, as: choose, more: cannotAnswer,
		main: []option{{"yes", "Yes", plain}, {"no", "No", notable}}}
}

// looked is a look or a test with a normal and an abnormal result.
func looked(path, label, normal, abnormal, hint string) field {
	return field{path: path, label: label, hint: hint, as: choose, more: cannotTest,
		main: []option{{"normal", normal, plain}, {"abnormal", abnormal, notable}}}
}

func felt(path, label string, place foot.Place) field {
	f := looked(path, label, "Felt", "Not felt", "")
	f.place = place
	return f
}

func measured(path, label, unit, hint string) field {
	return field{path: path, label: label, unit: unit, hint: hint, as: gauge}
}

var noNumber = []option{
	{"", "no reason given", apart},
	{"no-signal", "No signal", notable}, {"too-high", "Above range or not compressible", notable},
	{"not-possible", "Not possible today", apart}, {"refused", "Declined", apart},
}

func filamentFields() []field {
	var fs []field
	for s := range neuro.SiteCount {
		fs = append(fs, felt(side+".test.filament."+s.String(), placeLabel(s.Place()), s.Place()))
	}
	return fs
}

func temperatureFields() []field {
	var fs []field
	for s := range heat.SpotCount {
		f := measured(side+".feel.temperatures."+s.String(), placeLabel(s.Place()), "", "")
		f.place = s.Place()
		fs = append(fs, f)
	}
	return fs
}

// placeLabel is a short name of a place for the middle of the page.
func placeLabel(p foot.Place) string {
	switch p {
	case foot.MTH1:
		return "First metatarsal head"
	case foot.MTH2:
		return "Second metatarsal head"
	case foot.MTH3:
		return "Third metatarsal head"
	case foot.MTH4:
		return "Fourth metatarsal head"
	case foot.MTH5:
		return "Fifth metatarsal head"
	}
	return sentence(p.Words())
}
