package demo

import (
	"fmt"
	"hash/fnv"
	"math/rand/v2"
	"slices"
	"time"

	"tengram/internal/kernel/when"
)

// dice is chance that can be repeated. Everybody in the clinic has dice of
// their own, so that a change to one person leaves the others as they were.
type dice struct{ *rand.Rand }

// newDice makes the dice of one stream, such as the people, of one seed.
func newDice(seed uint64, stream string, n int) dice {
	h := fnv.New64a()
	fmt.Fprintf(h, "%s %d", stream, n)
	return dice{rand.New(rand.NewPCG(seed, h.Sum64()))}
}

// chance is true with probability p.
func (d dice) chance(p float64) bool { return d.Float64() < p }

// between is a whole number from low to high, both included.
func (d dice) between(low, high int) int {
	if high <= low {
		return low
	}
	return low + d.IntN(high-low+1)
}

// workday is a Monday to Friday from low to high, both included, or zero where
// there is none.
func (d dice) workday(low, high when.Day) when.Day {
	if high < low {
		return 0
	}
	return onWorkday(low+when.Day(d.IntN(int(high-low)+1)), low, high)
}

// onWorkday moves a day off the weekend, staying between low and high; zero
// where that cannot be.
func onWorkday(day, low, high when.Day) when.Day {
	for step := when.Day(0); step <= 2; step++ {
		for _, d := range [2]when.Day{day - step, day + step} {
			if d >= low && d <= high && !weekend(d) {
				return d
			}
		}
	}
	return 0
}

func weekend(d when.Day) bool {
	return d.Weekday() == time.Saturday || d.Weekday() == time.Sunday
}

// uuid is a random UUID, version 4.
func (d dice) uuid() string {
	a, b := d.Uint64(), d.Uint64()
	return fmt.Sprintf("%08x-%04x-4%03x-%04x-%012x", uint32(a>>32), uint16(a>>16), a&0xfff, b>>48&0x3fff|0x8000, b&0xffffffffffff)
}

// pick is one of a list.
func pick[T any](d dice, list []T) T { return list[d.IntN(len(list))] }

// shuffled is the list in another order.
func shuffled[T any](d dice, list []T) []T {
	list = slices.Clone(list)
	d.Shuffle(len(list), func(i, j int) { list[i], list[j] = list[j], list[i] })
	return list
}

// weighted is an index, each as likely as its weight says.
func (d dice) weighted(weights ...float64) int {
	sum := 0.0
	for _, w := range weights {
		sum += w
	}
	at := d.Float64() * sum
	for i, w := range weights {
		if at -= w; at < 0 {
			return i
		}
	}
	return len(weights) - 1
}
