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

// Read takes a reading: s, pH and °C, the last NaN when it was not sent.
func (e Eye) Read(t, ph, temp float64) Eye {
	s := &e.now
	if s.open.n > 0 && math.Floor(t) == math.Floor(s.open.T) {
		n := float64(s.open.n)
		s.open.T, s.open.Y = (s.open.T*n+t)/(n+1), (s.open.Y*n+ph)/(n+1)
		s.open.n++
	} else {
		s.close()
		s.open = Bin{T: t, Y: ph, n: 1}
	}
	if !math.IsNaN(temp) {
		if math.IsNaN(e.temp) {
			e.temp, e.tempAt, e.highest = temp, t, temp
		}
		e.latest, e.highest = temp, math.Max(e.highest, temp)
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

// Added notes an addition put on record at t, s, that began to fall or to show
// at from: what was read between is of neither composition. expected gives the pH
// that it is to lead to, and is asked once, when it is first needed, advised says that the coach had advised it, aim is what
// the meter is to show in the end, and noise is that of a reading, as far as known.
func (e Eye) Added(t, from float64, expected func() float64, noise float64, advised bool, aim, tolerance float64) Eye {
	e.now.gather()
	e.now.until(from)
	if !advised && e.now.moving(aim, tolerance) {
		e.hasty++
	}
	e.adds++
	e.past = append(slices.Clip(e.past), seen{at: e.now.measure(noise)})
	e.noise = e.now.heard(e.noise)
	level := math.NaN()
	if n := len(e.now.bins); n > 0 {
		level = mean(e.now.bins[max(0, n-2):])
	}
	e.now = stretch{since: t, from: level, expected: sync.OnceValue(expected)}
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
