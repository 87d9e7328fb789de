package measure

import (
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/source"
)

var classFindings = source.MedicareClassFindings.At("one class A; two class B; one class B and two class C", source.Secondary)

// ClassFindings counts the findings by which routine foot care is presumed to
// be covered. Class A: amputation without trauma. Class B: absent posterior
// tibial pulse, absent dorsalis pedis pulse, advanced trophic change. Class C:
// claudication, change of temperature, oedema, paraesthesia, burning.
type ClassFindings struct{ A, B, C int }

// Judge says whether coverage is presumed, and by which modifier.
func (f ClassFindings) Judge() Coverage {
	c := Coverage{ID: "routine-foot-care", Title: "Routine foot care"}
	switch {
	case f.A >= 1:
		c.Code = "Q7"
	case f.B >= 2:
		c.Code = "Q8"
	case f.B == 1 && f.C >= 2:
		c.Code = "Q9"
	}
	c.Met = known.Of(c.Code != "")
	says := plural(f.A, "class A finding", "class A findings") + ", " + plural(f.B, "class B finding", "class B findings") + ", " + plural(f.C, "class C finding", "class C findings")
	if c.Code == "" {
		c.say(says+": coverage is not presumed.", classFindings)
	} else {
		c.say(says+": coverage is presumed ("+c.Code+").", classFindings)
	}
	return c
}
