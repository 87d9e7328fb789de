package risk

import (
	"math/bits"
	"slices"
	"testing"

	"tengram/internal/kernel/known"
)

// The brute force below knows nothing of this package's tables: it is given a
// rank for every full assignment, tries every completion of the unknowns, and
// searches the sets of questions from the smallest up.

// rankAt gives the rank of an assignment of the factors, the first factor the
// highest bit.
type rankAt func(index int) int

func bounds(rank rankAt, yes, unknown int) (low, high int) {
	low, high = 99, -1
	for sub := unknown; ; sub = (sub - 1) & unknown {
		low, high = min(low, rank(yes|sub)), max(high, rank(yes|sub))
		if sub == 0 {
			return low, high
		}
	}
}

// settles reports whether the answers to a set of questions always leave one
// rank, whatever the other unknowns are.
func settles(rank rankAt, yes, unknown, asked int) bool {
	rest := unknown &^ asked
	for answer := asked; ; answer = (answer - 1) & asked {
		if low, high := bounds(rank, yes|answer, rest); low != high {
			return false
		}
		if answer == 0 {
			return true
		}
	}
}

// smallest searches the smallest set of questions that settles the rank; of
// two of one size the one whose factors come first.
func smallest(rank rankAt, yes, unknown int) int {
	best := unknown
	for asked := unknown; ; asked = (asked - 1) & unknown {
		if settles(rank, yes, unknown, asked) {
			a, b := bits.OnesCount(uint(asked)), bits.OnesCount(uint(best))
			if a < b || a == b && asked > best {
				best = asked
			}
		}
		if asked == 0 {
			return best
		}
	}
}

// sweep compares Judge with the brute force for every combination of yes, no
// and unknown of the factors.
func sweep(t *testing.T, s System, factors []Factor, literal, cautious rankAt) (combinations int) {
	t.Helper()
	n := len(factors)
	full := 1<<n - 1
	for unknown := 0; unknown <= full; unknown++ {
		for yes := full &^ unknown; ; yes = (yes - 1) & (full &^ unknown) {
			combinations++
			f := allNo()
			for i, factor := range factors {
				bit := 1 << (n - 1 - i)
				if yes&bit != 0 {
					f.Is[factor] = known.Yes
				} else if unknown&bit != 0 {
					f.Is[factor] = known.Unknown
				}
			}
			r := Judge(s, f)
			compare(t, s.ID+" literal", factors, literal, yes, unknown, r.Low, r.High, r.SettledBy)
			if cautious != nil {
				low, high := bounds(literal, yes, unknown)
				cLow, cHigh := bounds(cautious, yes, unknown)
				if differs := low != cLow || high != cHigh; differs != (r.Cautious != nil) {
					t.Fatalf("%s yes %b unknown %b: cautious reading present is %v, want %v", s.ID, yes, unknown, r.Cautious != nil, differs)
				}
				if c := r.Cautious; c != nil {
					compare(t, s.ID+" cautious", factors, cautious, yes, unknown, c.Low, c.High, c.SettledBy)
				}
			} else if r.Cautious != nil {
				t.Fatalf("%s has a cautious reading", s.ID)
			}
			if yes == 0 {
				break
			}
		}
	}
	return combinations
}

func compare(t *testing.T, what string, factors []Factor, rank rankAt, yes, unknown int, low, high Category, settledBy []Factor) {
	t.Helper()
	wantLow, wantHigh := bounds(rank, yes, unknown)
	if low.Rank != wantLow || high.Rank != wantHigh {
		t.Fatalf("%s yes %b unknown %b: %d..%d, want %d..%d", what, yes, unknown, low.Rank, high.Rank, wantLow, wantHigh)
	}
	var want []Factor
	for i, factor := range factors {
		if smallest(rank, yes, unknown)&(1<<(len(factors)-1-i)) != 0 {
			want = append(want, factor)
		}
	}
	if !slices.Equal(settledBy, want) {
		t.Fatalf("%s yes %b unknown %b: settled by %v, want %v", what, yes, unknown, settledBy, want)
	}
}

func fromOracle(s string) rankAt {
	s = oracle(s)
	return func(index int) int { return int(s[index] - '0') }
}

