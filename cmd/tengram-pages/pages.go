//go:build js && wasm

package main

import (
	"encoding/json"
	"io"
	"strings"
	"syscall/js"

	"tengram/internal/web"
)

// drawn wraps a page of a case as a function of the case's JSON to its HTML; an
// error comes back as {"error": "..."}, which no page begins with.
func drawn(page func(web.Case, io.Writer) error) func(js.Value, []js.Value) any {
	return func(_ js.Value, args []js.Value) any {
		c, err := readCase(args)
		if err != nil {
			return failed(err)
		}
		var html strings.Builder
		if err := page(c, &html); err != nil {
			return failed(err)
		}
		return html.String()
	}
}

// seal gives the document of a case as it is signed.
func seal(_ js.Value, args []js.Value) any {
	c, err := readCase(args)
	if err != nil {
		return failed(err)
	}
	document, err := c.Seal()
	if err != nil {
		return failed(err)
	}
	return string(document)
}

func readCase(args []js.Value) (c web.Case, err error) {
	in := ""
	if len(args) > 0 {
		in = args[0].String()
	}
	err = json.Unmarshal([]byte(in), &c)
	return c, err
}
