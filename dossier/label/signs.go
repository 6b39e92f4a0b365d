package label

import "math"

// signKind is one of the pictures that stand for words on a label.
type signKind string

// The signs. Their meaning is the law's (label-rules.csv, rows S01 to S04); the
// drawings are constructed here from lines and arcs.
const (
	signJar       signKind = "open jar"       // period after opening
	signHourglass signKind = "hourglass"      // best used before
	signBook      signKind = "hand on book"   // see leaflet or notice
	signEstimated signKind = "estimated sign" // average-filled
)

// dot is a place in a sign: the height of the sign is 1, y runs downwards.
type dot struct{ x, y float64 }

// stroke is a run of points, drawn as a line or filled. Several outlines of one
// filled stroke leave holes where they overlap.
type stroke struct {
	outlines [][]dot
	filled   bool
	cleared  bool    // painted white first, so that what lies behind ends there
	closed   bool    // the line returns to its start
	width    float64 // of the line, as a share of the height
}

// sign is a drawing of height 1 and the given width. words is where its text
// stands: the middle of the text, and the room for it.
type sign struct {
	width   float64
	strokes []stroke
	words   dot
	room    dot // width and height for words; zero for a sign without
}

// signs are drawn once.
var signs = map[signKind]sign{
	signJar: openJar(), signHourglass: hourglass(), signBook: handOnBook(), signEstimated: estimatedSign(),
}

// arc returns points on an ellipse from one angle to another, in degrees; 0 is
// to the right, 90 is down.
func arc(cx, cy, rx, ry, from, to float64) []dot {
	const steps = 60
	var out []dot
	for i := 0; i <= steps; i++ {
		a := (from + (to-from)*float64(i)/steps) * math.Pi / 180
		out = append(out, dot{cx + rx*math.Cos(a), cy + ry*math.Sin(a)})
	}
	return out
}

// curve returns points on a cubic curve.
func curve(a, b, c, d dot) []dot {
	const steps = 16
	var out []dot
	for i := 0; i <= steps; i++ {
		t := float64(i) / steps
		u := 1 - t
		out = append(out, dot{
			u*u*u*a.x + 3*u*u*t*b.x + 3*u*t*t*c.x + t*t*t*d.x,
			u*u*u*a.y + 3*u*u*t*b.y + 3*u*t*t*c.y + t*t*t*d.y,
		})
	}
	return out
}

// joinDots joins runs of points into one.
func joinDots(runs ...[]dot) []dot {
	var out []dot
	for _, r := range runs {
		out = append(out, r...)
	}
	return out
}

// mirrored returns points mirrored at the vertical line x = at, in reverse
// order, so that they go on where the others end.
func mirrored(pts []dot, at float64) []dot {
	out := make([]dot, len(pts))
	for i, p := range pts {
		out[len(pts)-1-i] = dot{2*at - p.x, p.y}
	}
	return out
}

// rounded returns a rectangle with round corners.
func rounded(x0, y0, x1, y1, r float64) []dot {
	return joinDots(
		arc(x1-r, y0+r, r, r, -90, 0), arc(x1-r, y1-r, r, r, 0, 90),
		arc(x0+r, y1-r, r, r, 90, 180), arc(x0+r, y0+r, r, r, 180, 270))
}

// tilted turns points round a place, by degrees against the clock.
func tilted(pts []dot, at dot, degrees float64) []dot {
	sin, cos := math.Sincos(-degrees * math.Pi / 180)
	out := make([]dot, len(pts))
	for i, p := range pts {
		dx, dy := p.x-at.x, p.y-at.y
		out[i] = dot{at.x + dx*cos - dy*sin, at.y + dx*sin + dy*cos}
	}
	return out
}

// openJar is a jar with its lid lifted at one side; the months stand inside.
func openJar() sign {
	const w, mid = 0.90, 0.45
	lid := tilted(rounded(0.10, 0.21, 0.80, 0.33, 0.03), dot{0.10, 0.33}, 17)
	return sign{
		width: w, words: dot{mid, 0.73}, room: dot{0.66, 0.36},
		strokes: []stroke{
			{outlines: [][]dot{lid}, closed: true, width: 0.05},
			{outlines: [][]dot{rounded(0.13, 0.38, w-0.13, 0.47, 0.02)}, closed: true, width: 0.05},
			{outlines: [][]dot{rounded(0.04, 0.47, w-0.04, 0.97, 0.09)}, closed: true, width: 0.05},
		},
	}
}