func TestEveryCombinationOfYesNoAndUnknownOfTheIWGDFTable(t *testing.T) {
	for _, id := range []string{"iwgdf-2023", "iwgdf-2019"} {
		if n := sweep(t, system(t, id), six, fromOracle(iwgdfLiteral), fromOracle(iwgdfCautious)); n != 729 {
			t.Errorf("%d combinations, want 729", n)
		}
	}
}

func TestEveryCombinationOfYesNoAndUnknownOfADA2008(t *testing.T) {
	// The row that the text leaves out takes the rank of the nearest row, 0.
	rank := func(index int) int { // L, P, D, U, A
		if c := oracle(adaOracle)[index<<1]; c != '-' {
			return int(c - '0')
		}
		return 0
	}
	sweep(t, system(t, "ada-2008"), six[:5], rank, nil)
}

func TestEveryCombinationOfYesNoAndUnknownOfTheOtherSystems(t *testing.T) {
	for _, id := range []string{"iwgdf-2015", "nice-ng19", "podus-2020"} {
		s := system(t, id)
		n := len(s.Factors)
		sweep(t, s, s.Factors, func(index int) int {
			var x Set
			for i, factor := range s.Factors {
				if index&(1<<(n-1-i)) != 0 {
					x |= 1 << factor
				}
			}
			return s.Judge(x)
		}, nil)
	}
}

// A worse answer never lowers the category. All systems are so; ADA 2008 with
// the nearest row for the one that it leaves out.
func TestAWorseAnswerNeverLowersTheCategory(t *testing.T) {
	for _, s := range Systems() {
		for _, r := range []reading{s.literal, s.cautious} {
			for at, c := range r.cells {
				for b := range s.Factors {
					if worse := r.cells[at|1<<b]; worse.rank < c.rank {
						t.Errorf("%s: %v lowers %b from %d to %d", s.ID, s.Factors[b], at, c.rank, worse.rank)
					}
				}
			}
		}
	}
}

// Learning an answer narrows the result or leaves it: it never leaves the
// bounds that were given before.
func TestLearningAnAnswerNeverLeavesTheBounds(t *testing.T) {
	for _, s := range Systems() {
		n := len(s.Factors)
		if n > 7 {
			n = 7 // Scotland: the last two are of one kind with the seventh
		}
		for code := range pow3(n) {
			f := allNo()
			for i, rest := 0, code; i < n; i, rest = i+1, rest/3 {
				f.Is[s.Factors[i]] = known.Tri(rest % 3)
			}
			before := Judge(s, f)
			bLow, bHigh := before.ForPlan()
			for _, factor := range s.Factors[:n] {
				if f.Is[factor] != known.Unknown {
					continue
				}
				for _, answer := range []known.Tri{known.No, known.Yes} {
					f.Is[factor] = answer
					after := Judge(s, f)
					if after.Low.Rank < before.Low.Rank || after.High.Rank > before.High.Rank {
						t.Fatalf("%s: %v=%v leaves %d..%d for %d..%d", s.ID, factor, answer, before.Low.Rank, before.High.Rank, after.Low.Rank, after.High.Rank)
					}
					if low, high := after.ForPlan(); low.Rank < bLow.Rank || high.Rank > bHigh.Rank {
						t.Fatalf("%s: %v=%v leaves the bounds of the plan", s.ID, factor, answer)
					}
				}
				f.Is[factor] = known.Unknown
			}
		}
	}
}

func pow3(n int) int {
	p := 1
	for range n {
		p *= 3
	}
	return p
}

// Section 1.3: swapping L with P, and U, A and E among themselves, changes
// nothing in the IWGDF table.
func TestTheIWGDFTableIsBlindToSwaps(t *testing.T) {
	s := system(t, "iwgdf-2023")
	for index := range 64 {
		for _, swap := range [][2]Factor{{LOPS, PAD}, {UlcerHistory, Amputation}, {Amputation, ESRD}} {
			f, g := factsAt(index), factsAt(index)
			g.Is[swap[0]], g.Is[swap[1]] = f.Is[swap[1]], f.Is[swap[0]]
			a, b := Judge(s, f), Judge(s, g)
			if a.Low.Rank != b.Low.Rank || (a.Cautious == nil) != (b.Cautious == nil) {
				t.Errorf("index %d: swapping %v changes the category", index, swap)
			}
		}
	}
}
