package record

import (
	"testing"

	"tengram/internal/kernel/when"
)

// A whole year of age lasts from one birthday to the day before the next; the
// expected days are counted by hand.
func TestATimeToldByAgeIsAsWideAsTheAge(t *testing.T) {
	for _, c := range []struct {
		says  string
		ages  Ages
		birth string
		want  string
	}{
		{"at 45", Ages{45, 45, "a"}, "1960-06-15", "2005-06-15/2006-06-14"},
		{"from 40 to 45", Ages{40, 45, "a"}, "1960-06-15", "2000-06-15/2006-06-14"},
		{"at 18 months", Ages{18, 18, "mo"}, "1960-08-31", "1962-02-28/1962-03-30"},
		{"at 3 weeks", Ages{3, 3, "wk"}, "1960-06-15", "1960-07-06/1960-07-12"},
		{"at 10 days", Ages{10, 10, "d"}, "1960-06-15", "1960-06-25"},
		{"at 45, of a birth in a month", Ages{45, 45, "a"}, "1960-06", "2005-06-01/2006-06-29"},
		{"at 45, of a birth in a year", Ages{45, 45, "a"}, "1960", "2005-01-01/2006-12-30"},
		{"at 0", Ages{0, 0, "a"}, "2000-02-29", "2000-02-29/2001-02-27"},
		{"no birth", Ages{45, 45, "a"}, "", ""},
		{"no unit", Ages{45, 45, "h"}, "1960-06-15", ""},
	} {
		t.Run(c.says, func(t *testing.T) {
			var birth when.Moment
			if c.birth != "" {
				birth = when.MustMoment(c.birth)
			}
			if got := c.ages.After(birth); got.String() != c.want {
				t.Errorf("got %s, want %s", got, c.want)
			}
		})
	}
}

func TestAgesFillOnlyWhatHasNoDay(t *testing.T) {
	at45 := Ages{45, 45, "a"}
	r := Record{
		Person: Person{Birth: when.MustMoment("1960-06-15")},
		Facts: []Fact{
			{Key: "both", StartAge: at45, EndAge: Ages{50, 50, "a"}},
			{Key: "dated", StartAge: at45, Start: when.MustMoment("2004")},
			{Key: "neither"},
		},
	}
	r.PlaceAges()
	r.PlaceAges()
	for i, want := range []string{"2005-06-15/2006-06-14 2010-06-15/2011-06-14", "2004 ", " "} {
		f := r.Facts[i]
		if got := f.Start.String() + " " + f.End.String(); got != want {
			t.Errorf("%s: got %q, want %q", f.Key, got, want)
		}
	}
}
