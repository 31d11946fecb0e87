package spot

import (
	"math"
	"slices"
)

// shape is what the readings of one composition look like.
type shape struct {
	n          int
	age        float64 // s
	from, to   float64 // pH: before the addition, and the latest
	delay      float64 // s until a sixth of the step showed; NaN for no step
	dead       bool    // nothing for long after an addition that should have moved it, then its answer
	beyondAt   float64 // s after the addition
	swing      float64 // pH, between the lowest and the highest of the latest seconds
	beyond     float64 // pH that the reading went past its latest value, in the direction of the step
	early      float64 // s, time constant in the first seconds; NaN when it cannot be told
	late       float64 // s, later
	lateMove   float64 // pH that it still moved then
	wander     float64 // pH, slow unrest at rest
	noise      float64 // pH, white
	low, high  float64 // of all
	calmAtOnce bool    // hardly moved in the first twenty seconds
}

// Figures of looking at a stretch.
const (
	quietBins     = 30   // s over which noise is judged
	leastStep     = 0.08 // pH, a step that can be looked at
	stepShare     = 1.0 / 6
	peakBy        = 25.0 // s, by which an answer that goes too far has turned
	clearOf       = 15.0 // times the noise, that a step has to be for its delay to be seen
	deadTime      = 10.0 // s until an addition shows, at most, when it is stirred (practice table)
	earlySpan     = 12   // s
	lateFrom      = 26   // s
	calmSpread    = 0.12
	restlessTimes = 2.0 // of what white noise makes of a mean, squared
)

func mean(b []Bin) float64 {
	sum := 0.0
	for _, x := range b {
		sum += x.Y
	}
	return sum / float64(len(b))
}

// middle is the median of three.
func middle(a, b, c float64) float64 {
	return math.Max(math.Min(a, b), math.Min(math.Max(a, b), c))
}

func low(b []Bin) float64 { return slices.MinFunc(b, byY).Y }

func high(b []Bin) float64 { return slices.MaxFunc(b, byY).Y }

func byY(a, b Bin) int {
	switch {
	case a.Y < b.Y:
		return -1
	case a.Y > b.Y:
		return 1
	}
	return 0
}

// slope is that of a straight line through the bins, pH/s, with its standard
// error for white noise.
func slope(b []Bin) (k, se float64) {
	n := float64(len(b))
	t, y := 0.0, mean(b)
	for _, x := range b {
		t += x.T / n
	}
	up, norm := 0.0, 0.0
	for _, x := range b {
		up, norm = up+(x.T-t)*(x.Y-y), norm+(x.T-t)*(x.T-t)
	}
	if norm == 0 {
		return 0, math.Inf(1)
	}
	k = up / norm
	rest := 0.0
	for _, x := range b {
		d := x.Y - y - k*(x.T-t)
		rest += d * d
	}
	return k, math.Sqrt(rest / math.Max(n-2, 1) / norm)
}

// white is the standard deviation of what changes from second to second. Second
// differences that follow each other have the product −4σ² for white noise and
// one above zero for anything smooth; the largest are left out, since a
// single step makes one. It is 0 when it cannot be told.
func white(b []Bin, n int) float64 {
	if len(b) < 14 {
		return 0
	}
	b = b[max(0, len(b)-n):]
	p := make([]float64, 0, len(b))
	for i := 3; i < len(b); i++ {
		p = append(p, -(b[i].Y-2*b[i-1].Y+b[i-2].Y)*(b[i-1].Y-2*b[i-2].Y+b[i-3].Y))
	}
	slices.Sort(p)
	p = p[2 : len(p)-4]
	sum := 0.0
	for _, x := range p {
		sum += x
	}
	return math.Sqrt(math.Max(0, sum/float64(len(p))/4))
}

// scatter is the standard deviation of a few readings about a smooth course, by the
// median of their second differences (6 σ² for white noise).
func scatter(b []Bin) float64 {
	var d []float64
	for i := 2; i < len(b); i++ {
		d = append(d, math.Abs(b[i].Y-2*b[i-1].Y+b[i-2].Y))
	}
	if len(d) == 0 {
		return 0
	}
	slices.Sort(d)
	return d[len(d)/2] / 0.6745 / math.Sqrt(6)
}

// pace is the time constant of an approach over a window, by the means of its
// thirds; NaN when there is no approach.
func pace(b []Bin, noise float64) (tau, moved float64) {
	n := len(b) / 3
	if n < 2 {
		return math.NaN(), 0
	}
	a, c, d := mean(b[:n]), mean(b[n:2*n]), mean(b[2*n:3*n])
	moved = d - a
	r := (d - c) / (c - a)
	if math.Abs(c-a) < 0.02+3*noise || !(r > 0) {
		return math.NaN(), moved
	}
	if r >= 1 {
		return math.Inf(1), moved
	}
	return (b[2*n].T - b[n].T) / -math.Log(r), moved
}

