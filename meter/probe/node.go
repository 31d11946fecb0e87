package probe

import "math"

// The quantities that a node knows as a normal distribution. The first three
// are what is still to go, and die away by themselves; the reading is the sum
// of the second to the fourth.
const (
	xMix   = iota // pH round the electrode less the end value
	xFast         // what the fast part lacks
	xLate         // what the late part lacks
	xEnd          // pH that the beaker comes to, as the meter would show it
	xShare        // share of the late part
	states
)

// node is the belief under one cell of the grid, by a Kalman filter (R. E.
// Kalman, J. Basic Eng. 82, 35, 1960).
type node struct {
	cell
	positive  float32 // ln of the chance that the share is what it must be: positive; in the gap, since nodes are many
	logW, w   float64 // weight, as its logarithm and as such since the bank was trimmed
	x         [states]float64
	p         [states][states]float64 // covariance, both halves
	from      float64                 // end value up to which the late part lacks its share
	res, pred float64                 // of the reading expected last: residual and variance
}

// Doubt about the lags, relative to what is still to go: no electrode follows
// first-order lags to the last digit, and none lies on a point of the grid.
const (
	mixDoubt  = 0.30
	fastDoubt = 0.025
	lateDoubt = 0.05
)

// ahead lets an interval pass; wander is the variance by which the pH of the
// beaker may have moved in it.
func (n *node) ahead(p *pace, wander float64) {
	am, af, al := p.mixed, p.fast[n.cell.fast], p.late[n.cell.late]
	cf := p.toFast[n.cell.fast]
	dm, df, dl := mixDoubt*n.x[xMix], fastDoubt*n.x[xFast], lateDoubt*n.x[xLate]
	n.x[xFast] = cf*n.x[xMix] + af*n.x[xFast]
	n.x[xMix] *= am
	n.x[xLate] *= al
	c := &n.p
	for j := range states {
		c[xFast][j] = cf*c[xMix][j] + af*c[xFast][j]
		c[xMix][j] *= am
		c[xLate][j] *= al
	}
	for i := range states {
		r := &c[i]
		r[xFast] = cf*r[xMix] + af*r[xFast]
		r[xMix] *= am
		r[xLate] *= al
	}
	c[xMix][xMix] += dm * dm * (1 - am*am)
	c[xFast][xFast] += df * df * (1 - af*af)
	c[xLate][xLate] += dl * dl * (1 - al*al)
	if wander > 0 {
		n.move(wander)
	}
}

// parts are by how much each quantity changes when the end value goes up by
// one, the reading staying as it is.
func (n *node) parts() [states]float64 {
	s := n.x[xShare]
	return [states]float64{xMix: -1, xFast: s - 1, xLate: -s, xEnd: 1}
}

// move lets the pH of the beaker jump by an unknown amount of the given variance.
func (n *node) move(v float64) {
	d := n.parts()
	for i := range xShare {
		for j := range xShare {
			n.p[i][j] += v * d[i] * d[j]
		}
	}
}

// lack lets the late part lack an unknown amount of the given variance, from a way that
// nobody has seen: the reading stays as it is, so that the fast part lacks that much less.
func (n *node) lack(v float64) {
	n.p[xLate][xLate] += v
	n.p[xFast][xFast] += v
	n.p[xLate][xFast] -= v
	n.p[xFast][xLate] -= v
}

// shift moves the mean of the end value by d.
func (n *node) shift(d float64) {
	for i, k := range n.parts() {
		n.x[i] += k * d
	}
}

// begin notes that the end value begins to change.
func (n *node) begin() { n.from = n.x[xEnd] }

// follow lets the late part lack its share, whatever that is, of what the end
// value has gone since it began to change: how fast the rest comes tells the
// share.
func (n *node) follow() {
	d := n.x[xEnd] - n.from
	n.from = n.x[xEnd]
	for j := range states {
		n.p[xLate][j] -= d * n.p[xShare][j]
	}
	for i := range states {
		n.p[i][xLate] -= d * n.p[i][xShare]
	}
}

// shown is the reading to expect.
func (n *node) shown() float64 { return n.x[xFast] + n.x[xLate] + n.x[xEnd] }

// expect notes residual and variance of a reading to come; noise is its variance.
func (n *node) expect(y, noise float64) {
	c := &n.p
	v := c[xFast][xFast] + c[xLate][xLate] + c[xEnd][xEnd] + 2*(c[xFast][xLate]+c[xFast][xEnd]+c[xLate][xEnd])
	n.res, n.pred = y-n.shown(), v+noise
}

// take lets the node learn the reading that it has expected. It is what is left
// of the residual, with the variance of that. While the beaker changes nothing
// is learned of the share (S. F. Schmidt, Adv. Control Syst. 3, 293, 1966, from
// memory: it is considered, not estimated).
func (n *node) take(noise float64, changing bool) (left, spread float64) {
	var g [states]float64
	for i := range states {
		r := &n.p[i]
		g[i] = r[xFast] + r[xLate] + r[xEnd]
	}
	k, inv := n.res/n.pred, 1/n.pred
	share, doubt := n.x[xShare], n.p[xShare][xShare]
	changing = changing || n.p[xEnd][xEnd]-n.p[xEnd][xShare]*n.p[xEnd][xShare]/doubt > sureEnd*sureEnd
	for i := range states {
		n.x[i] += g[i] * k
		w := g[i] * inv
		r := &n.p[i]
		for j := range states {
			r[j] -= w * g[j]
		}
	}
	if changing {
		n.x[xShare], n.p[xShare][xShare] = share, doubt
	}
	n.follow()
	part := noise / n.pred
	return n.res * part, (n.pred - noise) * part
}

// sureEnd is how well, pH, the end value must be known but for the share for anything to be
// learned of that: a choice of this project, on the bench and the seeds that DEVELOPERS.md names.
const sureEnd = 0.025

// logLik is the log density of the reading expected last, but for a constant: of
// Student's t, so that a few readings that fit badly do not decide by themselves.
// All cells are given a variance at the least, of what noise they have.
func (n *node) logLik(noise float64) float64 {
	v := math.Max(n.pred, evenShare*noise)
	return -0.5 * ((tailDF+1)*math.Log1p(n.res*n.res/(v*tailDF)) + math.Log(v))
}

// evenShare of the noise is what is expected of a reading at rest whatever the cell. A
// slow electrode passes on less of what the beaker wanders: each reading that repeats the
// last, for minutes, would speak for one.
const evenShare = 1.12

// tailDF are the degrees of freedom.
const tailDF = 5.0

// lnPositive is the logarithm of the chance that the share of the late part is positive,
// as that of every electrode is: the normal distribution of it knows nothing of that.
func (n *node) lnPositive() float32 {
	z := n.x[xShare] / math.Sqrt(n.p[xShare][xShare])
	switch {
	case z > 4:
		return 0
	case z < -30:
		return float32(-z * z / 2)
	}
	return float32(math.Log(0.5 * math.Erfc(-z/math.Sqrt2)))
}

// sharing weighs the node by what it has learned of the share: as likely as it was seen
// from a share that is positive, so likely is it now.
func (n *node) sharing() {
	is := n.lnPositive()
	n.logW += float64(is - n.positive)
	n.positive = is
}
