package settle

import "math"

// The electrode as a filter: what the beaker is at reaches it through a first
// order lag (mixing), and the electrode follows with one more (tau), a share of
// it with a slower one (slowTail·tau). All readings after a change are then
// linear in the end value and in where the three lags stood at the change.

// The unknowns of one shape of approach.
const (
	uNear = iota // pH round the electrode at the change
	uFast        // where the fast part of the electrode stood
	uSlow        // where the slow part stood
	uEnd         // pH the beaker comes to; last, for what solve gets for nothing
	unknowns
)

// The shapes of an approach beside its time constant: how fast titrant mixes
// in, s, and which share of the electrode is slow, by a factor of slowTail.
var (
	mixTaus    = [...]float64{0.6, 1.2, 2, 3}
	slowShares = [...]float64{0, 0.12, 0.3}
	slowPrior  = [...]float64{0.80, 0.14, 0.06}
)

const (
	shapes   = len(mixTaus) * len(slowShares)
	slowTail = 4.0
)

// lags are the responses at one time after the change, for one time constant.
type lags struct {
	mixed      [len(mixTaus)]float64 // what is left of a difference round the electrode
	toFast     [len(mixTaus)]float64 // how much of it the fast part shows
	toSlow     [len(mixTaus)]float64
	fast, slow float64 // what is left of where the parts of the electrode stood
}

// mix sets what the mixing has left t seconds after the change. Immersed,
// there is nothing to mix: the electrode meets the beaker at once.
func (l *lags) mix(t float64, immersed bool) {
	for i, m := range mixTaus {
		if immersed {
			l.mixed[i] = 0
			continue
		}
		l.mixed[i] = math.Exp(-math.Max(t, 0) / m)
	}
}

// follow sets what the electrode shows then, for one time constant.
func (l *lags) follow(t, tau float64, immersed bool) {
	t = math.Max(t, 0)
	l.fast, l.slow = math.Exp(-t/tau), math.Exp(-t/(slowTail*tau))
	if immersed {
		return
	}
	for i, m := range mixTaus {
		l.toFast[i] = through(l.mixed[i], l.fast, m, tau)
		l.toSlow[i] = through(l.mixed[i], l.slow, m, slowTail*tau)
	}
}

// through is what a lag tau shows of a difference that dies away with m.
func through(mixed, left, m, tau float64) float64 {
	d := m - tau
	if math.Abs(d) < 1e-3 {
		d = math.Copysign(1e-3, d)
	}
	return m / d * (mixed - left)
}

// parts are what readings are made of, whatever the share of the slow part.
const (
	vOne = iota
	vToFast
	vFast
	vToSlow
	vSlow
	parts
)

// parts are their values at this time for mixing i.
func (l *lags) parts(i int) [parts]float64 {
	return [parts]float64{1, l.toFast[i], l.fast, l.toSlow[i], l.slow}
}

// makeup says for each share of the slow part how the reading's dependence on
// the unknowns is made up of the parts.
var makeup = func() (m [len(slowShares)][unknowns][parts]float64) {
	for j, s := range slowShares {
		m[j][uNear][vToFast], m[j][uNear][vToSlow] = 1-s, s
		m[j][uFast][vFast] = 1 - s
		m[j][uSlow][vSlow] = s
		m[j][uEnd] = [parts]float64{1, s - 1, s - 1, -s, -s}
	}
	return m
}()

// basis is the reading's dependence on the unknowns for shape k.
func (l *lags) basis(k int) (b [unknowns]float64) {
	v := l.parts(k / len(slowShares))
	for r, row := range makeup[k%len(slowShares)] {
		for q, x := range row {
			b[r] += x * v[q]
		}
	}
	return b
}

// states are rows that give the three lags at this time from the unknowns at
// the change, for shape k.
func (l *lags) states(k int) (m [3][unknowns]float64) {
	i := k / len(slowShares)
	m[0][uNear] = l.mixed[i]
	m[1][uNear], m[1][uFast] = l.toFast[i], l.fast
	m[2][uNear], m[2][uSlow] = l.toSlow[i], l.slow
	for r := range m {
		m[r][uEnd] = 1 - m[r][uNear] - m[r][uFast] - m[r][uSlow]
	}
	return m
}
