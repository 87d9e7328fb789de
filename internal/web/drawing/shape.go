package drawing

import "tengram/internal/kernel/foot"

// point is a place in the drawing's own units: x runs from the outer edge (0)
// to the inner edge (200) of a right foot as the examiner faces it, y from the
// toes (0) down to the heel (440). A left foot is the mirror image.
type point struct{ x, y float64 }

const (
	width  = 200
	height = 440
)

// sole is the outline of the sole without its toes, clockwise from the inner
// side of the ball. Our own curve, drawn by eye.
var sole = []point{
	{170, 94}, {184, 128}, {180, 172}, {160, 224}, {146, 286}, {154, 352}, {140, 404}, {99, 430},
	{60, 406}, {45, 352}, {36, 280}, {22, 214}, {9, 164}, {13, 128}, {34, 118}, {60, 100}, {86, 84}, {116, 78}, {146, 88},
}

// instep is the outline of the foot from above, up to the ankle.
var instep = []point{
	{170, 94}, {183, 128}, {178, 174}, {162, 232}, {156, 292}, {164, 344}, {160, 392}, {132, 418}, {72, 418},
	{38, 396}, {30, 346}, {32, 286}, {22, 216}, {10, 164}, {14, 128}, {34, 118}, {60, 100}, {86, 84}, {116, 78}, {146, 88},
}

// spot is where a place lies, with the half axes of its shape.
type spot struct {
	point
	rx, ry float64
}

// toes are drawn first and reach below the edge of the foot, which covers them.
var toes = [5]spot{
	{point{145, 55}, 26, 43}, {point{103, 53}, 15.5, 38}, {point{74, 66}, 14.5, 36}, {point{48, 86}, 13.5, 32}, {point{25, 109}, 12, 26},
}

// tips are the toes as places: what of them is in sight.
var tips = [5]spot{
	{point{145, 50}, 20, 29}, {point{103, 45}, 11, 22}, {point{74, 58}, 10.5, 21}, {point{48, 78}, 10, 19}, {point{25, 102}, 9, 15},
}

// soleSpots are the places of the plantar view.
var soleSpots = map[foot.Place]spot{
	foot.Hallux: tips[0], foot.Toe2: tips[1], foot.Toe3: tips[2], foot.Toe4: tips[3], foot.Toe5: tips[4],
	foot.MTH1: {point{150, 130}, 20, 20}, foot.MTH2: {point{112, 121}, 14, 15}, foot.MTH3: {point{81, 131}, 13, 15},
	foot.MTH4: {point{53, 148}, 13, 15}, foot.MTH5: {point{30, 174}, 13, 16},
	foot.MidfootMedial: {point{128, 226}, 24, 38}, foot.MidfootLateral: {point{62, 246}, 22, 40}, foot.Heel: {point{99, 368}, 36, 38},
}

// instepSpots are the places of the dorsal view. The back of the heel cannot be
// seen from above; it stands below the ankle. A web is named a little behind the
// place between its toes, so that a finger can tell it from them.
var instepSpots = map[foot.Place]spot{
	foot.HalluxTop: tips[0], foot.Toe2Top: tips[1], foot.Toe3Top: tips[2], foot.Toe4Top: tips[3], foot.Toe5Top: tips[4],
	foot.Web1: {point{124, 100}, 11, 11}, foot.Web2: {point{90, 104}, 11, 11}, foot.Web3: {point{62, 120}, 11, 11}, foot.Web4: {point{38, 141}, 11, 11},
	foot.Dorsum: {point{98, 226}, 40, 62}, foot.AnkleMedial: {point{148, 362}, 14, 17}, foot.AnkleLateral: {point{46, 372}, 14, 17},
	foot.HeelBack: {point{99, 402}, 24, 13},
}

// cuts is how far down each level of amputation reaches.
var cuts = map[foot.Level]float64{foot.Transmetatarsal: 178, foot.Midfoot: 268, foot.Hindfoot: 318}

// smooth turns corner points into a closed curve (a uniform Catmull-Rom spline
// through them), as a polygon of short steps.
func smooth(corners []point) []point {
	const steps = 6
	n := len(corners)
	out := make([]point, 0, n*steps)
	for i := range corners {
		p0, p1, p2, p3 := corners[(i+n-1)%n], corners[i], corners[(i+1)%n], corners[(i+2)%n]
		for s := range steps {
			t := float64(s) / steps
			out = append(out, point{spline(p0.x, p1.x, p2.x, p3.x, t), spline(p0.y, p1.y, p2.y, p3.y, t)})
		}
	}
	return out
}

func spline(a, b, c, d, t float64) float64 {
	return 0.5 * (2*b + (c-a)*t + (2*a-5*b+4*c-d)*t*t + (3*b-a-3*c+d)*t*t*t)
}

// below keeps the part of a polygon under a horizontal cut.
func below(polygon []point, cut float64) []point {
	var out []point
	for i, p := range polygon {
		q := polygon[(i+1)%len(polygon)]
		if p.y >= cut {
			out = append(out, p)
		}
		if (p.y >= cut) != (q.y >= cut) {
			t := (cut - p.y) / (q.y - p.y)
			out = append(out, point{p.x + t*(q.x-p.x), cut})
		}
	}
	return out
}
