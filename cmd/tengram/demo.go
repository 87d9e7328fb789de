package main

import (
	"fmt"
	"os"
	"time"

	"tengram/internal/clinic"
	"tengram/internal/demo"
	"tengram/internal/kernel/when"
)

type demoCmd struct {
	Once   bool   `help:"Print the summary and stop, without serving."`
	Today  string `help:"Day that the demo lives on, YYYY-MM-DD; today when left out." placeholder:"DAY"`
	Seed   uint64 `help:"Seed of the made-up clinic; the same seed and day give the same clinic." default:"1"`
	Data   string `help:"Folder for the demo's data; a temporary one, removed at the end, when left out." type:"path" placeholder:"DIR"`
	Listen string `help:"Address to listen on." default:"127.0.0.1:8480" placeholder:"HOST:PORT"`
	zoneFlag
}

// Help shows examples.
func (demoCmd) Help() string {
	return "Examples:\n  tengram demo\n  tengram demo --once --today 2026-03-02\n\nThe clinic, its people and their findings are made up."
}

// Run makes the demo clinic by the same road as real data, prints where the
// programme stands, and serves it.
func (c demoCmd) Run(s *session) error {
	zone, err := c.location()
	if err != nil {
		return err
	}
	today := when.DayOf(time.Now().In(zone))
	if c.Today != "" {
		if today, err = parseToday(c.Today); err != nil {
			return err
		}
	}
	dir := c.Data
	if dir == "" {
		if dir, err = os.MkdirTemp("", "tengram-demo-"); err != nil {
			return err
		}
		defer os.RemoveAll(dir)
	}
	practice, err := openPractice(s.ctx, dir, zone, true)
	if err != nil {
		return err
	}
	defer practice.Store.Close()
	fmt.Fprintln(s.err, "Making the demo clinic ...")
	if err := demo.Generate(c.Seed, today, demo.Options{Zone: zone}).Load(s.ctx, practice); err != nil {
		return fmt.Errorf("make the demo clinic: %w", err)
	}
	if c.Today != "" {
		fixToday(practice, today)
	} else {
		practice.Now = func() time.Time { return time.Now().In(zone) }
	}
	if err := writeSummary(s, practice); err != nil {
		return err
	}
	if c.Once {
		return nil
	}
	return serve(s, practice, c.Listen, true)
}

// writeSummary prints where the programme stands, in ten lines.
func writeSummary(s *session, practice *clinic.Clinic) error {
	m, err := practice.Summary(s.ctx)
	if err != nil {
		return err
	}
	today := practice.Today()
	_, coming, err := practice.Panel(s.ctx, operator(), clinic.PanelQuery{Diabetes: true, DueBy: today, VisitFrom: today, VisitTo: today.AddDays(6), Limit: 1})
	if err != nil {
		return err
	}
	fmt.Fprintf(s.out, "%s on %s (made-up people)\n", demo.Name, today)
	fmt.Fprintf(s.out, "  %5d people on the panel, %d of them with diabetes\n", m.People, m.Diabetes)
	fmt.Fprintf(s.out, "  %5d due for a foot exam, %d of them overdue\n", m.Due, m.Overdue)
	fmt.Fprintf(s.out, "  %5d of the due are booked within 7 days for some other reason\n", coming)
	fmt.Fprintf(s.out, "  %5d never examined\n", m.NeverExamined)
	fmt.Fprintf(s.out, "  %5d very low, %d low, %d moderate, %d high risk; %d not settled\n", m.ByRisk[0], m.ByRisk[1], m.ByRisk[2], m.ByRisk[3], m.Unsettled)
	fmt.Fprintf(s.out, "  %5d open ulcers\n", m.OpenUlcers)
	fmt.Fprintf(s.out, "  %5d open referrals, %d of them past their deadline\n", m.OpenReferrals, m.LateReferrals)
	fmt.Fprintf(s.out, "  %s\n", measureLine(m))
	fmt.Fprintln(s.out, "  Advice, not orders: it supports licensed judgement and local protocols.")
	return nil
}

func measureLine(m clinic.Summary) string {
	rate, ok := m.Measure.Rate()
	if !ok {
		return "The foot-exam measure has nobody to count this year"
	}
	t := m.Measure
	return fmt.Sprintf("%4.1f%% foot-exam measure this year (%d of %d)", 100*rate, t.Numerator, t.Denominator-t.DenominatorExclusion-t.Exception)
}
