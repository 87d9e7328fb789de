//go:build js && wasm

// Command tengram-pages is the kernel and the pages of an exam for a browser: the
// same rules that the server runs, drawn by the same templates, compiled to
// WebAssembly behind functions that take and give text. The rules alone, for
// other programs, are command tengram-kernel, half the size.
package main

import (
	"encoding/json"
	"syscall/js"

	"tengram/internal/kernel/assess"
	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/when"
	"tengram/internal/web"
)

// request is what the page asks.
type request struct {
	Exam       exam.Draft      `json:"exam"`
	Background exam.Background `json:"background"`
	Edition    string          `json:"edition"`
	// RecallChoice is the practice's choice inside recall intervals; empty is
	// the edition's own.
	RecallChoice string `json:"recall-choice"`
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
		"exam":     js.FuncOf(drawn(web.Case.DrawExam)),
		"parts":    js.FuncOf(drawn(web.Case.DrawParts)),
		"sign":     js.FuncOf(drawn(web.Case.DrawSign)),
		"seal":     js.FuncOf(seal),
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
	if r.RecallChoice != "" {
		edition.RecallChoice = r.RecallChoice
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
			return failed(err)
		}
		b, err := json.Marshal(out)
		if err != nil {
			return failed(err)
		}
		return string(b)
	}
}

func failed(err error) string {
	b, err := json.Marshal(map[string]string{"error": err.Error()})
	if err != nil {
		return `{"error":"the answer could not be written"}`
	}
	return string(b)
}
