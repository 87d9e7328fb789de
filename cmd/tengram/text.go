package main

import (
	"encoding/json"
	"fmt"
	"io"
	"strings"
)

// columns is the width that text output keeps to.
const columns = 80

func writeJSON(w io.Writer, v any) error {
	e := json.NewEncoder(w)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	return e.Encode(v)
}

// writeLine writes one JSON document on one line.
func writeLine(w io.Writer, v any) error {
	e := json.NewEncoder(w)
	e.SetEscapeHTML(false)
	return e.Encode(v)
}

// page writes text wrapped at 80 columns, with a hanging indent.
type page struct{ w io.Writer }

func (p page) head(text string) { fmt.Fprintf(p.w, "\n%s\n", strings.ToUpper(text)) }

// item writes one line of a list; further lines hang under the text.
func (p page) item(indent int, mark, text string) {
	first := strings.Repeat(" ", indent) + mark
	rest := strings.Repeat(" ", len(first))
	for i, line := range wrap(text, columns-len(first)) {
		if i == 0 {
			fmt.Fprintln(p.w, first+line)
		} else {
			fmt.Fprintln(p.w, rest+line)
		}
	}
}

func wrap(text string, width int) []string {
	var lines []string
	line := ""
	for _, word := range strings.Fields(text) {
		switch {
		case line == "":
			line = word
		case len([]rune(line))+1+len([]rune(word)) > width:
			lines = append(lines, line)
			line = word
		default:
			line += " " + word
		}
	}
	return append(lines, line)
}
