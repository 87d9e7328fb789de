package chart

import "math"

// frame is the part of a picture that the data lie in, with the scale of rates
// at its left.
type frame struct {
	*ink
	left, right, top, bottom float64
	low, high                float64 // rates at bottom and top
}

// rates puts a frame with a scale of rates into a picture: from the tens below
// the lowest to the tens above the highest, twenty points high at least.
func rates(p *ink, low, high float64) *frame {
	f := &frame{ink: p, left: 52, right: p.Wide - 78, top: 16, bottom: p.High - 90}
	if p.format.Bare {
		f.bottom = p.High - 42
	}
	f.low, f.high = math.Floor(low*10+1e-9)/10, math.Ceil(high*10-1e-9)/10
	f.low, f.high = max(0, f.low), min(1, f.high)
	for f.high-f.low < 0.2-1e-9 {
		if f.high < 1 {
			f.high += 0.1
		}
		if f.high-f.low < 0.2-1e-9 && f.low > 1e-9 {
			f.low -= 0.1
		}
	}
	step := 0.1
	if f.high-f.low > 0.61 {
		step = 0.2
	}
	if p.High < 300 && f.high-f.low > 0.41 {
		step = 0.2
	}
	for r := math.Ceil(f.low/step-1e-9) * step; r <= f.high+1e-9; r += step {
		f.line(f.left, f.y(r), f.right, f.y(r), "grid", faint)
		f.text(f.left-8, f.y(r)+4.5, end, "scale", percentShort(r))
	}
	f.line(f.left, f.top, f.left, f.bottom, "axis", thin)
	f.line(f.left, f.bottom, f.right, f.bottom, "axis", thin)
	return f
}

func percentShort(r float64) string { return num(math.Round(100*r)) + " %" }

// y is where a rate lies.
func (f *frame) y(rate float64) float64 {
	return f.bottom - (rate-f.low)/(f.high-f.low)*(f.bottom-f.top)
}

// label writes words beside the right end of a line.
func (f *frame) label(y float64, words string) {
	f.text(f.right+9, y+4.5, start, "label", words)
}

// legend writes what the shapes mean, below the picture.
type legend struct {
	shape shape
	// stroke is set for a line in place of a point.
	stroke Stroke
	words  string
}

// legends places what the shapes mean in the bottom lines of a picture.
func (p *ink) legends(left float64, entries []legend) {
	if p.format.Bare {
		return
	}
	x, y := left, p.High-30.0
	for _, e := range entries {
		width := 26 + letterWide*float64(len([]rune(e.words))) + 14
		if x+width > p.Wide && x > left {
			x, y = left, y+18
		}
		if e.stroke.Width > 0 {
			p.line(x-2, y-4.5, x+18, y-4.5, "key", e.stroke)
		} else {
			p.mark(Spot{x + 8, y - 4.5}, e.shape, "key", e.words)
		}
		p.text(x+24, y, start, "key", e.words)
		x += width
	}
}

// apart moves heights so that no two are closer than gap, keeping their order;
// heights come sorted.
func apart(heights []float64, gap, lowest, highest float64) []float64 {
	out := append([]float64{}, heights...)
	for i := 1; i < len(out); i++ {
		out[i] = max(out[i], out[i-1]+gap)
	}
	for i := len(out) - 1; i >= 0; i-- {
		limit := highest - gap*float64(len(out)-1-i)
		out[i] = max(lowest+gap*float64(i), min(out[i], limit))
	}
	return out
}
