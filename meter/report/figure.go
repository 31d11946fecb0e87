package report

import (
	"fmt"
	"io"
	"math"

	"example.org/halfdrop/meter/replay"
)

// Sizes of the figures, in px of the picture.
var (
	tall = frame{w: 760, h: 420, left: 58, right: 742, top: 16, bottom: 372}
	flat = frame{w: 760, h: 260, left: 58, right: 742, top: 16, bottom: 212}
)

// WriteCurve draws the titration: the curve of the plan, the one believed in
// the end with its band, and the settled readings with their numbers, against
// the charge given by the labels.
func (rec *Record) WriteCurve(w io.Writer) error {
	p := &picture{frame: tall}
	points := rec.points()
	lo, hi, low, high := rec.extent(points)
	p.x = newAxis(lo, hi, p.left, p.right, 8)
	p.x.Lo, p.x.Hi = lo, math.Max(hi, lo+1e-9) // curves go from edge to edge
	p.y = newAxis(low-0.05, high+0.05, p.bottom, p.top, 7)
	p.open("pH against titrant given: "+rec.Name, "charge given by the labels / mmol (base counts up, acid down)")
	p.stripe(rec.Aim-rec.Tolerance, rec.Aim+rec.Tolerance)
	p.band(rec)
	p.curve(len(rec.plan), func(i int) (float64, float64) { return 1e3 * rec.plan[i].Charge, rec.plan[i].PH },
		fmt.Sprintf(`stroke="%s" stroke-width="1.4" stroke-dasharray="5 4"`, pale))
	p.curve(len(rec.believed), func(i int) (float64, float64) { return 1e3 * rec.believed[i].Charge, rec.believed[i].PH },
		fmt.Sprintf(`stroke="%s" stroke-width="2.2"`, line))
	p.marks(points)
	x, anchor := p.left+6, "start" // on the side where the curve is farther off
	if n := len(rec.plan); n > 0 && math.Abs(rec.plan[0].PH-rec.Aim) < math.Abs(rec.plan[n-1].PH-rec.Aim) || n == 0 && lo < 0 {
		x, anchor = p.right-6, "end"
	}
	p.put(`<text x="%g" y="%.1f" text-anchor="%s" stroke="white" stroke-width="3" paint-order="stroke">aim %.2f ± %g</text>`,
		x, p.y.At(rec.Aim)-6, anchor, rec.Aim, rec.Tolerance)
	p.flawed(rec.Lost)
	return p.writeTo(w)
}

// point is where the beaker stood after n additions.
type point struct {
	n          int
	charge, ph float64 // mmol
}

// points are the compositions in the order of the additions.
func (rec *Record) points() []point {
	b := rec.run.End().Bench()
	var out []point
	total := 0.0
	for _, s := range rec.Steps {
		if s.Undone {
			continue
		}
		if len(out) == 0 {
			out = append(out, point{0, 0, s.Before.PH})
		}
		for j, st := range rec.run.End().Setup.Stocks {
			if st.Name == s.Titrant {
				total += s.ML * b.LabelledCharge(oneML(j))
			}
		}
		out = append(out, point{s.N, total * 1e3, s.After.PH})
	}
	if len(out) == 0 {
		out = append(out, point{0, 0, rec.Final.PH})
	}
	return out
}

// extent is the range that holds curves and readings.
func (rec *Record) extent(points []point) (lo, hi, low, high float64) {
	low, high = rec.Aim, rec.Aim
	see := func(q, ph float64) {
		lo, hi = math.Min(lo, q), math.Max(hi, q)
		if !math.IsNaN(ph) {
			low, high = math.Min(low, ph), math.Max(high, ph)
		}
	}
	for _, c := range rec.plan {
		see(1e3*c.Charge, c.PH)
	}
	for _, p := range points {
		see(p.charge, p.ph)
	}
	return lo, hi, low, high
}

func (p *picture) band(rec *Record) {
	n := len(rec.believed)
	p.curve(2*n, func(i int) (float64, float64) {
		if i < n {
			return 1e3 * rec.believed[i].Charge, p.inside(rec.believed[i].High)
		}
		c := rec.believed[2*n-1-i]
		return 1e3 * c.Charge, p.inside(c.Low)
	}, fmt.Sprintf(`style="fill:%s;fill-opacity:.7"`, veil))
}

// inside keeps a pH within the axis.
func (p *picture) inside(ph float64) float64 { return math.Max(p.y.Lo, math.Min(p.y.Hi, ph)) }

func (p *picture) marks(points []point) {
	for i, q := range points {
		if math.IsNaN(q.ph) {
			continue
		}
		x, y := p.x.At(q.charge), p.y.At(q.ph)
		p.put(`<circle cx="%.1f" cy="%.1f" r="4.5" fill="white" stroke="%s" stroke-width="2"/>`, x, y, rust)
		if len(points) <= 25 || i == len(points)-1 {
			p.put(`<text x="%.1f" y="%.1f" fill="%s" stroke="white" stroke-width="3" paint-order="stroke">%d</text>`, x+7, y+16, rust, q.n)
		}
	}
}

// traceColumns is how many stretches the readings are drawn in.
const traceColumns = 684

// WriteTrace draws the readings against time, with the additions.
func (rec *Record) WriteTrace(w io.Writer) error {
	p := &picture{frame: flat}
	trace := rec.run.Trace(0, math.Max(rec.Seconds, 1), traceColumns)
	low, high := rec.Aim-rec.Tolerance, rec.Aim+rec.Tolerance
	aims := !rec.run.End().Looks() // else an amount is looked for
	if !aims {
		low, high = math.Inf(1), math.Inf(-1)
	}
	for _, s := range trace {
		low, high = math.Min(low, s.Low), math.Max(high, s.High)
	}
	p.x = newTimeAxis(math.Max(rec.Seconds, 1)/60, p.left, p.right)
	p.y = newAxis(low-0.02, high+0.02, p.bottom, p.top, 5)
	p.open("readings against time: "+rec.Name, "time since the start / min")
	if aims {
		p.stripe(rec.Aim-rec.Tolerance, rec.Aim+rec.Tolerance)
	}
	for _, s := range rec.Steps {
		p.put(`<path d="M%.1f %g V%g" stroke="%s" stroke-dasharray="2 3"/>`, p.x.At(s.T/60), p.top, p.bottom, rust)
		if len(rec.Steps) <= 25 {
			p.put(`<text x="%.1f" y="%g" fill="%s">%d</text>`, p.x.At(s.T/60)+3, p.top+11, rust, s.N)
		}
	}
	p.readings(trace)
	p.flawed(rec.Lost)
	return p.writeTo(w)
}

// readings are drawn as a line, broken where none came for long.
func (p *picture) readings(trace []replay.Sample) {
	const pause = 30.0 // s
	p.curve(3*len(trace), func(i int) (float64, float64) {
		s := trace[i/3]
		if k := i / 3; i%3 == 0 && k > 0 && s.T-trace[k-1].T > pause {
			return math.NaN(), math.NaN()
		}
		return s.T / 60, [3]float64{s.Low, s.High, s.PH}[i%3]
	}, fmt.Sprintf(`stroke="%s" stroke-width="1.6"`, line))
}
