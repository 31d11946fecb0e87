package report

import (
	"fmt"
	"io"
	"math"
	"slices"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/figure"
	"example.org/halfdrop/meter/phrase"
	"example.org/halfdrop/meter/replay"
)

// Sizes of the figures, in px of the picture.
var (
	tall = figure.Frame{W: 760, H: 420, Left: 58, Right: 742, Top: 16, Bottom: 372}
	flat = figure.Frame{W: 760, H: 260, Left: 58, Right: 742, Top: 16, Bottom: 212}
)

// picture is a figure of a record that is being drawn.
type picture struct{ figure.Picture }

func newPicture(f figure.Frame) *picture { return &picture{figure.Picture{Frame: f}} }

// timeSteps are the steps of minutes that a clock has.
var timeSteps = []float64{0.1, 0.2, 0.5, 1, 2, 5, 10, 15, 30, 60, 120, 240, 480}

// timeScale is a scale of minutes from 0, that ends where the run does.
func timeScale(minutes float64, along figure.Range) figure.Scale {
	s := figure.Scale{Hi: minutes, From: along.From, To: along.To, Step: figure.Round(minutes / 9)}
	if i := slices.IndexFunc(timeSteps, func(step float64) bool { return minutes/step <= 10 }); i >= 0 {
		s.Step = timeSteps[i]
	}
	return s
}

// flawed says in the picture that its run is not whole.
func (p *picture) flawed(flaw string) {
	if flaw != "" { // above what is drawn, not across it
		p.Put(`<text x="%g" y="%g" font-size="10" fill="%s">NOT WHOLE: %s</text>`, p.Left+4, p.Top-3, figure.Rust, figure.Escape(phrase.Clip(flaw, 110)))
	}
}

// oneML is a millilitre of a stock.
func oneML(stock int) coach.Addition {
	return coach.Addition{Stock: stock, Volume: chem.Millilitre}
}

// WriteCurve draws the titration: the curve of the plan, the one believed in
// the end with its band, and the settled readings with their numbers, against
// the charge given by the labels.
func (rec *Record) WriteCurve(w io.Writer) error {
	p := newPicture(tall)
	points := rec.points()
	lo, hi, low, high := rec.extent(points)
	p.X = figure.NewScale(figure.Range{From: lo, To: hi}, p.Across(), 8)
	p.X.Lo, p.X.Hi = lo, math.Max(hi, lo+1e-9) // curves go from edge to edge
	p.Y = figure.NewScale(figure.Range{From: low - 0.05, To: high + 0.05}, p.Up(), 7)
	p.Open("pH against titrant given: "+rec.Name, "charge given by the labels / mmol (base counts up, acid down)")
	p.Stripe(figure.Range{From: rec.Aim - rec.Tolerance, To: rec.Aim + rec.Tolerance})
	p.Band(len(rec.believed), func(i int) (x, low, high float64) {
		c := rec.believed[i]
		return 1e3 * c.Charge, c.Low, c.High
	})
	p.Curve(len(rec.plan), func(i int) (float64, float64) { return 1e3 * rec.plan[i].Charge, rec.plan[i].PH },
		fmt.Sprintf(`stroke="%s" stroke-width="1.4" stroke-dasharray="5 4"`, figure.Pale))
	p.Curve(len(rec.believed), func(i int) (float64, float64) { return 1e3 * rec.believed[i].Charge, rec.believed[i].PH },
		fmt.Sprintf(`stroke="%s" stroke-width="2.2"`, figure.Line))
	p.marks(points)
	x, anchor := p.Left+6, "start" // on the side where the curve is farther off
	if n := len(rec.plan); n > 0 && math.Abs(rec.plan[0].PH-rec.Aim) < math.Abs(rec.plan[n-1].PH-rec.Aim) || n == 0 && lo < 0 {
		x, anchor = p.Right-6, "end"
	}
	p.Put(`<text x="%g" y="%.1f" text-anchor="%s" stroke="white" stroke-width="3" paint-order="stroke">aim %.2f ± %g</text>`,
		x, p.Y.At(rec.Aim)-6, anchor, rec.Aim, rec.Tolerance)
	p.flawed(rec.Lost)
	return p.Finish(w)
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

func (p *picture) marks(points []point) {
	for i, q := range points {
		if math.IsNaN(q.ph) {
			continue
		}
		p.Ring(figure.Point{X: q.charge, PH: q.ph})
		if len(points) <= 25 || i == len(points)-1 {
			p.Put(`<text x="%.1f" y="%.1f" fill="%s" stroke="white" stroke-width="3" paint-order="stroke">%d</text>`, p.X.At(q.charge)+7, p.Y.At(q.ph)+16, figure.Rust, q.n)
		}
	}
}

// traceColumns is how many stretches the readings are drawn in.
const traceColumns = 684

// WriteTrace draws the readings against time, with the additions.
func (rec *Record) WriteTrace(w io.Writer) error {
	p := newPicture(flat)
	trace := rec.run.Trace(math.Max(rec.Seconds, 1), traceColumns)
	low, high := rec.Aim-rec.Tolerance, rec.Aim+rec.Tolerance
	aims := !rec.run.End().Looks() // else an amount is looked for
	if !aims {
		low, high = math.Inf(1), math.Inf(-1)
	}
	for _, s := range trace {
		low, high = math.Min(low, s.Low), math.Max(high, s.High)
	}
	p.X = timeScale(math.Max(rec.Seconds, 1)/60, p.Across())
	p.Y = figure.NewScale(figure.Range{From: low - 0.02, To: high + 0.02}, p.Up(), 5)
	p.Open("readings against time: "+rec.Name, "time since the start / min")
	if aims {
		p.Stripe(figure.Range{From: rec.Aim - rec.Tolerance, To: rec.Aim + rec.Tolerance})
	}
	for _, s := range rec.Steps {
		p.Put(`<path d="M%.1f %g V%g" stroke="%s" stroke-dasharray="2 3"/>`, p.X.At(s.T/60), p.Top, p.Bottom, figure.Rust)
		if len(rec.Steps) <= 25 {
			p.Put(`<text x="%.1f" y="%g" fill="%s">%d</text>`, p.X.At(s.T/60)+3, p.Top+11, figure.Rust, s.N)
		}
	}
	p.readings(trace)
	p.flawed(rec.Lost)
	return p.Finish(w)
}

// readings are drawn as a line, broken where none came for long.
func (p *picture) readings(trace []replay.Sample) {
	const pause = 30.0 // s
	p.Curve(3*len(trace), func(i int) (float64, float64) {
		s := trace[i/3]
		if k := i / 3; i%3 == 0 && k > 0 && s.T-trace[k-1].T > pause {
			return math.NaN(), math.NaN()
		}
		return s.T / 60, [3]float64{s.Low, s.High, s.PH}[i%3]
	}, fmt.Sprintf(`stroke="%s" stroke-width="1.6"`, figure.Line))
}
