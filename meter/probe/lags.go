package probe

import "math"

// Values that a person reads off a display come one by one, half a minute to a minute
// apart. What is still to go when one is typed is worked out for some hundred electrodes:
// a fast and a late part, the share of the late one, and how a display flickers. How the
// values follow one another says which of them it is, and so does a person who has seen
// the display stand.
var (
	lagFast  = [...]float64{1.5, 3, 5, 8, 12, 18, 27}                         // s
	lagLate  = [...]float64{55, 120, 260}                                     // s
	lagShare = [...]float64{0.002, 0.007, 0.013, 0.021, 0.035, 0.06, 0.1}     // of the late part
	lagWidth = [...]float64{0.0045, 0.0055, 0.007, 0.011, 0.019, 0.032, 0.05} // of its class
	lagNoise = [...]float64{readSD, 0.012, 0.03}                              // pH
	flickers = [...]float64{0.88, 0.08, 0.04}                                 // how often a display flickers so
)

// Figures of judgement, a choice of this project.
const (
	lagMid, lagSpread = 4.5, 0.8 // s and ln, of the fast part
	// Shares of a good electrode fall by e over goodShare (laboratory glass keeps 0.2 to
	// 4.6 % of a step for a minute and more: measured on open recordings); those of a
	// poor one lie about poorShare (practice figures, derived). From slowFrom, s, of the
	// fast part on it is as likely a poor one as not.
	goodShare            = 0.010
	poorShare, poorWidth = 0.06, 0.03
	slowFrom             = 11.0
	slowPower            = 2.2
	lagTemper            = 0.8  // power of the likelihood: all of them are a little wrong
	lagPrune             = 14.0 // ln, below the best: not worth following
	// Where the electrode has stood before its first value nobody knows: in storage or
	// rinse water, and until about so long ago, s.
	keptAt     = 6.5 // pH
	keptFor    = 25.0
	keptJitter = 0.9 // of what the fast part lacks: when it was put in
	// An addition is put on record so long after its last drop, s, and what the fast part
	// lacks of it is known no better than this part of it.
	givenAgo    = 3.0
	givenJitter = 0.25
	// The way that an addition is expected to go is off by a part of it and by times what
	// the coach says of it, pH, at the least so much.
	givenPart, givenTimes, givenLeast = 0.35, 2.0, 0.03
	leastUnseen                       = 0.1 // pH, that a beaker may have gone with nothing on record
	elsewhereSDs                      = 3.5 // from which on the beaker is elsewhere
	farMost                           = 3.0 // and that a composition may be from the one before
	// Of what the parts lack: neither is one exponential.
	lateSlack = 0.2
	// A display that stands has changed by no more than a part of its last digit, in the
	// mean, in so many seconds.
	watched    = 9.0
	watchedFor = 0.7
	lagAgain   = 40.0 // s, after which another value is reckoned with
)

// What an electrode knows: where the reading ends, and what fast and late part are away
// from there. The reading is their sum.
const (
	lagEnd = iota
	lagOfFast
	lagOfLate
	lagStates
)

// lagged is one electrode.
type lagged struct {
	fast, late, share, noise float64
	logW, w                  float64
	x                        [lagStates]float64
	p                        [lagStates][lagStates]float64
}

// lags are all of them, with what they say together. They are not changed once they
// have been handed on.
type lags struct {
	t       float64 // s
	each    []lagged
	end, sd float64 // where the reading ends, with its standard deviation
	better  float64 // and the one that it would have after another value
}

// newLags are electrodes of which nothing is known, put into the beaker before t.
func newLags(t, digit float64) *lags {
	var l lags
	for _, f := range lagFast {
		z := math.Log(f/lagMid) / lagSpread
		poor := 1 / (1 + math.Pow(slowFrom/f, slowPower))
		for i, s := range lagShare {
			u := (s - poorShare) / poorWidth
			share := (1-poor)*math.Exp(-s/goodShare)/goodShare + poor*math.Exp(-u*u/2)/(poorWidth*2.5)
			for _, late := range lagLate {
				for j, noise := range lagNoise {
					l.each = append(l.each, lagged{fast: f, late: late, share: s, noise: noise,
						logW: -z*z/2 + math.Log(share*lagWidth[i]*flickers[j])})
				}
			}
		}
	}
	l.trim()
	return l.placed(t, digit)
}

// clone may be changed.
func (l *lags) clone() *lags {
	out := *l
	out.each = append([]lagged(nil), l.each...)
	return &out
}

// placed are the same electrodes, put into another liquid before t.
func (l *lags) placed(t, digit float64) *lags {
	out := l.clone()
	out.t = t - keptFor
	for i := range out.each {
		n := &out.each[i]
		n.x = [lagStates]float64{lagEnd: keptAt}
		n.p = [lagStates][lagStates]float64{}
		n.moves(0, farMost, 0, keptJitter)
	}
	return out.ahead(t).judged(digit)
}

