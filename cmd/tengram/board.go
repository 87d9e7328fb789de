package main

import (
	"fmt"
	"io"

	"tengram/internal/clinic"
	"tengram/internal/publish/board"
)

// isBoard reports whether the report is the page for a board, which is made from
// a practice's data and not straight from files.
func (c reportCmd) isBoard() bool { return c.Format == "board" || c.Format == "board-html" }

// board writes the page for a board: the PDF, or its accessible form as HTML.
func (c reportCmd) board(s *session) error {
	if c.Data == "" {
		return wrongUse{fmt.Errorf("--format %s needs --data DIR: it tells of a practice's recalls, wounds and referrals", c.Format)}
	}
	if c.Sets != reportSets {
		return wrongUse{fmt.Errorf("--format %s is made with the value sets of the practice: leave --sets out", c.Format)}
	}
	zone, err := c.location()
	if err != nil {
		return err
	}
	at, err := c.time(zone)
	if err != nil {
		return err
	}
	practice, err := openPractice(s.ctx, c.Data, zone, false)
	if err != nil {
		return err
	}
	defer practice.Store.Close()
	defer practice.EndWork()
	if c.At != "" {
		_, day := at.Days(zone)
		fixToday(practice, day)
	}
	l, err := practice.Leave(s.ctx, operator(), clinic.BoardForm, false, c.Measure, c.Year)
	if err != nil {
		if clinic.CodeOf(err) != clinic.Internal {
			return wrongUse{err}
		}
		return err
	}
	in := boardOf(l)
	if c.Organisation != unnamed {
		in.Practice = c.Organisation
	}
	write := board.Render
	if c.Format == "board-html" {
		write = board.RenderHTML
	}
	if err := c.write(s, func(out io.Writer) error { return write(out, in) }); err != nil {
		return err
	}
	if l.Trends.Unread > 0 {
		return problems{fmt.Errorf("%d records could not be read; the report is of the rest", l.Trends.Unread)}
	}
	return nil
}

// reportSets is the edition of the value sets that the pages use.
const reportSets = "2018"
