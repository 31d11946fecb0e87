package fit

import "math"

// Gran's line through the excess of an acid beyond the last equivalence point: (V₀ + V)·10^−pH
// rises with the volume from nothing there (G. Gran, Analyst 77, 661 (1952): from memory, no
// page). It knows nothing of the sample, so that what no acid of a fit describes, carbon
// dioxide that leaves the beaker before all, does not move it. Of a base it says less: there
// carbonate in the titrant bends it, and it is not asked.

// Figures of Gran's line, a choice of this project.
const (
	granFrom, granTo = 1.01, 1.6 // of the volume at the point
	granFewest       = 4         // points
	granNear         = 0.1       // of the volume, beyond which it speaks of something else
)

// gran is where the line of an excess of acid begins, mL, with its spread; false where too
// few points lie on it.
func (p *problem) gran(end float64) (v Value, ok bool) {
	var n, s, sx, sy, sxx, sxy float64
	for _, pt := range p.points {
		if p.sign > 0 || pt.ML < granFrom*end || pt.ML > granTo*end {
			continue
		}
		x, y := pt.ML-end, (p.sample+pt.ML)*math.Pow(10, -pt.PH)
		rel := math.Hypot(math.Ln10*readingSD, volumeSD*p.last/math.Max(x, volumeSD*p.last))
		w := 1 / (rel * rel * y * y)
		n, s, sx, sy, sxx, sxy = n+1, s+w, sx+w*x, sy+w*y, sxx+w*x*x, sxy+w*x*y
	}
	d := s*sxx - sx*sx
	if n < granFewest || !(d > 0) {
		return Value{}, false
	}
	a, b := (sxx*sy-sx*sxy)/d, (s*sxy-sx*sy)/d
	if !(b > 0) {
		return Value{}, false
	}
	v.Value = end - a/b
	v.SD = math.Sqrt(sxx+a/b*(2*sx+a/b*s)) / (b * math.Sqrt(d))
	return v, math.Abs(v.Value-end) < granNear*end
}

// doubt widens the last equivalence point of an acid, and the base that it titrates, by as
// much as Gran's line lies off it and its own spread does not explain.
func (r *Result) doubt() {
	if len(r.Ends) == 0 {
		return
	}
	end := &r.Ends[len(r.Ends)-1]
	g, ok := r.problem.gran(end.Value)
	if !ok {
		return
	}
	off := g.Value - end.Value
	off = math.Sqrt(math.Max(0, off*off-g.SD*g.SD))
	if whole := r.Molar.Value * end.Value; math.Abs(r.Excess.Value-whole) < 0.01*whole {
		r.Excess.SD = math.Hypot(r.Excess.SD, r.Molar.Value*off)
	}
	end.SD = math.Hypot(end.SD, off)
}
