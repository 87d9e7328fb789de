package trend

import "math"

// BinomialCDF is the chance of at most x successes in n trials of chance p.
func BinomialCDF(x, n int, p float64) float64 {
	switch {
	case x < 0:
		return 0
	case x >= n:
		return 1
	}
	return 1 - BetaCDF(p, float64(x+1), float64(n-x))
}

// binomialQuantile is the smallest x for which at most x successes have at
// least the chance q, as in R's qbinom.
func binomialQuantile(q float64, n int, p float64) int {
	low, high := 0, n
	for low < high {
		middle := (low + high) / 2
		// The slack takes in what rounding left below an exact equality.
		if BinomialCDF(middle, n, p) >= q*(1-1e-13) {
			high = middle
		} else {
			low = middle + 1
		}
	}
	return low
}

// BetaCDF is the regularised incomplete beta function: the chance that a Beta
// of a and b lies at or below x. a and b are above 0.
//
// It is the continued fraction in the form of Lentz (Abramowitz and Stegun
// 26.5.8; from memory), which converges quickly below the mean; above it the
// other tail is taken.
func BetaCDF(x, a, b float64) float64 {
	switch {
	case x <= 0:
		return 0
	case x >= 1:
		return 1
	}
	front := math.Exp(a*math.Log(x) + b*math.Log1p(-x) - lnBeta(a, b))
	if x < (a+1)/(a+b+2) {
		return front * betaFraction(x, a, b) / a
	}
	return 1 - front*betaFraction(1-x, b, a)/b
}

func betaFraction(x, a, b float64) float64 {
	const tiny, enough = 1e-300, 1e-15
	away := func(v float64) float64 {
		if math.Abs(v) < tiny {
			return tiny
		}
		return v
	}
	c, d := 1.0, 1/away(1-(a+b)*x/(a+1))
	h := d
	for m := 1.0; m <= 10000; m++ {
		even := m * (b - m) * x / ((a + 2*m - 1) * (a + 2*m))
		d = 1 / away(1+even*d)
		c = away(1 + even/c)
		h *= d * c
		odd := -(a + m) * (a + b + m) * x / ((a + 2*m) * (a + 2*m + 1))
		d = 1 / away(1+odd*d)
		c = away(1 + odd/c)
		step := d * c
		h *= step
		if math.Abs(step-1) < enough {
			break
		}
	}
	return h
}

// BetaQuantile is the x at which BetaCDF is q. For fixed q it never falls when
// a grows or b shrinks, but for rounding.
func BetaQuantile(q, a, b float64) float64 {
	switch {
	case q <= 0:
		return 0
	case q >= 1:
		return 1
	}
	scale := lnBeta(a, b)
	low, high := 0.0, 1.0
	x := a / (a + b)
	for range 200 {
		off := BetaCDF(x, a, b) - q
		if off < 0 {
			low = x
		} else {
			high = x
		}
		// Newton's step, or the middle where that leaves the bracket.
		next := x - off/math.Exp((a-1)*math.Log(x)+(b-1)*math.Log1p(-x)-scale)
		if !(next > low && next < high) {
			next = (low + high) / 2
		}
		if math.Abs(next-x) <= 1e-14*x || high-low <= 1e-16 {
			return next
		}
		x = next
	}
	return x
}

// lnBeta is the logarithm of the beta function.
func lnBeta(a, b float64) float64 {
	la, _ := math.Lgamma(a)
	lb, _ := math.Lgamma(b)
	lab, _ := math.Lgamma(a + b)
	return la + lb - lab
}

// Interval is a lower and an upper limit of a rate, between 0 and 1.
type Interval struct {
	Low  float64 `json:"low"`
	High float64 `json:"high"`
}

// Wilson is the score interval of a share at a confidence such as 0.95; of
// nobody it is 0 to 1.
func (s Share) Wilson(confidence float64) Interval {
	if s.Of <= 0 {
		return Interval{0, 1}
	}
	z := math.Sqrt2 * math.Erfinv(confidence)
	n := float64(s.Of)
	p := float64(s.Met) / n
	middle := p + z*z/(2*n)
	half := z * math.Sqrt(p*(1-p)/n+z*z/(4*n*n))
	d := 1 + z*z/n
	i := Interval{(middle - half) / d, (middle + half) / d}
	if s.Met == 0 {
		i.Low = 0 // and not what rounding leaves
	}
	if s.Met == s.Of {
		i.High = 1
	}
	return i
}

// Exact is the interval of Clopper and Pearson (Biometrika 1934;26:404, as
// restated in the NIST/SEMATECH e-Handbook, 7.2.4.2): never less sure than it
// says, and wider than Wilson's for it.
func (s Share) Exact(confidence float64) Interval {
	i := Interval{0, 1}
	tail := (1 - confidence) / 2
	if s.Met > 0 {
		i.Low = BetaQuantile(tail, float64(s.Met), float64(s.Of-s.Met+1))
	}
	if s.Met < s.Of {
		i.High = BetaQuantile(1-tail, float64(s.Met+1), float64(s.Of-s.Met))
	}
	return i
}