func (s *stretch) measure(noise float64) shape {
	b := s.bins
	h := shape{n: len(b), from: s.from, to: math.NaN(), delay: math.NaN(), early: math.NaN(), late: math.NaN()}
	if len(b) < 3 {
		return h
	}
	h.age, h.to, h.low, h.high = b[len(b)-1].T-s.since, mean(b[len(b)-min(5, len(b)):]), low(b), high(b)
	h.noise = math.Max(white(b, quietBins), noise)
	h.swing = high(b[max(0, len(b)-8):]) - low(b[max(0, len(b)-8):])
	h.steps(s, b)
	if len(b) > earlySpan {
		h.early, _ = pace(b[:earlySpan+1], h.noise)
	}
	if i := s.index(lateFrom); len(b)-i >= 18 {
		w := b[i:min(len(b), i+42)]
		h.late, h.lateMove = pace(w, h.noise)
	}
	if i := s.index(20); len(b) >= 10 && b[0].T-s.since < 5 {
		h.calmAtOnce = high(b[:max(i, 3)])-low(b[:max(i, 3)]) < calmSpread+6*h.noise
	}
	if i := s.index(40); i < len(b) {
		h.wander = unrest(b[i:], math.Max(white(b, len(b)), noise))
	}
	return h
}

// index is the first bin at an age of so many seconds or more.
func (s *stretch) index(age float64) int {
	i := slices.IndexFunc(s.bins, func(x Bin) bool { return x.T-s.since >= age })
	if i < 0 {
		return len(s.bins)
	}
	return i
}

// steps looks at how the step came about.
func (h *shape) steps(s *stretch, b []Bin) {
	step := h.to - s.from
	if math.IsNaN(step) || math.Abs(step) < leastStep {
		return
	}
	dir := math.Copysign(1, step)
	i := slices.IndexFunc(b, func(x Bin) bool { return dir*(x.Y-s.from) > math.Max(stepShare*math.Abs(step), 3*h.noise) })
	if i >= 0 {
		h.delay = b[i].T - s.since
	}
	h.dead = s.wasDead(b, h.noise)
	for k := 1; k+1 < len(b) && b[k].T-s.since < peakBy; k++ { // the middle of three, against noise and single wild ones
		if y := dir * (middle(b[k-1].Y, b[k].Y, b[k+1].Y) - h.to); y > h.beyond {
			h.beyond, h.beyondAt = y, b[k].T-s.since
		}
	}
}

// wasDead reports whether nothing showed for deadTime after an addition that
// was expected to, and then all at once.
func (s *stretch) wasDead(b []Bin, noise float64) bool {
	i := s.index(deadTime)
	if len(b)-i < 15 || i < 4 || s.expected == nil {
		return false
	}
	want := s.expected() - s.from
	if math.IsNaN(want) || math.Abs(want) < math.Max(leastStep, clearOf*noise) {
		return false
	}
	still := high(b[:i])-low(b[:i]) < math.Max(0.1*math.Abs(want), 5*noise+0.01) && math.Abs(mean(b[i-3:i])-s.from) < math.Max(0.1*math.Abs(want), 3*noise+0.01)
	came := (mean(b[len(b)-5:]) - s.from) / want
	return still && came > 0.35 && came < 3
}

// unrest is the slow coming and going of a reading: the spread of means over
// six seconds about a smooth course, by their third differences (20 σ² for
// independent means, next to nothing for an approach), less what white noise
// explains. Noise is to be that of single seconds.
func unrest(b []Bin, noise float64) float64 {
	const span, least = 6, 8
	n := len(b) / span
	if n < least {
		return 0
	}
	m := make([]float64, n)
	for i := range n {
		m[i] = mean(b[i*span : (i+1)*span])
	}
	sum := 0.0
	for i := 3; i < n; i++ {
		d := m[i] - 3*m[i-1] + 3*m[i-2] - m[i-3]
		sum += d * d
	}
	return math.Sqrt(math.Max(0, sum/(20*float64(n-3))-restlessTimes*noise*noise/span))
}

// moving reports whether the reading is still on its way, by more than matters.
func (s *stretch) moving(aim, tolerance float64) bool {
	b := s.bins
	const span = 8
	if len(b) < 4 {
		return true
	}
	k, se := slope(b[max(0, len(b)-span):])
	const tau = 7.0 // s, of an electrode that nobody knows yet
	left := math.Abs(k) * tau
	return math.Abs(k) > 5*se && left > math.Max(0.5*tolerance, 0.15*math.Abs(mean(b[len(b)-3:])-aim))
}
