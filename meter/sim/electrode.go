package sim

import (
	"math"

	"example.org/halfdrop/chem"
)

// Figures of the integration.
const (
	stepMixing = 0.25 // s, while titrant is still spreading
	stepWarm   = 1.0  // s, while the temperature changes
	stepAir    = 2.0  // s, while carbon dioxide gets in
	mixedAfter = 16   // mixing time constants after which nothing is pending: e⁻¹⁶ is 1e-7
	tempStep   = 0.05 // °C, from which the model is computed anew
)

// advance integrates to time t. Within a step the pH round the electrode is
// taken to change in a straight line, for which the electrode's answer is exact.
func (b *Bench) advance(t float64) {
	for b.t < t {
		span, most := t-b.t, math.Inf(1)
		switch {
		case b.mixing():
			most = stepMixing
		case b.tempAt(b.t)-b.truth.Temp > tempStep:
			most = stepWarm
		case b.breathes():
			most = stepAir
		}
		n := math.Ceil(span / most)
		h := span / math.Max(n, 1)
		if h >= span {
			b.step(span)
			b.t = t
			return
		}
		b.step(h)
		b.t += h
	}
}

func (b *Bench) mixing() bool { return b.pending != chem.Composition{} }

func (b *Bench) step(h float64) {
	from := b.local.PH
	b.temper(b.t + h)
	b.spill()
	breathed := b.breathe(h)
	if b.mixing() {
		b.spread(h)
	} else if breathed {
		b.solve()
	}
	lag := b.lag()
	b.fast = follow(b.fast, from, b.local.PH, h, lag*b.truth.Tau)
	b.slow = follow(b.slow, from, b.local.PH, h, lag*b.truth.SlowTau)
	if b.follower != nil {
		b.follower.see(b.local.PH, b.t+h/2) // it changed in between
	}
}

// spread lets titrant reach the electrode.
func (b *Bench) spread(h float64) {
	dead, tau := b.stirring()
	switch past := b.t + h - b.dosedAt - dead; {
	case past < 0: // it lies where it fell
		return
	case tau <= 0 || past > mixedAfter*tau:
		b.pending = chem.Composition{}
	default:
		b.pending = chem.Composition{}.Plus(math.Exp(-h/tau), b.pending)
	}
	b.solve()
}

// solve finds the equilibrium round the electrode; the last one stays where
// there is none.
func (b *Bench) solve() {
	near := b.total.Plus(-1, b.pending)
	if s := b.has(zones, b.t); s > 0 {
		near = b.total.Plus(zoneShare*s, b.pending) // the plume of the titrant
	}
	if e, err := b.model.SolveNear(&near, b.local); err == nil {
		b.local = e
	}
}

// temper brings the model to the temperature at time t.
func (b *Bench) temper(t float64) {
	temp := b.tempAt(t)
	if math.Abs(float64(temp-b.model.Temp())) < tempStep {
		return
	}
	if m, err := chem.NewModel(temp, b.systems); err == nil {
		b.model = m
		b.solve()
	}
}

// follow is a first-order lag tau after h seconds, when its input goes from
// u0 to u1 in a straight line.
func follow(y, u0, u1, h, tau float64) float64 {
	if tau <= 0 {
		return u1
	}
	lag := (u1 - u0) / h * tau
	return u1 - lag + (y-u0+lag)*math.Exp(-h/tau)
}

// electrode is the pH that the electrode gives to the meter.
func (b *Bench) electrode() float64 {
	if b.follower != nil {
		return b.follower.shows(b.t) + b.truth.Drift*b.t/3600
	}
	return (1-b.truth.SlowShare)*b.fast + b.truth.SlowShare*b.slow + b.truth.Drift*b.t/3600
}
