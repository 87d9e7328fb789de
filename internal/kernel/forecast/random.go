package forecast

import (
	"math"
	"math/bits"
)

// dice is chance that can be repeated: O'Neill's PCG with 128 bits of state and
// the output function DXSM, as in Go's own math/rand/v2, against which it is
// tested. The kernel has none of its own: chance here is a value that is passed.
type dice struct{ high, low uint64 }

// diceFor are the dice of one stream of a seed, such as those of one person, so
// that nobody's draws hang on who else is there. Streams are told apart by a
// 64-bit hash (FNV-1a) of their name.
func diceFor(seed uint64, stream string) dice {
	h := uint64(14695981039346656037)
	for i := range len(stream) {
		h = (h ^ uint64(stream[i])) * 1099511628211
	}
	return dice{mix(seed), mix(h)}
}

// branch are dice of their own for the ith draw, so that no draw hangs on how
// much chance the one before it used up.
func (d dice) branch(i int) dice {
	const golden = 0x9e3779b97f4a7c15
	step := uint64(i+1) * golden
	return dice{mix(d.high + step), mix(d.low ^ mix(step))}
}

// mix spreads every bit of a number over all others (the finaliser of
// SplitMix64): PCG started from states that differ little begins alike.
func mix(z uint64) uint64 {
	z = (z ^ z>>30) * 0xbf58476d1ce4e5b9
	z = (z ^ z>>27) * 0x94d049bb133111eb
	return z ^ z>>31
}

func (d *dice) next() uint64 {
	const (
		mulHigh, mulLow = 2549297995355413924, 4865540595714422341
		incHigh, incLow = 6364136223846793005, 1442695040888963407
		cheap           = 0xda942042e4dd58b5
	)
	high, low := bits.Mul64(d.low, mulLow)
	high += d.high*mulLow + d.low*mulHigh
	low, carry := bits.Add64(low, incLow, 0)
	high, _ = bits.Add64(high, incHigh, carry)
	d.high, d.low = high, low

	high ^= high >> 32
	high *= cheap
	high ^= high >> 48
	high *= low | 1
	return high
}

// uniform is at least 0 and below 1.
func (d *dice) uniform() float64 { return float64(d.next()>>11) / (1 << 53) }

// exponential has mean 1.
func (d *dice) exponential() float64 { return -math.Log1p(-d.uniform()) }

// normal has mean 0 and standard deviation 1 (the polar method of Marsaglia;
// from memory).
func (d *dice) normal() float64 {
	for {
		x, y := 2*d.uniform()-1, 2*d.uniform()-1
		if s := x*x + y*y; s > 0 && s < 1 {
			return x * math.Sqrt(-2*math.Log(s)/s)
		}
	}
}

// gamma has the given shape, above 0, and scale 1 (Marsaglia and Tsang 2000;
// from memory).
func (d *dice) gamma(shape float64) float64 {
	if shape < 1 {
		u := 1 - d.uniform()
		return d.gamma(shape+1) * math.Pow(u, 1/shape)
	}
	a := shape - 1.0/3
	c := 1 / math.Sqrt(9*a)
	for {
		x := d.normal()
		v := 1 + c*x
		if v <= 0 {
			continue
		}
		v = v * v * v
		u := 1 - d.uniform()
		if math.Log(u) < x*x/2+a-a*v+a*math.Log(v) {
			return a * v
		}
	}
}

// strata are n numbers between 0 and 1, one in each nth part of the range, in an
// order of chance: they fill the range more evenly than n draws would.
func (d *dice) strata(n int) []float64 {
	u := make([]float64, n)
	for i := range u {
		u[i] = (float64(i) + d.uniform()) / float64(n)
	}
	for i := n - 1; i > 0; i-- {
		j := int(d.uniform() * float64(i+1))
		u[i], u[j] = u[j], u[i]
	}
	return u
}
