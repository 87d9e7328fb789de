package web

import (
	"strconv"
	"strings"
)

func digit(n int) string { return strconv.Itoa(n) }

// measureName is the accessible name of a number with its unit.
func measureName(c controlView) string {
	if c.unit == "" {
		return c.Name
	}
	return c.Name + ", " + c.unit
}

// optionWords lists the chosen options of a control.
func optionWords(c controlView) string {
	var words []string
	for _, o := range c.main {
		if o.value != "" && c.Has(o.value) {
			words = append(words, o.label)
		}
	}
	if len(words) == 0 {
		return "Choose"
	}
	return strings.Join(words, ", ")
}

// jsonKind tells the script how the text at a path becomes JSON.
func jsonKind(path string) string {
	leaf, ok := documentShape.at(path)
	if !ok {
		return string(wordLeaf)
	}
	switch leaf.kind {
	case readingLeaf, tenthsLeaf, numberLeaf:
		return "number"
	case wordsLeaf:
		return "words"
	case numbersLeaf:
		return "numbers"
	}
	return string(wordLeaf)
}
