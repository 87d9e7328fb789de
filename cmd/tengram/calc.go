package main

import (
	"fmt"
	"strings"

	"tengram/internal/kernel/assess"
	"tengram/internal/kernel/calc"
)

type calcCmd struct {
	Name   string   `arg:"" optional:"" help:"Name of the calculator; without it, all are listed."`
	Inputs []string `arg:"" optional:"" help:"Inputs written name=value."`
	JSON   bool     `help:"Print JSON."`
}

// Help shows examples.
func (calcCmd) Help() string {
	return "Examples:\n  tengram calc\n  tengram calc abi right-dp=96 right-pt=104 left-dp=60 left-pt=50 right-arm=128 left-arm=132\n  tengram calc iwgdf lops=yes pad=unknown deformity=no ulcer-history=no amputation=no esrd=no --json"
}

// Run lists the calculators or runs one.
func (c calcCmd) Run(s *session) error {
	if c.Name == "" {
		return c.list(s)
	}
	calculator, err := calc.Find(c.Name)
	if err != nil {
		return wrongUse{err}
	}
	if len(c.Inputs) == 0 && needsInput(calculator) {
		return c.describe(s, calculator)
	}
	out, err := calculator.Do(c.Inputs)
	if err != nil {
		return wrongUse{fmt.Errorf("%s: %w", c.Name, err)}
	}
	if c.JSON {
		return writeJSON(s.out, calc.Fields{
			{Name: "calculator", Value: calculator.Name}, {Name: "inputs", Value: inputFields(c.Inputs)},
			{Name: "result", Value: out.Result}, {Name: "steps", Value: out.Steps},
			{Name: "sources", Value: out.Sources}, {Name: "caution", Value: assess.Caution},
		})
	}
	p := page{s.out}
	p.item(0, "", capital(calculator.Title))
	p.head("Result")
	writeFields(p, 2, out.Result)
	if len(out.Steps) > 0 {
		p.head("Steps")
		for _, step := range out.Steps {
			p.item(2, "- ", step)
		}
	}
	p.head("Sources")
	for _, src := range out.Sources {
		p.item(2, "- ", src.Title+" ("+src.Edition+"), "+src.Place+". "+string(src.Standing)+".")
	}
	fmt.Fprintln(s.out)
	p.item(0, "", assess.Caution)
	return nil
}

func needsInput(c calc.Calculator) bool {
	for _, i := range c.Inputs {
		if i.Required {
			return true
		}
	}
	return false
}

func (c calcCmd) list(s *session) error {
	all := calc.All()
	if c.JSON {
		var list []calc.Fields
		for _, k := range all {
			list = append(list, calc.Fields{{Name: "name", Value: k.Name}, {Name: "title", Value: k.Title}, {Name: "example", Value: "tengram calc " + k.Name + " " + k.Example}})
		}
		return writeJSON(s.out, list)
	}
	p := page{s.out}
	for _, k := range all {
		p.item(0, fmt.Sprintf("%-18s", k.Name), capital(k.Title))
	}
	fmt.Fprintln(s.out)
	p.item(0, "", "tengram calc NAME shows the inputs of one; tengram calc NAME name=value... runs it.")
	return nil
}

func (c calcCmd) describe(s *session, k calc.Calculator) error {
	p := page{s.out}
	p.item(0, "", k.Name+": "+capital(k.Title))
	p.head("Inputs")
	for _, i := range k.Inputs {
		need := ""
		if i.Required {
			need = " (needed)"
		}
		p.item(2, fmt.Sprintf("%-20s", i.Name), i.Says+need)
	}
	p.head("Example")
	p.item(2, "", "tengram calc "+k.Name+" "+k.Example)
	return wrongUse{fmt.Errorf("%s needs inputs", k.Name)}
}

func capital(text string) string { return strings.ToUpper(text[:1]) + text[1:] }

func inputFields(inputs []string) calc.Fields {
	fields := calc.Fields{}
	for _, in := range inputs {
		name, value, _ := strings.Cut(in, "=")
		fields = append(fields, calc.Field{Name: name, Value: value})
	}
	return fields
}

func writeFields(p page, indent int, fields calc.Fields) {
	for _, f := range fields {
		switch v := f.Value.(type) {
		case calc.Fields:
			p.item(indent, "", f.Name)
			writeFields(p, indent+2, v)
		case []string:
			p.item(indent, "", f.Name+": "+strings.Join(v, ", "))
		default:
			p.item(indent, "", fmt.Sprintf("%s: %v", f.Name, v))
		}
	}
}
