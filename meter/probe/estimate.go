package probe

import "math"

// State says in a word how the reading stands.
type State uint8

const (
	// Empty: no reading yet.
	Empty State = iota
	// Moving: beaker or electrode are being changed.
	Moving
	// Settling: on its way, or too few readings to tell.
	Settling
	// Settled: waiting would make it little better.
	Settled
)

var stateNames = [...]string{"empty", "moving", "settling", "settled"}

// String is the lower-case name of the state.
func (s State) String() string {
	if int(s) < len(stateNames) {
		return stateNames[s]
	}
	return "unknown"
}

// Estimate is what the readings say of the end value.
type Estimate struct {
	State   State
	End     float64 // pH that the reading will come to
	SD      float64 // its standard deviation
	FinalSD float64 // the standard deviation that it would have in a minute and a half
	Now     float64 // the reading now, without its noise
	Noise   float64 // standard deviation of one reading
	Tau     float64 // s, time constant of the fast part, as far as known
	Late    float64 // share of the late part, as far as known
	Drift   float64 // pH a second by which the reading still moves, for sure
	Creep   float64 // pH a second by which it may still move, as its latest readings have it; 0 for typed ones
}

// Figures of judgement, a choice of this project.
const (
	horizon   = 90.0   // s that waiting is worth looking ahead
	readySD   = 0.0050 // pH, a spread that is good enough for any meter
	nearly    = 1.35   // times FinalSD: not worth waiting for
	leastSD   = 0.0015 // pH: no electrode repeats better (derived from drifts of 0.1 mV in 30 s)
	betweenR  = 0.6    // of the spread between cells, left after the horizon
	leastEnd  = -2.0   // pH that a meter shows, at the least and at the most
	mostEnd   = 16.0
	wayDoubt  = 0.17 // of what the reading has still to go: no way there is one exponential
	restDoubt = 0.08 // of the late part: nor is that
	restShare = 0.01 // and of a share that does not show
	// s, in which the doubt goes whether an electrode is in the beaker that somebody has
	// just said to be in it: it is said before, and on the way, too.
	putInTau = 2.0
)

// Estimate judges the readings at time now, s.
func (k Tracker) Estimate(now float64) Estimate {
	switch {
	case k.typed:
		return k.read()
	case k.bank == nil:
		return Estimate{State: Empty, End: math.NaN(), SD: math.Inf(1), FinalSD: math.Inf(1), Now: math.NaN()}
	}
	e, ripe := k.bank.judged(&k)
	if doubt := startSD * math.Exp(-(now-k.putIn)/putInTau); doubt > leastSD {
		e.SD = math.Hypot(e.SD, doubt)
		ripe = ripe && e.SD <= math.Max(nearly*e.FinalSD, readySD)
	}
	e.Drift, e.Creep = k.drift(), k.creep()
	switch {
	case k.free || len(k.held) > 0:
		e.State = Moving
	case ripe:
		e.State = Settled
	}
	return e
}

// estimate is what the bank says of the end value.
func (b *bank) estimate(k *Tracker) Estimate {
	e, _ := b.judged(k)
	return e
}

// judged is what the bank says of the end value, and whether waiting would make
// it little better.
func (b *bank) judged(k *Tracker) (e Estimate, ripe bool) {
	s := b.sum()
	noise := math.Sqrt(s.noise)
	floor := 0.29 * b.resolution / math.Sqrt(1+noise/math.Max(b.resolution, 1e-9))
	every := math.Max(k.interval, 1)
	left := b.foretell(every, s.within)
	l := k.hum.Louder()
	slow := s.within * (l*l - 1) // readings that have their noise in common tell less
	s.variance, s.within, left = s.variance+slow, s.within+slow, left*l*l
	between := math.Max(s.variance-s.within, 0)
	left += betweenR * betweenR * between
	spreads := func(way float64) (now, final float64) {
		rest := restDoubt * (math.Abs(s.late) + restShare) * way
		extra := floor*floor + leastSD*leastSD + rest*rest
		now = math.Sqrt(s.variance + extra)
		return now, math.Min(now, math.Sqrt(left+extra))
	}
	e = Estimate{State: Settling, End: s.end, Now: s.now, Noise: noise, Tau: math.Exp(s.lnFast), Late: s.late}
	e.SD, e.FinalSD = spreads(b.way(s.end))
	e.SD = math.Hypot(e.SD, wayDoubt*(s.end-s.now))
	if on := math.Min(math.Max(e.End, leastEnd), mostEnd); on != e.End { // carried on too far: no beaker is there
		e.SD = math.Hypot(e.SD, e.End-on)
		e.End = on
	}
	// What the late part of a step holds back is forgotten more slowly than one
	// waits: it is no reason to wait on.
	now, final := spreads(b.went + math.Abs(s.end-b.base))
	return e, now <= math.Max(nearly*final, readySD)
}

// foretell is the part of the variance of the end value that readings until
// the horizon would leave: covariances do not depend on what is read.
func (b *bank) foretell(every, within float64) float64 {
	best := 0
	for i := range b.nodes {
		if b.nodes[i].logW > b.nodes[best].logW {
			best = i
		}
	}
	n := b.nodes[best]
	p := paceOf(every, b.nodes[best:best+1])
	noise := b.noises()[n.cell.noise]
	was := n.p[xEnd][xEnd]
	for t := every; t <= horizon; t += every {
		n.ahead(&p, wander*every)
		n.expect(0, noise)
		n.res = 0
		n.take(noise, false)
	}
	return within * n.p[xEnd][xEnd] / math.Max(was, 1e-18)
}
