package spot

import (
	"math"
	"slices"
	"sync"
)

// Bin is the readings of one second.
type Bin struct {
	T, Y float64 // s, pH: means
	n    int
}

// most bounds the seconds that are kept of one composition.
const most = 300

// stretch is the readings between two additions.
type stretch struct {
	since float64 // s
	from  float64 // pH shown when it began; NaN at the start of a run
	// expected is where the addition was to lead; nil when unknown, and so is NaN.
	expected func() float64
	bins     []Bin
	late     []Bin // after bins, until gather puts them there
	open     Bin
}

// Eye has seen the readings of a run. It is a value: every method returns a new
// one and leaves the old one as it was.
type Eye struct {
	now     stretch
	past    []seen  // what was seen of earlier stretches
	noise   float64 // white noise of a calm reading, pH; +Inf before any
	broken  bool    // there is something that the first stretch did not see
	hasty   int     // additions that fell on a moving reading
	adds    int
	temp    float64 // °C, the first one sent; NaN before
	tempAt  float64
	latest  float64 // °C, the last one
	highest float64 // °C
}

// seen is what is kept of a stretch that is over.
type seen struct {
	at shape
}

// Open is an eye at the start of a run, t seconds on its clock.
func Open(t float64) Eye {
	return Eye{now: stretch{since: t, from: math.NaN()}, noise: math.Inf(1), temp: math.NaN(), latest: math.NaN(), highest: math.NaN()}
}

// Reading is a reading of the meter.
type Reading struct {
	T, PH float64 // s, pH
	Temp  float64 // °C; NaN when it was not sent
}

// Read takes a reading.
func (e Eye) Read(r Reading) Eye {
	s, t := &e.now, r.T
	if s.open.n > 0 && math.Floor(t) == math.Floor(s.open.T) {
		n := float64(s.open.n)
		s.open.T, s.open.Y = (s.open.T*n+t)/(n+1), (s.open.Y*n+r.PH)/(n+1)
		s.open.n++
	} else {
		s.close()
		s.open = Bin{T: t, Y: r.PH, n: 1}
	}
	if !math.IsNaN(r.Temp) {
		if math.IsNaN(e.temp) {
			e.temp, e.tempAt, e.highest = r.Temp, t, r.Temp
		}
		e.latest, e.highest = r.Temp, math.Max(e.highest, r.Temp)
	}
	return e
}

// lateMost is how many seconds are kept apart, so that a second costs no copy of all.
const lateMost = 24

// close puts the open bin to the others.
func (s *stretch) close() {
	if s.open.n == 0 {
		return
	}
	s.late = append(slices.Clip(s.late), s.open)
	s.open = Bin{}
	if len(s.late) == lateMost {
		s.gather()
	}
}

// gather brings all bins together to be looked at, the open one among them.
func (s *stretch) gather() {
	if s.open.n > 0 {
		s.late, s.open = append(slices.Clip(s.late), s.open), Bin{}
	}
	if len(s.late) == 0 {
		return
	}
	all := slices.Concat(s.bins, s.late)
	s.bins, s.late = all[max(0, len(all)-most):], nil
}

// Addition is an addition that is put on record.
type Addition struct {
	T        float64        // s, when it was
	From     float64        // s, when it began to fall or to show: what was read since is of neither composition
	Expected func() float64 // the pH that it is to lead to: asked once, when it is first needed
	Noise    float64        // pH, of a reading, as far as known
	Advised  bool           // by the coach

	Aim, Tolerance float64 // pH, what the meter is to show in the end
}

// Added notes an addition.
func (e Eye) Added(a Addition) Eye {
	e.now.gather()
	e.now.until(a.From)
	if !a.Advised && e.now.moving(a.Aim, a.Tolerance) {
		e.hasty++
	}
	e.adds++
	e.past = append(slices.Clip(e.past), seen{at: e.now.measure(a.Noise)})
	e.noise = e.now.heard(e.noise)
	level := math.NaN()
	if n := len(e.now.bins); n > 0 {
		level = mean(e.now.bins[max(0, n-2):])
	}
	e.now = stretch{since: a.T, from: level, expected: sync.OnceValue(a.Expected)}
	return e
}

// until forgets what was read from t on.
func (s *stretch) until(t float64) {
	n := len(s.bins)
	for n > 0 && s.bins[n-1].T >= t {
		n--
	}
	s.bins = s.bins[:n:n]
}

// Placed notes that the electrode was put into the beaker at t: what was read
// before was of something else.
func (e Eye) Placed(t float64) Eye {
	e.now.gather()
	i := slices.IndexFunc(e.now.bins, func(b Bin) bool { return b.T >= t })
	if i < 0 {
		i = len(e.now.bins)
	}
	e.now = stretch{since: t, from: math.NaN(), bins: slices.Clone(e.now.bins[i:])}
	return e
}

// heard is the noise of the run so far, after this stretch: the loudest one that
// was calm, for a sensor is not quiet by chance for long.
func (s *stretch) heard(before float64) float64 {
	q := white(s.bins, quietBins)
	switch {
	case q == 0 || len(s.bins) < quietBins:
		return before
	case math.IsInf(before, 0):
		return q
	case q < 2*before:
		return math.Max(q, before)
	}
	return before
}

// Broken notes that the readings after t cannot be compared with those before.
func (e Eye) Broken(t float64) Eye {
	e.now.gather()
	e.noise, e.broken = e.now.heard(e.noise), true
	e.now = stretch{since: t, from: math.NaN()}
	return e
}
