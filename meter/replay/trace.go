package replay

import (
	"math"
	"slices"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter/run/view"
)

// Sample is the readings of a stretch of time.
type Sample struct {
	T         float64 // s, of the last of them
	PH        float64 // the last of them
	Low, High float64 // the lowest and the highest
}

// Trace is the readings until a run time, s, in at most n stretches; no peak is lost. mV
// count as the run took them.
func (r *Run) Trace(until float64, n int) []Sample {
	if n < 1 || !(until > 0) {
		return nil
	}
	var out []Sample
	at := -1
	for i := range r.items[:r.Find(until)] {
		it := &r.items[i]
		if it.other >= 0 || it.away {
			continue
		}
		ph := it.ph
		if k := min(int(float64(n)*it.t/until), n-1); k != at {
			at = k
			out = append(out, Sample{Low: ph, High: ph})
		}
		s := &out[len(out)-1]
		s.T, s.PH = it.t, ph
		s.Low, s.High = math.Min(s.Low, ph), math.Max(s.High, ph)
	}
	return out
}

// OnlyMV reports whether the meter sent mV and no pH, of the latest reading of the beaker.
func (r *Run) OnlyMV() bool {
	for _, it := range slices.Backward(r.items) {
		if it.other < 0 && !it.away {
			return it.mv
		}
	}
	return false
}

// Curves are two titration curves over the run: as the plan has it, and as it
// is believed after the last reading, in n points each, from nothing added to
// past the aim and past what was added; none of a beaker that nobody weighed.
func (r *Run) Curves(n int) (plan, believed []coach.CurvePoint) {
	v := r.end.Look(r.end.T)
	most, charge := 0.0, 0.0
	b := r.end.Bench()
	if b.Unweighed {
		return nil, nil // what is believed of it holds near the last reading only
	}
	for _, a := range r.end.History().Additions {
		if charge += b.LabelledCharge(a); math.Abs(charge) > math.Abs(most) {
			most = charge
		}
	}
	to := reach(v.Aimed, most)
	if to == 0 {
		return nil, nil
	}
	plan = r.snaps[0].Curve(0, chem.Amount(to), n)
	h := r.end.History()
	if tellsCurve(&v) {
		h.Observations = append(h.Observations[:len(h.Observations):len(h.Observations)],
			coach.Observation{After: len(h.Additions), PH: v.Settling.End, SD: v.Settling.SD})
	}
	if len(h.Observations) > 0 {
		believed = b.Curve(h, 0, chem.Amount(to), n)
	}
	return plan, believed
}

// vagueLast is the spread, pH, from which on the last reading tells nothing of the curve
// (a choice).
const vagueLast = 0.2

// tellsCurve reports whether the last reading of a run tells something of its curve.
func tellsCurve(v *view.View) bool { return v.HasReading && v.Settling.SD < vagueLast }

// reach is the charge to which curves are drawn: a quarter past the aim, and where more was
// given than leads near there, or something else, a tenth past that.
func reach(aimed, given float64) float64 {
	to := 1.25 * aimed
	if math.Abs(given)*1.05 > math.Abs(to) || to*given < 0 {
		to = 1.1 * given
	}
	return to
}