// moves lets the end move by d, give or take sd, evenly over so many seconds until now.
// What the fast part lacks of it is known no better than a part, jitter.
func (n *lagged) moves(d, sd, span, jitter float64) {
	k := [lagStates]float64{1, (n.share - 1) * left(span, n.fast), -n.share * left(span, n.late)}
	for i := range k {
		n.x[i] += k[i] * d
		for j := range k {
			n.p[i][j] += sd * sd * k[i] * k[j]
		}
	}
	way := math.Hypot(d, sd)
	u, v := jitter*k[lagOfFast]*way, lateSlack*k[lagOfLate]*way
	n.p[lagOfFast][lagOfFast] += u * u
	n.p[lagOfLate][lagOfLate] += v * v
}

// left is the part that is left of what came evenly over so many seconds, and dies away
// with a time constant.
func left(span, tau float64) float64 {
	if span <= 0 {
		return 1
	}
	return -math.Expm1(-span/tau) * tau / span
}

// ahead are the electrodes at a later time.
func (l *lags) ahead(t float64) *lags {
	out := l.clone()
	dt := math.Max(t-l.t, 0)
	out.t = math.Max(t, l.t)
	for i := range out.each {
		n := &out.each[i]
		a := [lagStates]float64{1, math.Exp(-dt / n.fast), math.Exp(-dt / n.late)}
		for i := range a {
			n.x[i] *= a[i]
			for j := range a {
				n.p[i][j] *= a[i] * a[j]
			}
		}
		n.p[lagEnd][lagEnd] += wander * dt
	}
	return out
}

// changed are the electrodes after the beaker was brought by d, give or take sd, between
// two times.
func (l *lags) changed(from, to, d, sd, digit float64) *lags {
	out := l.ahead(to)
	for i := range out.each {
		out.each[i].moves(d, math.Min(sd, farMost), to-from, givenJitter)
	}
	return out.judged(digit)
}

// due is the value to expect at a time, give or take.
func (l *lags) due(t, digit float64) (mean, sd float64) {
	square, v := 0.0, digit*digit/12
	for _, n := range l.ahead(t).each {
		at := n.x[lagEnd] + n.x[lagOfFast] + n.x[lagOfLate]
		mean += n.w * at
		square += n.w * at * at
		v += n.w * (n.seen([lagStates]float64{1, 1, 1}) + n.noise*n.noise)
	}
	return mean, math.Sqrt(v + square - mean*mean)
}

// seen is the variance of the sum of the quantities with these weights.
func (n *lagged) seen(h [lagStates]float64) (v float64) {
	for i := range h {
		for j := range h {
			v += h[i] * h[j] * n.p[i][j]
		}
	}
	return v
}

// read takes a value; digit is the last that the display shows.
func (l *lags) read(t, y, digit float64, stands bool) *lags {
	out := l.ahead(t)
	for i := range out.each {
		n := &out.each[i]
		n.take([lagStates]float64{1, 1, 1}, y, n.noise*n.noise+digit*digit/12)
	}
	if stands {
		still := watchedFor * math.Max(digit, readSD)
		for i := range out.each {
			n := &out.each[i]
			n.take([lagStates]float64{0, math.Expm1(watched / n.fast), math.Expm1(watched / n.late)}, 0, still*still+2*n.noise*n.noise)
		}
	}
	out.trim()
	return out.judged(digit)
}

// take learns that the quantities with these weights have come to y, with a variance.
func (n *lagged) take(h [lagStates]float64, y, v float64) {
	var g [lagStates]float64
	res, pred := y, v
	for i := range h {
		res -= h[i] * n.x[i]
		for j := range h {
			g[i] += n.p[i][j] * h[j]
		}
	}
	for i := range h {
		pred += h[i] * g[i]
	}
	n.logW -= lagTemper * 0.5 * (res*res/pred + math.Log(pred))
	for i := range h {
		n.x[i] += g[i] * res / pred
		for j := range h {
			n.p[i][j] -= g[i] * g[j] / pred
		}
	}
}

// trim brings the weights to a sum of 1 and drops what is not worth following.
func (l *lags) trim() {
	most := math.Inf(-1)
	for i := range l.each {
		most = math.Max(most, l.each[i].logW)
	}
	kept, sum := l.each[:0], 0.0
	for _, n := range l.each {
		if n.logW -= most; n.logW > -lagPrune {
			n.w = math.Exp(n.logW)
			kept, sum = append(kept, n), sum+n.w
		}
	}
	l.each = kept
	for i := range kept {
		kept[i].w /= sum
	}
}

// judged is what they say together; the receiver is still to be handed on.
func (l *lags) judged(digit float64) *lags {
	square, v, w := 0.0, 0.0, 0.0
	l.end = 0
	for i := range l.each {
		n := &l.each[i]
		l.end += n.w * n.x[lagEnd]
		square += n.w * n.x[lagEnd] * n.x[lagEnd]
		v += n.w * n.p[lagEnd][lagEnd]
	}
	between := math.Max(square-l.end*l.end, 0)
	for _, n := range l.ahead(l.t + lagAgain).each {
		n.take([lagStates]float64{1, 1, 1}, 0, n.noise*n.noise+digit*digit/12)
		w += n.w * n.p[lagEnd][lagEnd]
	}
	l.sd, l.better = math.Sqrt(v+between), math.Sqrt(w+betweenR*betweenR*between)
	return l
}
