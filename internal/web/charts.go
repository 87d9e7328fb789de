package web

import (
	"tengram/internal/clinic"
	"tengram/internal/kernel/forecast"
	"tengram/internal/kernel/trend"
)

// Charts draws what a page shows. Each answer is a figure as safe HTML: the
// picture, what it says in a sentence, and its numbers as a table. id must be
// unique on the page; name is the measure's.
type Charts interface {
	// Fan draws the months of the year so far and the forecast of its end.
	Fan(id, name string, months []trend.Month, f forecast.Forecast) string
	// RunChart and PChart draw the opportunities of whole months.
	RunChart(id, name string, months []trend.Month, read trend.RunChart) string
	PChart(id, name string, months []trend.Month, read trend.PChart) string
	// Funnel draws groups, such as "sites", by size and rate.
	Funnel(id, name, groups string, f trend.Funnel) string
	// Bars draws a few counts beside each other.
	Bars(id, title string, bars []Bar) string
}

// Bar is one bar: a name and how many.
type Bar struct {
	Name  string
	Count int
}

// Reports writes a measure in the forms in which it leaves the practice.
type Reports interface {
	// Summary is a FHIR R4 MeasureReport with counts only; counts of small groups
	// are masked.
	Summary(clinic.Leaving) ([]byte, error)
	// Table is one line a person, as comma-separated values, with names if they
	// are asked for and else with ids only.
	Table(l clinic.Leaving, names bool) ([]byte, error)
	// Board is the PDF of one page for a board.
	Board(clinic.Leaving) ([]byte, error)
}
