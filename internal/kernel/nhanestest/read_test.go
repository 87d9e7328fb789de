// Package nhanestest holds the rules of sensation and circulation against a
// real population: the lower-extremity exams of the US survey NHANES
// 1999-2004, from the public files beside the repository. It has tests only.
package nhanestest

import (
	"encoding/csv"
	"errors"
	"io"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	"tengram/internal/kernel/known"
	"tengram/internal/kernel/neuro"
	"tengram/internal/testdata"
)

// person is one row of the survey, as its README describes the columns.
type person struct {
	seqn         string
	age          int
	stratum, psu string
	weight2      float64 // exam weight of one two-year cycle
	weight4      float64 // exam weight of 1999-2002 together; 0 where blank
	toldDiabetes string
	ulcerEver    string
	// By side, left first, as in the file.
	trials [2][3][3]neuro.Trial // first metatarsal head, great toe, fifth
	count  [2]string            // insensate sites as the survey counted them
	index  [2]string            // as the survey recorded it
	ankle  [2]float64           // mean posterior tibial pressure, NaN where blank
	arm    float64              // mean arm pressure, NaN where blank
	lost   [2]string
	lesion [2]string
}

var cycles = []string{"1999-2000", "2001-2002", "2003-2004"}

// sites are the survey's three sites, in the order of its columns.
var sites = [3]neuro.Site{neuro.SiteMTH1, neuro.SiteHallux, neuro.SiteMTH5}

// read reads one cycle.
func read(t testing.TB, cycle string) []person {
	t.Helper()
	file, err := os.Open(testdata.Shared(t, "nhanes-lower-extremity", "nhanes_lex_"+cycle+".csv"))
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	rows := csv.NewReader(file)
	head, err := rows.Read()
	if err != nil {
		t.Fatal(err)
	}
	column := map[string]int{}
	for i, name := range head {
		column[name] = i
	}
	var people []person
	for {
		row, err := rows.Read()
		if errors.Is(err, io.EOF) {
			return people
		}
		if err != nil {
			t.Fatal(err)
		}
		people = append(people, parse(t, column, row))
	}
}

func parse(t testing.TB, column map[string]int, row []string) person {
	t.Helper()
	text := func(name string) string {
		i, ok := column[name]
		if !ok {
			t.Fatalf("the file has no column %q", name)
		}
		return row[i]
	}
	number := func(name string) float64 {
		if text(name) == "" {
			return math.NaN()
		}
		v, err := strconv.ParseFloat(text(name), 64)
		if err != nil {
			t.Fatalf("column %s: %v", name, err)
		}
		return v
	}
	p := person{
		seqn: text("seqn"), age: int(number("age")), stratum: text("stratum"), psu: text("psu"),
		weight2: number("wtmec2yr"), toldDiabetes: text("dm_told"), ulcerEver: text("foot_leg_ulcer_gt4wk_ever"),
		arm: number("brach_mean"),
	}
	if w := number("wtmec4yr"); !math.IsNaN(w) {
		p.weight4 = w
	}
	for side, letter := range []string{"l", "r"} {
		p.count[side], p.index[side] = text(letter+"_insensate"), text(letter+"_abi")
		p.ankle[side] = number(letter + "_pt_mean")
		p.lost[side], p.lesion[side] = text(letter+"_amp"), text(letter+"_lesion")
		for s, name := range []string{"mth1", "hallux", "mth5"} {
			for trial := range 3 {
				p.trials[side][s][trial] = trialOf(t, text(letter+"_"+name+"_t"+strconv.Itoa(trial+1)))
			}
		}
	}
	return p
}

// trialOf reads 1 correct, 2 incorrect, 3 unable to determine; 8 and blank are
// no answer.
func trialOf(t testing.TB, code string) neuro.Trial {
	t.Helper()
	switch code {
	case "1":
		return neuro.TrialRight
	case "2":
		return neuro.TrialWrong
	case "3":
		return neuro.TrialUnable
	case "", "8":
		return neuro.NoTrial
	}
	t.Fatalf("trial code %q", code)
	return 0
}

// tests are the person's nerve tests, the sites made from the trials by the
// survey's rule. Right is the kernel's first side and the file's second.
func (p *person) tests() neuro.Tests {
	tests := neuro.Tests{Protocol: neuro.ThreeSites}
	for side := range 2 {
		for s, site := range sites {
			tests.Feet[1-side].Filament[site] = neuro.SiteFromTrials(neuro.FirstOrTwoOfThree, p.trials[side][s])
		}
	}
	return tests
}

// hundredths reads a recorded index such as "1.2" as 120.
func hundredths(t testing.TB, index string) int {
	t.Helper()
	whole, decimals, _ := strings.Cut(index, ".")
	v, err := strconv.Atoi(whole + (decimals + "00")[:2])
	if err != nil || len(decimals) > 2 {
		t.Fatalf("index %q", index)
	}
	return v
}

// halves is a mean pressure as a whole number of half mmHg: the ratio of two
// such numbers is that of the pressures.
func halves(v float64) known.Reading {
	if math.IsNaN(v) {
		return known.Reading{}
	}
	return known.Value(int(math.Round(2 * v)))
}
