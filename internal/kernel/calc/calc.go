// Package calc lists the calculators: each takes named inputs, checks them,
// and gives a result with its steps and sources.
//
// A calculator holds no rule of its own; it calls the room that does.
package calc

import (
	"bytes"
	"encoding/json"
	"fmt"
	"slices"
	"sort"
	"strconv"
	"strings"

	"tengram/internal/kernel/known"
	"tengram/internal/kernel/source"
)

// Calculator is one calculation that can be run by name.
type Calculator struct {
	// Name is what it is called by, such as "abi".
	Name string
	// Title says in a few words what it gives.
	Title string
	// Inputs in the order to ask them.
	Inputs []Input
	// Example is a line of inputs that works.
	Example string
	Run     func(*Args) (Output, error)
}

// Input is one named input.
type Input struct {
	Name string
	// Says gives meaning, unit and range: "systolic pressure, mmHg, 0 to 400".
	Says     string
	Required bool
}

// Output is what a calculator gives.
type Output struct {
	Result Fields `json:"result"`
	// Steps are the arithmetic and the rules applied, in order.
	Steps   []string         `json:"steps"`
	Sources []*source.Source `json:"sources"`
}

// Field is one named value of a result.
type Field struct {
	Name string
	// Value is a string, a bool, an int, a json.Number, a []string, or Fields.
	Value any
}

// Fields are named values in a fixed order; in JSON an object.
type Fields []Field

// MarshalJSON writes an object in the order of the fields.
func (fs Fields) MarshalJSON() ([]byte, error) {
	var b bytes.Buffer
	b.WriteByte('{')
	for i, f := range fs {
		if i > 0 {
			b.WriteByte(',')
		}
		name, err := json.Marshal(f.Name)
		if err != nil {
			return nil, err
		}
		value, err := json.Marshal(f.Value)
		if err != nil {
			return nil, fmt.Errorf("result %s: %w", f.Name, err)
		}
		b.Write(name)
		b.WriteByte(':')
		b.Write(value)
	}
	b.WriteByte('}')
	return b.Bytes(), nil
}

// Get returns the value at a path of names, or nil.
func (fs Fields) Get(path ...string) any {
	for _, f := range fs {
		if f.Name != path[0] {
			continue
		}
		if len(path) == 1 {
			return f.Value
		}
		if sub, ok := f.Value.(Fields); ok {
			return sub.Get(path[1:]...)
		}
	}
	return nil
}

// All lists the calculators by name.
func All() []Calculator {
	all := slices.Concat(nerveCalculators(), perfusionCalculators(), heatCalculators(), riskCalculators(), woundCalculators(), recallCalculators(), shapeCalculators())
	sort.Slice(all, func(i, j int) bool { return all[i].Name < all[j].Name })
	return all
}

// Find returns the calculator of a name.
func Find(name string) (Calculator, error) {
	var names []string
	for _, c := range All() {
		if c.Name == name {
			return c, nil
		}
		names = append(names, c.Name)
	}
	return Calculator{}, fmt.Errorf("there is no calculator %q; there are: %s", name, strings.Join(names, ", "))
}

// Do runs the calculator over inputs given as key=value. Every bad input is
// named, with what is allowed.
func (c Calculator) Do(inputs []string) (Output, error) {
	args := &Args{values: map[string]string{}}
	for _, in := range inputs {
		key, value, ok := strings.Cut(in, "=")
		switch {
		case !ok:
			args.refuse("%q is not an input written name=value", in)
		case !slices.ContainsFunc(c.Inputs, func(i Input) bool { return i.Name == key }):
			args.refuse("%s has no input %q; its inputs are: %s", c.Name, key, c.inputNames())
		case args.has(key):
			args.refuse("input %s is given twice", key)
		default:
			args.values[key] = value
		}
	}
	for _, i := range c.Inputs {
		if i.Required && !args.has(i.Name) {
			args.refuse("input %s is missing: %s", i.Name, i.Says)
		}
	}
	if err := args.err(); err != nil {
		return Output{}, err
	}
	out, err := c.Run(args)
	if bad := args.err(); bad != nil {
		return Output{}, bad
	}
	return out, err
}

func (c Calculator) inputNames() string {
	var names []string
	for _, i := range c.Inputs {
		names = append(names, i.Name)
	}
	return strings.Join(names, ", ")
}

// Args are the inputs of one run. The getters collect what is wrong, so that a
// person sees every problem at once; Do reports them after Run.
type Args struct {
	values   map[string]string
	problems []string
}

func (a *Args) refuse(format string, v ...any) {
	a.problems = append(a.problems, fmt.Sprintf(format, v...))
}

func (a *Args) err() error {
	if len(a.problems) == 0 {
		return nil
	}
	return fmt.Errorf("%s", strings.Join(a.problems, "; "))
}

func (a *Args) has(name string) bool { _, ok := a.values[name]; return ok }

// Has reports whether the input was given.
func (a *Args) Has(name string) bool { return a.has(name) }

// Bad records that an input is wrong in a way that the getters cannot see.
func (a *Args) Bad(name, why string) { a.refuse("input %s=%s: %s", name, a.values[name], why) }

// Text returns the bare text, "" when not given.
func (a *Args) Text(name string) string { return a.values[name] }

// Int returns a whole number in low..high of the unit; not given is not
// measured.
func (a *Args) Int(name string, low, high int, unit string) known.Reading {
	s, ok := a.values[name]
	if !ok || s == "unknown" {
		return known.Reading{}
	}
	v, err := strconv.Atoi(s)
	if err != nil || v < low || v > high {
		a.refuse("input %s=%s is not a whole number of %s from %d to %d", name, s, unit, low, high)
		return known.Reading{}
	}
	return known.Value(v)
}

// Tenths returns a number with at most one decimal, in low..high tenths.
func (a *Args) Tenths(name string, low, high int, unit string) known.Tenths {
	s, ok := a.values[name]
	if !ok || s == "unknown" {
		return known.Tenths{}
	}
	v, err := known.ParseTenths(s)
	if err != nil || v < low || v > high {
		a.refuse("input %s=%s is not a number of %s from %v to %v with at most one decimal", name, s, unit, known.TenthsOf(low), known.TenthsOf(high))
		return known.Tenths{}
	}
	return known.TenthsOf(v)
}

// Float returns a decimal number in low..high; ok is false when not given or
// wrong.
func (a *Args) Float(name string, low, high float64, unit string) (v float64, ok bool) {
	s, given := a.values[name]
	if !given || s == "unknown" {
		return 0, false
	}
	v, err := strconv.ParseFloat(s, 64)
	if err != nil || !(v >= low && v <= high) {
		a.refuse("input %s=%s is not a number of %s from %g to %g", name, s, unit, low, high)
		return 0, false
	}
	return v, true
}

// Tri returns yes, no or unknown; not given is unknown.
func (a *Args) Tri(name string) known.Tri {
	s, ok := a.values[name]
	if !ok {
		return known.Unknown
	}
	var t known.Tri
	if err := t.UnmarshalText([]byte(s)); err != nil {
		a.refuse("input %s=%s is not yes, no or unknown", name, s)
	}
	return t
}

// Word returns one of the allowed words, "" when not given.
func (a *Args) Word(name string, allowed ...string) string {
	s, ok := a.values[name]
	if !ok {
		return ""
	}
	if !slices.Contains(allowed, s) {
		a.refuse("input %s=%s is not one of: %s", name, s, strings.Join(allowed, ", "))
		return ""
	}
	return s
}
