package neuro_test

import (
	"encoding/csv"
	"os"
	"testing"

	"tengram/internal/kernel/foot"
	"tengram/internal/kernel/known"
	"tengram/internal/kernel/neuro"
	"tengram/internal/testdata"
)

// TestTheMedicareCheckCases runs the LOPS cases of medicare-mips-check-cases.csv.
// Each is written out here, beside the words of the file, so that a changed
// line in the file breaks this test.
func TestTheMedicareCheckCases(t *testing.T) {
	cases := map[string]struct {
		facts, expected string
		protocol        neuro.Protocol
		right, left     string
		loss            [2]foot.Loss
		want            known.Tri
		incomplete      [2]bool
		insensate       [2]int
	}{
		"M001": {"5.07 filament; right foot 1 of 5 sites not felt; left 0 of 5", "LOPS no",
			neuro.FiveSites, five + " mth1-", five, [2]foot.Loss{}, known.No, [2]bool{}, [2]int{1, 0}},
		"M002": {"right 2 of 5 not felt; left 0 of 5", "LOPS yes",
			neuro.FiveSites, five + " mth1- heel-", five, [2]foot.Loss{}, known.Yes, [2]bool{}, [2]int{2, 0}},
		"M003": {"right 5 of 5 not felt; left 5 of 5 not felt", "LOPS yes",
			neuro.FiveSites, "sites-", "sites-", [2]foot.Loss{}, known.Yes, [2]bool{}, [2]int{5, 5}},
		"M004": {"right 1 of 5 not felt; left 1 of 5 not felt", "LOPS no (two on the same foot are needed)",
			neuro.FiveSites, five + " hallux-", five + " hallux-", [2]foot.Loss{}, known.No, [2]bool{}, [2]int{1, 1}},
		"M005": {"right foot amputated; left 2 of 5 not felt", "LOPS yes on the left",
			neuro.FiveSites, "", five + " mth1- mth5-", [2]foot.Loss{gone(), {}}, known.Yes, [2]bool{}, [2]int{0, 2}},
		"M006": {"only 3 sites tested per foot; right 2 of 3 not felt", "LOPS finding yes, but the test does not meet the five-site rule: flag",
			neuro.ThreeSites, "hallux- mth1- mth5+", three, [2]foot.Loss{}, known.Yes, [2]bool{true, false}, [2]int{2, 0}},
		"M007": {"10 sites tested per foot; right 2 of 10 not felt", "keep the ten-site result; apply the two-site rule only to the five agreed sites",
			neuro.TenSites, "sites+ heel- dorsum-", "sites+", [2]foot.Loss{}, known.No, [2]bool{}, [2]int{1, 0}},
		"M008": {"a site lies under thick callus and was tested there", "site invalid; re-test beside it",
			neuro.FiveSites, five + " mth1? hallux-", five, [2]foot.Loss{}, known.Unknown, [2]bool{}, [2]int{1, 0}},
	}
	file, err := os.Open(testdata.Reference(t, "codes", "medicare-mips-check-cases.csv"))
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	rows, err := csv.NewReader(file).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	seen := 0
	for _, row := range rows {
		if row[1] != "lops-test" {
			continue
		}
		seen++
		c, ok := cases[row[0]]
		if !ok {
			t.Errorf("case %s of the file is not written here: %q", row[0], row[2])
			continue
		}
		t.Run(row[0]+" "+c.facts, func(t *testing.T) {
			if c.facts != row[2] || c.expected != row[3] {
				t.Errorf("the file says %q -> %q, here it stands as %q -> %q", row[2], row[3], c.facts, c.expected)
			}
			got := definition(t, medicare).Judge(neuro.Tests{Protocol: c.protocol, Feet: [2]neuro.Foot{written(t, c.right), written(t, c.left)}, Loss: c.loss})
			if got.LOPS != c.want {
				t.Errorf("LOPS is %v, want %v", got.LOPS, c.want)
			}
			for side, f := range got.Feet {
				if f.Incomplete != c.incomplete[side] && !(c.protocol == neuro.ThreeSites && side == 1) {
					t.Errorf("%v foot: incomplete is %v, want %v", f.Side, f.Incomplete, c.incomplete[side])
				}
				if f.Insensate != c.insensate[side] {
					t.Errorf("%v foot: %d insensate sites, want %d", f.Side, f.Insensate, c.insensate[side])
				}
			}
		})
	}
	if seen != len(cases) {
		t.Errorf("the file has %d LOPS cases, %d are written here", seen, len(cases))
	}
}
