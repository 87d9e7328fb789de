package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"os"
	"strings"

	"tengram/internal/kernel/assess"
	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/foot"
	"tengram/internal/kernel/risk"
	"tengram/internal/kernel/source"
	"tengram/internal/kernel/when"
)

type assessCmd struct {
	File    string `arg:"" help:"Exam document to judge, or - for standard input."`
	JSON    bool   `help:"Print JSON."`
	Edition string `help:"Edition of the rules (${default})." default:"us-2024"`
	On      string `help:"Day from which deadlines count, YYYY-MM-DD; the day of the exam when left out." placeholder:"DAY"`
}

// Help shows examples.
func (assessCmd) Help() string {
	return "Examples:\n  tengram assess docs/examples/01-wholly-normal.json\n  tengram assess - --json < exam.json\n\nExit code 1 when the document could not be signed as it stands; it is judged all the same."
}

// Run judges one document and prints it.
func (c assessCmd) Run(s *session) error {
	edition, err := assess.EditionByID(c.Edition)
	if err != nil {
		return wrongUse{err}
	}
	d, err := readDraft(s, c.File)
	if err != nil {
		return err
	}
	_, on := d.At.Days(nil)
	if c.On != "" {
		if on, err = when.ParseDay(c.On); err != nil {
			return wrongUse{err}
		}
	}
	if on.IsZero() {
		return wrongUse{fmt.Errorf("%s does not say when the exam was done: add \"at\" to it, or give --on YYYY-MM-DD", c.File)}
	}
	_, problemsFound := exam.Check(d)
	a := assess.Assess(assess.Input{Exam: &d, Edition: edition, On: on})
	if c.JSON {
		err = writeJSON(s.out, struct {
			assess.Assessment
			Problems []exam.Problem `json:"problems"`
		}{a, append([]exam.Problem{}, problemsFound...)})
	} else {
		writeAssessment(page{s.out}, &a, problemsFound)
	}
	if err == nil && exam.Blocked(problemsFound) {
		return problems{fmt.Errorf("the document cannot be signed as it stands; see the problems above")}
	}
	return err
}

func readDraft(s *session, file string) (exam.Draft, error) {
	var d exam.Draft
	var text []byte
	var err error
	if file == "-" {
		text, err = io.ReadAll(s.in)
	} else {
		text, err = os.ReadFile(file)
	}
	if err != nil {
		return d, wrongUse{err}
	}
	decoder := json.NewDecoder(bytes.NewReader(text))
	decoder.DisallowUnknownFields()
	if err := decoder.Decode(&d); err != nil {
		line := 1 + bytes.Count(text[:min(int(decoder.InputOffset()), len(text))], []byte("\n"))
		return d, wrongUse{fmt.Errorf("%s, near line %d: %w; the form of an exam document is in docs/schema/exam.schema.json", file, line, err)}
	}
	return d, nil
}

func writeAssessment(p page, a *assess.Assessment, found []exam.Problem) {
	for _, f := range a.Flags {
		p.item(0, "!! ", strings.ToUpper(f.Urgency.Words())+": "+f.Says+sides(f.Sides))
		because(p, f.Because)
	}
	r := a.Risk()
	low, high := r.ForPlan()
	p.head("Risk")
	if a.Active != "" {
		p.item(2, "", a.Active)
	}
	p.item(2, "", r.Name+": "+span(r.Low, r.High))
	if r.Cautious != nil {
		p.item(2, "", "The plan follows the cautious reading: "+span(low, high))
		because(p, r.Cautious.Because)
	}
	because(p, r.Because)
	if a.Override != nil {
		p.item(2, "", "A clinician set "+a.Override.Category+": "+a.Override.Reason)
	}
	for _, other := range a.Risks[1:] {
		p.item(4, "", other.Name+": "+span(other.Low, other.High))
	}
	if a.Disagreement != "" {
		p.item(2, "", "Not all agree: "+a.Disagreement)
	}
	p.head("Findings")
	if len(a.Findings) == 0 {
		p.item(2, "", "None of those recorded. Not recorded is not normal; see what is missing.")
	}
	for _, f := range a.Findings {
		p.item(2, "- ", f.Says+sides(f.Sides))
	}
	if len(a.Missing) > 0 {
		p.head("Missing")
		for _, m := range a.Missing {
			p.item(2, "- ", fmt.Sprintf("for the %s: %s (%s)", m.Purpose, m.Says, m.Field))
		}
	}
	p.head("Plan")
	for _, act := range a.Plan.Actions {
		due := ""
		if !act.Due.IsZero() {
			due = " (by " + act.Due.String() + ")"
		}
		p.item(2, "- ", act.Urgency.Words()+due+": "+act.Says)
		because(p, act.Because)
	}
	rc := a.Plan.Recall
	p.item(2, "- ", fmt.Sprintf("Next full exam: from %s, due %s, late after %s.", rc.From, rc.Due, rc.Overdue))
	because(p, rc.Because)
	if len(found) > 0 {
		p.head("Problems in the document")
		for _, f := range found {
			p.item(2, "- ", f.Field+": "+f.Says)
		}
	}
	fmt.Fprintln(p.w)
	p.item(0, "", a.Caution)
}

func because(p page, reasons source.Because) {
	for _, r := range reasons {
		text := r.Says
		if r.Source != nil {
			text += " [" + r.Source.Title + " " + r.Source.Edition + ", " + r.Source.Place + "; " + string(r.Source.Standing) + "]"
		}
		p.item(6, "because ", text)
	}
}

func span(low, high risk.Category) string {
	one := func(c risk.Category) string {
		w := c.Code + " (" + c.Name + ")"
		if c.Probability != nil {
			w += fmt.Sprintf(", %v %% in %d years (%v to %v)", c.Probability.Percent, c.Probability.Years, c.Probability.Low, c.Probability.High)
		}
		return w
	}
	if low.Rank == high.Rank {
		return one(low)
	}
	return "between " + one(low) + " and " + one(high)
}

func sides(ss []foot.Side) string {
	var words []string
	for _, s := range ss {
		words = append(words, s.String())
	}
	if len(words) == 0 {
		return ""
	}
	return " (" + strings.Join(words, " and ") + ")"
}