// hourglass has sand in both halves.
func hourglass() sign {
	const w, mid = 0.64, 0.32
	side := curve(dot{0.10, 0.10}, dot{0.10, 0.36}, dot{mid - 0.04, 0.40}, dot{mid - 0.04, 0.50})
	side = joinDots(side, curve(dot{mid - 0.04, 0.50}, dot{mid - 0.04, 0.60}, dot{0.10, 0.64}, dot{0.10, 0.90}))
	upper := joinDots([]dot{{0.17, 0.30}}, curve(dot{0.17, 0.30}, dot{0.21, 0.38}, dot{mid - 0.02, 0.41},
		dot{mid - 0.02, 0.48}),
		[]dot{{mid + 0.02, 0.48}}, curve(dot{mid + 0.02, 0.48}, dot{mid + 0.02, 0.41}, dot{w - 0.21, 0.38},
			dot{w - 0.17, 0.30}))
	lower := joinDots([]dot{{0.14, 0.88}}, curve(dot{0.14, 0.88}, dot{0.18, 0.78}, dot{mid - 0.06, 0.76},
		dot{mid, 0.66}),
		curve(dot{mid, 0.66}, dot{mid + 0.06, 0.76}, dot{w - 0.18, 0.78}, dot{w - 0.14, 0.88}))
	return sign{
		width: w,
		strokes: []stroke{
			{outlines: [][]dot{joinDots(side, mirrored(side, mid))}, closed: true, width: 0.045},
			{outlines: [][]dot{upper}, filled: true},
			{outlines: [][]dot{lower}, filled: true},
			{outlines: [][]dot{rounded(0.01, 0, w-0.01, 0.10, 0.03)}, filled: true},
			{outlines: [][]dot{rounded(0.01, 0.90, w-0.01, 1, 0.03)}, filled: true},
		},
	}
}

// handOnBook is an open book with lines on its pages and a hand whose finger
// points at them.
func handOnBook() sign {
	const w, spine = 1.40, 0.66
	page := func(to float64) []dot {
		s := 1.0
		if to > spine {
			s = -1
		}
		return joinDots(
			curve(dot{spine, 0.46}, dot{spine - s*0.14, 0.34}, dot{to + s*0.20, 0.34}, dot{to, 0.40}),
			curve(dot{to, 0.92}, dot{to + s*0.20, 0.86}, dot{spine - s*0.14, 0.86}, dot{spine, 0.97}))
	}
	line := func(x0, x1, y float64) stroke {
		return stroke{outlines: [][]dot{{{x0, y}, {x1, y - 0.01}}}, width: 0.035}
	}
	hand := joinDots(
		arc(0.86, 0.72, 0.05, 0.05, 20, 195), []dot{{0.86, 0.40}},
		curve(dot{0.86, 0.40}, dot{0.82, 0.24}, dot{0.90, 0.15}, dot{1.03, 0.13}),
		[]dot{{1.13, 0.06}, {1.36, 0.30}, {1.27, 0.38}},
		curve(dot{1.27, 0.38}, dot{1.26, 0.50}, dot{1.22, 0.54}, dot{1.16, 0.54}),
		curve(dot{1.16, 0.54}, dot{1.12, 0.60}, dot{1.04, 0.60}, dot{1.02, 0.55}),
		curve(dot{1.02, 0.55}, dot{1.00, 0.57}, dot{0.96, 0.57}, dot{0.95, 0.54}))
	return sign{
		width: w,
		strokes: []stroke{
			{outlines: [][]dot{page(0.04)}, closed: true, width: 0.045},
			{outlines: [][]dot{page(1.28)}, closed: true, width: 0.045},
			line(0.15, 0.53, 0.54), line(0.15, 0.53, 0.65), line(0.15, 0.46, 0.76),
			{outlines: [][]dot{hand}, closed: true, cleared: true, width: 0.045},
			{outlines: [][]dot{{{0.95, 0.54}, {0.97, 0.42}}}, width: 0.035},
			{outlines: [][]dot{{{1.02, 0.55}, {1.06, 0.42}}}, width: 0.035},
			{outlines: [][]dot{{{1.16, 0.54}, {1.15, 0.42}}}, width: 0.035},
			{outlines: [][]dot{{{1.06, 0.13}, {1.29, 0.37}}}, width: 0.035},
		},
	}
}

// estimatedSign is a round e of even colour: thick at the sides, thin above and
// below, its bar through the middle, open below the bar on the right.
func estimatedSign() sign {
	const cx, cy, rx, ry = 0.52, 0.5, 0.52, 0.5
	const inX, inY = 0.29, 0.44 // of the inside
	const barTop, barFoot = 0.455, 0.545
	angle := func(y, r float64) float64 { return math.Asin((y-cy)/r) * 180 / math.Pi }
	lip := 33.0 // the lower end, degrees below the middle on the right
	outer := arc(cx, cy, rx, ry, lip, 360+angle(barFoot, ry))
	inner := arc(cx, cy, inX, inY, 180-angle(barFoot, inY), 48)
	counter := arc(cx, cy, inX, inY, 180-angle(barTop, inY), 360+angle(barTop, inY))
	return sign{width: 2 * rx,
		strokes: []stroke{{outlines: [][]dot{joinDots(outer, inner), counter}, filled: true}}}
}

// box returns the corners of all that is drawn, with the width of the lines.
func (s sign) box() (x0, y0, x1, y1 float64) {
	x0, y0, x1, y1 = math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)
	for _, st := range s.strokes {
		half := st.width / 2
		if st.filled {
			half = 0
		}
		for _, pts := range st.outlines {
			for _, q := range pts {
				x0, y0 = min(x0, q.x-half), min(y0, q.y-half)
				x1, y1 = max(x1, q.x+half), max(y1, q.y+half)
			}
		}
	}
	return x0, y0, x1, y1
}
