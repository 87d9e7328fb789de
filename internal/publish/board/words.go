package board

import (
	"fmt"
	"strconv"

	"tengram/internal/kernel/when"
)

func percent(rate float64) string { return fmt.Sprintf("%.1f %%", 100*rate) }

// dayWords is "24 November 2026", monthWords "November 2026".
func dayWords(d when.Day) string {
	_, _, n := d.YMD()
	return strconv.Itoa(n) + " " + monthWords(d)
}

func monthWords(d when.Day) string {
	y, m, _ := d.YMD()
	return m.String() + " " + strconv.Itoa(y)
}
