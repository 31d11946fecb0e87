package curve

import (
	"math"
	"sort"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/solved"
)

// Care is how exact the things on the bench are, one standard deviation each.
// What the chemistry leaves open comes on top: solved.Doubts.
type Care struct {
	Meter    float64 // of the pH that is read: calibration and electrode
	Relative float64 // of titrant per beaker: strength, drop or burette, and amount weighed
}

// OrdinaryCare is 0.02 of pH, and 4.3 % of titrant per beaker: a strength to
// 4 % and an amount weighed to 1.5 %. Our own choice for ordinary bench work.
func OrdinaryCare() Care { return Care{Meter: 0.02, Relative: math.Hypot(0.04, 0.015)} }

// doubtful is at how many points, at most, the chemistry is doubted; between
// them its spread is taken on straight lines.
const doubtful = 101

// doubts are the spreads of the chemistry at points of the curve.
func (c *Curve) doubts(p []Point) ([]float64, error) {
	out := make([]float64, len(p))
	every := max(1, (len(p)-1)/(doubtful-1))
	var md chem.Medium
	last := 0
	for i := 0; i < len(p); i = min(i+every, max(len(p)-1, i+1)) {
		x := c.beaker.Plus(p[i].Volume.Litres(), c.litre)
		e, err := c.model.SolveIn(&x, p[i].PH, &md)
		if err != nil {
			return nil, err
		}
		out[i] = solved.Judge(c.model, &x, e, &md).PH
		for k := last + 1; k < i; k++ {
			out[k] = out[last] + (out[i]-out[last])*float64(k-last)/float64(i-last)
		}
		last = i
	}
	return out, nil
}

// Band is the curve with Low and High filled in: what the pH would be had one
// standard deviation more or less of titrant gone in, and one standard
// deviation of meter and chemistry beside that. Near an equivalence point it is
// as lopsided as the curve.
func (c *Curve) Band(to chem.Volume, n int, care Care) ([]Point, error) {
	// The band reads the curve on straight lines between its points, so that
	// few points are picked from many.
	if k := 400/max(n-1, 1) + 1; n >= 2 && k > 1 {
		fine, err := c.Band(to, (n-1)*k+1, care)
		if err != nil {
			return nil, err
		}
		out := make([]Point, n)
		for i := range out {
			out[i] = fine[i*k]
		}
		return out, nil
	}
	p, err := c.Points(to, n)
	if err != nil {
		return nil, err
	}
	// The curve goes on past its end, so that the band can look there.
	ahead := 0
	if care.Relative > 0 {
		ahead = int(math.Ceil(care.Relative*float64(n))) + 1
	}
	long, err := c.extend(p, ahead)
	if err != nil {
		return nil, err
	}
	shift, err := c.doubts(p)
	if err != nil {
		return nil, err
	}
	for i := range p {
		shift := math.Hypot(shift[i], care.Meter)
		v := p[i].Volume.Litres()
		less := between(long, v*(1-care.Relative)) - p[i].PH
		more := between(long, v*(1+care.Relative)) - p[i].PH
		down, up := math.Min(less, more), math.Max(less, more)
		p[i].Low = p[i].PH - math.Hypot(math.Min(down, 0), shift)
		p[i].High = p[i].PH + math.Hypot(math.Max(up, 0), shift)
	}
	return p, nil
}

// extend is the curve with some more points at the same distance.
func (c *Curve) extend(p []Point, more int) ([]Point, error) {
	out := append(make([]Point, 0, len(p)+more), p...)
	step := p[1].Volume.Litres()
	for i := range more {
		v := step * float64(len(p)+i)
		x := c.beaker.Plus(v, c.litre)
		last := out[len(out)-1]
		e, err := c.model.SolveNear(&x, chem.Equilibrium{PH: last.PH, Strength: last.Strength})
		if err != nil {
			return nil, err
		}
		out = append(out, Point{Volume: chem.Volume(v), PH: e.PH, Strength: e.Strength})
	}
	return out, nil
}

// between is the pH at v litres on a straight line between evenly spaced points.
func between(p []Point, v float64) float64 {
	step := p[1].Volume.Litres()
	i := min(max(int(v/step), 0), len(p)-2)
	f := v/step - float64(i)
	return p[i].PH + f*(p[i+1].PH-p[i].PH)
}

// Equivalence is a point where the curve is steepest between two flatter
// stretches: enough titrant for one more proton of something.
type Equivalence struct {
	Volume chem.Volume
	PH     float64
}

// flatter is by how much the buffer value on both sides must exceed that of
// an equivalence point, for it to show as a jump.
const flatter = 2.5

// Equivalences finds the equivalence points among points of a curve: minima
// of dv/dpH, smoothed to the distance of the points.
func Equivalences(p []Point) []Equivalence {
	var out []Equivalence
	flat := make([]float64, len(p)) // dv/dpH: how much titrant a unit of pH takes
	for i := range p {
		flat[i] = 1 / math.Max(math.Abs(p[i].Slope), 1e-9)
	}
	// The highest value met since the last accepted minimum, going right.
	left, least := 0.0, -1
	for i := range flat {
		switch {
		case least < 0 && flat[i] > left:
			left = flat[i]
		case flat[i]*flatter <= left && (least < 0 || flat[i] < flat[least]):
			least = i
		case least >= 0 && flat[i] >= flatter*flat[least]:
			out = append(out, peak(p, least))
			left, least = flat[i], -1
		}
	}
	return out
}

// peak refines the steepest point by a parabola through its neighbours.
func peak(p []Point, i int) Equivalence {
	e := Equivalence{p[i].Volume, p[i].PH}
	if i == 0 || i == len(p)-1 {
		return e
	}
	a, b, c := math.Abs(p[i-1].Slope), math.Abs(p[i].Slope), math.Abs(p[i+1].Slope)
	if d := a - 2*b + c; d < 0 {
		e.Volume += chem.Volume(math.Max(-1, math.Min(1, (a-c)/(2*d)))) * (p[1].Volume - p[0].Volume)
		e.PH = interpolate(p, e.Volume)
	}
	return e
}

// interpolate is the pH at a volume among points in rising order.
func interpolate(p []Point, v chem.Volume) float64 {
	i := sort.Search(len(p), func(i int) bool { return p[i].Volume >= v })
	i = min(max(i, 1), len(p)-1)
	f := float64((v - p[i-1].Volume) / (p[i].Volume - p[i-1].Volume))
	return p[i-1].PH + f*(p[i].PH-p[i-1].PH)
}
