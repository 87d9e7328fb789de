//go:build js && wasm

// Command tengram-kernel is the kernel for a browser: the same rules that the
// server runs, compiled to WebAssembly, behind three functions that take and
// give JSON text.
package main

import (
	"encoding/json"
	"syscall/js"

	"tengram/internal/kernel/assess"
	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/when"
)

// request is what the page asks.
type request struct {
	Exam       exam.Draft      `json:"exam"`
	Background exam.Background `json:"background"`
	Edition    string          `json:"edition"`
	// On is the day from which deadlines count.
	On when.Day `json:"on"`
}

// answer is what it gets: the assessment, what Check found, and which parts of
// the measure are done.
type answer struct {
	Assessment assess.Assessment `json:"assessment"`
	Problems   []exam.Problem    `json:"problems"`
	Done       exam.Parts        `json:"done"`
}

func main() {
	js.Global().Set("tengramKernel", js.ValueOf(map[string]any{
		"assess":   js.FuncOf(text(judge)),
		"editions": js.FuncOf(text(func(string) (any, error) { return assess.Editions(), nil })),
	}))
	select {}
}

func judge(in string) (any, error) {
	var r request
	if err := json.Unmarshal([]byte(in), &r); err != nil {
		return nil, err
	}
	edition, err := assess.EditionByID(r.Edition)
	if err != nil {
		return nil, err
	}
	checked, problems := exam.Check(r.Exam)
	return answer{
		Assessment: assess.Assess(assess.Input{Exam: &checked.Draft, Background: r.Background, Edition: edition, On: r.On}),
		Problems:   problems,
		Done:       checked.Done(),
	}, nil
}

// text wraps a function of text to a value as one of text to text; an error
// comes back as {"error": "..."}.
func text(f func(string) (any, error)) func(js.Value, []js.Value) any {
	return func(_ js.Value, args []js.Value) any {
		in := ""
		if len(args) > 0 {
			in = args[0].String()
		}
		out, err := f(in)
		if err != nil {
			out = map[string]string{"error": err.Error()}
		}
		b, err := json.Marshal(out)
		if err != nil {
			return `{"error":"the answer could not be written"}`
		}
		return string(b)
	}
}
