package settle

import "math"

// State says in a word how the reading stands.
type State uint8

const (
	// Empty: no reading yet.
	Empty State = iota
	// Settling: still moving, or too few readings to tell.
	Settling
	// Settled: waiting would not make it better.
	Settled
	// Noisy: the scatter is too large to judge by.
	Noisy
	// Drifting: slowly and steadily moving long after the change.
	Drifting
)

var stateNames = [...]string{"empty", "settling", "settled", "noisy", "drifting"}

// String is the lower-case name of the state.
func (s State) String() string {
	if int(s) < len(stateNames) {
		return stateNames[s]
	}
	return "unknown"
}

// Estimate is what a window says of the end value.
type Estimate struct {
	State   State
	End     float64 // pH the reading will come to
	SD      float64 // its standard deviation
	FinalSD float64 // the standard deviation it would have when waited for
	Now     float64 // smoothed present value
	Noise   float64 // standard deviation of one bin about the curve
	Tau     float64 // s, time constant of the electrode as far as known
}

// Figures of judgement, a choice of this project.
const (
	mixTau     = 1.7    // s, second exponential for mixing
	noiseGuess = 0.004  // pH, noise before anything is known
	shortcut   = 0.08   // relative uncertainty of what is still to come
	restLate   = 0.03   // of what a step still has to go by age and time constant, once it is mixed
	restEarly  = 0.30   // the same while it mixes
	enough     = 12.0   // bins that a final reading averages over
	noisyAt    = 0.03   // pH, noise of a bin from which on the state is Noisy
	readySD    = 0.0050 // pH, a spread that is good enough for any meter
	mostSD     = 0.0060 // pH, and the largest that is called settled
	minBins    = 4
	minAge     = 3.0 // s since the change before anything is believed
	hastySD    = 0.3 // pH, the least spread until then
	deadTime   = 20.0
	patience   = 150.0 // s after which a slow drift is called one
)

// Estimate judges the window at time now (s).
func (l Learned) Estimate(w Window, now float64) Estimate {
	if w.Len() == 0 {
		return Estimate{State: Empty, End: math.NaN(), SD: math.Inf(1), FinalSD: math.Inf(1), Now: math.NaN()}
	}
	f := l.fit(w)
	floor := 0.29 * w.Resolution / math.Sqrt(1+f.noise/max(w.Resolution, 1e-9))
	e := Estimate{End: f.end, SD: math.Sqrt(f.variance), Now: f.now, Noise: f.noise, Tau: f.tau}
	e.FinalSD = math.Sqrt(floor*floor + f.noise*f.noise/enough + 1e-6)
	e.SD = math.Sqrt(e.SD*e.SD + floor*floor + 1e-6 + math.Pow(shortcut*(f.end-f.now), 2))
	unrest := w.unrest(&f.weight)
	if unrest < 0.02 && e.turnsBack(w) {
		e.SD = math.Hypot(e.SD, e.End-e.Now)
		e.End = e.Now
	}
	age := now - w.Since
	e.SD = math.Hypot(e.SD, w.toCome(f, unrest, age))
	if w.Len() < minBins || age < minAge {
		e.SD = math.Max(e.SD, w.hasty(e.End))
	}
	if still := w.unanswered(f.now, age); still > 0 {
		e.SD = math.Max(e.SD, still)
	}
	e.State = e.judge(w, age)
	return e
}

// hasty is the spread of an end value read off so early that only what was
// expected tells how far it may be.
func (w Window) hasty(end float64) float64 {
	if d := math.Abs(w.Expected - end); !math.IsNaN(d) {
		return math.Max(hastySD, d+w.Doubt)
	}
	return hastySD
}

// unanswered is the spread to assume while the reading has not yet begun to
// follow an addition that was expected to move it.
func (w Window) unanswered(y, age float64) float64 {
	step := w.Expected - w.From
	if math.IsNaN(step) || age > deadTime || math.Abs(step) < 0.02 || math.Abs(y-w.From) > 0.25*math.Abs(step) {
		return 0
	}
	return 0.5 * math.Abs(w.Expected-y)
}

// turnsBack reports whether the end value lies behind the present one, seen in
// the direction of the step: an electrode does not do that, only a fit does.
func (e Estimate) turnsBack(w Window) bool {
	return (e.End-e.Now)*(e.Now-w.From) < 0
}

// toCome is the spread to assume because of how far the reading has come, or
// is expected to come: a large step leaves a rest that is known only in part.
func (w Window) toCome(f fitted, unrest, age float64) float64 {
	step := math.Abs(f.now - w.From)
	if math.IsNaN(step) {
		return 0
	}
	if d := math.Abs(w.Expected-w.From) + w.Doubt; d > step {
		step = d
	}
	step += unrest
	tau := f.tau * math.Exp(math.Min(f.lnTauSD, 0.5))
	return fading(restEarly, restLate, age) * step * math.Exp(-math.Max(0, age-mixTau)/tau)
}

// mixSpan is how long mixing bends an approach, s: three times a mixing time
// constant of 1 to 3 s leaves little of it.
const mixSpan = 3.5

// fading goes from early to late with the age of a step: while titrant spreads,
// above all through a steep part of the curve, an approach has any shape; after
// that the electrode alone gives it.
func fading(early, late, age float64) float64 {
	return late + (early-late)*math.Exp(-math.Max(0, age)/mixSpan)
}

func (e Estimate) judge(w Window, age float64) State {
	ready := e.SD <= min(max(1.3*e.FinalSD, readySD), mostSD)
	switch {
	case e.Noise > noisyAt && w.Len() >= minBins:
		return Noisy
	case ready:
		return Settled
	case age > patience:
		return Drifting
	}
	return Settling
}
