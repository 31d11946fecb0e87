package coach

import (
	"math"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/linalg"
)

// The account without a name stands beside those on the list: of the beaker it
// knows only that its capacity is something like that of the plan, and otherwise
// goes by what it has measured. Where nothing on the list fits, it takes over.
//
// The logarithm of the capacity along pH is a Gaussian process round that of the
// plan. The labelled charge given between two readings is the integral of the
// capacity from one to the other; strength and drop size need not be known apart
// from it. The dose that may be given is that of which the integral to aim and
// tolerance is surely larger.
//
// Figures of judgement, a choice of this project, tried apart from this program.
const (
	namelessPrior = 0.006
	capacitySD    = 0.7  // ln, of the capacity as a whole
	curveSD       = 0.5  // ln, of its shape
	curveLength   = 1.2  // pH, over which that is the same
	bottleSD      = 0.15 // ln, of one bottle against the others
	startRange    = 10.0 // pH, over which the first reading may lie anywhere
)

// nameless is the posterior of the account without a name.
type nameless struct {
	b      *Bench
	adds   []Addition
	now    Observation
	aim    float64
	weight float64
	logEv  float64

	spans []span
	chol  []float64 // of the covariance of what the spans have shown, n×n
	v     []float64 // its inverse root times that
	comp  capacity
	law   law
}

// span is what was added between two readings.
type span struct {
	from, to float64 // pH
	until    int     // the reading at its end
	stock    int     // the bottle most of it came from
	charge   float64 // labelled, mol
	way      float64 // the integral of the plan's capacity, mol
	err      float64 // standard deviation of that: that of both readings
	scatter  float64 // of the charge, relative
	joint    float64 // variance of way that the span before has, too, with the other sign: that of the reading between
}

// capacity is the plan's capacity at hand, mol per pH, along pH.
type capacity struct {
	ln  [capacityPoints]float64 // of it
	sum [capacityPoints]float64 // its integral from capacityLow on
}

const (
	capacityPoints = 57
	capacityLow    = 0.0  // pH
	capacityHigh   = 14.0 // pH
	capacityStep   = (capacityHigh - capacityLow) / (capacityPoints - 1)
)

// capacities is the capacity of the beaker as planned along pH, with what was
// added by the labels.
func (b *Bench) capacities(adds []Addition, md *chem.Medium) (c capacity) {
	comp := b.Water.Plus(1, b.Weighed)
	for _, a := range adds {
		comp = comp.Plus(a.Volume.Litres(), b.Stocks[a.Stock].PerLitre)
	}
	for i := range c.ln {
		_, slope := b.Model.ChargeIn(capacityLow+float64(i)*capacityStep, md, &comp)
		c.ln[i] = math.Log(math.Max(-slope, 1e-12))
		if i > 0 {
			c.sum[i] = c.sum[i-1] + c.piece(i-1, 1)
		}
	}
	return c
}

// place is between which points a pH lies, and how far from the first.
func (c *capacity) place(ph float64) (i int, t float64) {
	x := (ph - capacityLow) / capacityStep
	i = int(math.Max(0, math.Min(math.Floor(x), capacityPoints-2)))
	return i, math.Max(0, math.Min(x-float64(i), 1))
}

// piece is the integral from a point to the part t of the way to the next, along
// a straight line of the logarithm.
func (c *capacity) piece(i int, t float64) float64 {
	k := c.ln[i+1] - c.ln[i]
	if math.Abs(k) < 1e-9 {
		return math.Exp(c.ln[i]) * t * capacityStep
	}
	return math.Exp(c.ln[i]) * math.Expm1(k*t) / k * capacityStep
}

// at is the capacity at a pH.
func (c *capacity) at(ph float64) float64 {
	i, t := c.place(ph)
	return math.Exp(c.ln[i] + t*(c.ln[i+1]-c.ln[i]))
}

// upTo is the integral from capacityLow to a pH.
func (c *capacity) upTo(ph float64) float64 {
	i, t := c.place(ph)
	return c.sum[i] + c.piece(i, t)
}

// integral of the capacity from one pH to another, with its sign.
func (c *capacity) integral(from, to float64) float64 { return c.upTo(to) - c.upTo(from) }

// curve is the covariance of ln capacity at two pH.
func (l *law) curve(a, b float64) float64 {
	d := (a - b) / l.length
	return l.whole*l.whole + l.shape*l.shape*math.Exp(-d*d/2)
}

// alike is the covariance of the mean of ln capacity over two spans.
func (l *law) alike(a, b *span) float64 {
	const n = 3
	sum := 0.0
	for i := range n {
		for j := range n {
			x := a.from + (a.to-a.from)*(float64(i)+0.5)/n
			y := b.from + (b.to-b.from)*(float64(j)+0.5)/n
			sum += l.curve(x, y)
		}
	}
	sum /= n * n
	if a.stock == b.stock {
		sum += bottleSD * bottleSD
	}
	return sum
}

// nameless is the account after a history of which the last observation is the
// present reading; aim is what the meter has to show. Before the first reading it
// knows nothing, and counts for nothing.
func (b *Bench) nameless(h History, aim float64, md *chem.Medium) *nameless {
	if b.Unweighed {
		return b.stranger(h, aim)
	}
	return b.unlisted(h, aim, plannedLaw, b.capacities(h.Additions, md))
}

// stranger is the account of a beaker that has nothing of the plan, or that has none.
func (b *Bench) stranger(h History, aim float64) *nameless {
	return b.unlisted(h, aim, unweighedLaw, b.flat(h.Additions))
}

// unlisted is an account without a name, by what was thought of the capacity before.
func (b *Bench) unlisted(h History, aim float64, l law, c capacity) *nameless {
	n := &nameless{b: b, adds: h.Additions, aim: aim, law: l, comp: c}
	if len(h.Observations) == 0 {
		n.logEv = math.Inf(-1)
		return n
	}
	n.now = h.Observations[len(h.Observations)-1]
	n.logEv = math.Log(namelessPrior) - math.Log(startRange)
	for i := 1; i < len(h.Observations); i++ {
		if h.Jump == 0 || h.Observations[i-1].After >= h.Jump || h.Observations[i].After < h.Jump { // else more was given than is on record
			n.see(h, i)
		}
	}
	n.solve()
	return n
}

// see takes what was added between reading i and the one before.
func (n *nameless) see(h History, i int) {
	a, o := h.Observations[i-1], h.Observations[i]
	charge, scatter, most := 0.0, 0.0, 0.0
	s := span{from: a.PH, to: o.PH, until: i}
	for _, d := range h.Additions[a.After:o.After] {
		q := n.b.LabelledCharge(d)
		charge += q
		scatter += math.Pow(q*n.b.scatterOf(&hypothesis{care: cares[0]}, &d), 2)
		if math.Abs(q) > most {
			most, s.stock = math.Abs(q), d.Stock
		}
	}
	before, after := a.SD*n.comp.at(a.PH), o.SD*n.comp.at(o.PH)
	s.charge, s.way, s.err = charge, n.comp.integral(a.PH, o.PH), math.Max(math.Hypot(before, after), 1e-12)
	if charge == 0 {
		// Nothing to tell by: the readings agree, or do not.
		d := s.way / s.err
		n.logEv += -0.5*d*d - math.Log(s.err/n.comp.at(o.PH)) - 0.5*math.Log(2*math.Pi)
		return
	}
	if s.way*charge <= 0 && math.Abs(s.way) >= 3*s.err { // the wrong way: nothing of a beaker does that
		n.logEv -= wrongWay
		return
	}
	s.scatter = math.Sqrt(scatter) / math.Abs(charge)
	if k := len(n.spans); k > 0 && n.spans[k-1].until == i-1 {
		s.joint = before * before
	}
	n.logEv += math.Log(n.comp.at(o.PH)) // the density is that of the reading
	n.spans = append(n.spans, s)
}

// wrongWay is what it costs an account that the pH goes the wrong way, ln.
const wrongWay = 9.0

// solve conditions the capacity on what the spans have shown. A reading is linear in the
// way and not in the logarithm of the capacity: of a step that is no larger than its noise
// it says little, and above all not that the capacity is large because the way happened to
// be short. So the logarithm that each span shows is worked out round the most probable
// one, again and again (Gauss and Newton; the evidence is that of Laplace: Rasmussen &
// Williams, Gaussian Processes for Machine Learning, 2006, section 3.4).
func (n *nameless) solve() {
	k := len(n.spans)
	if k == 0 {
		return
	}
	kept := make([]float64, k*k+k)
	n.chol, n.v = kept[:k*k:k*k], kept[k*k:]
	room := make([]float64, k*k+2*k)
	law, at, u := room[:k*k], room[k*k:k*k+k], room[k*k+k:]
	for i := range n.spans {
		s := &n.spans[i]
		for j := range i + 1 {
			law[i*k+j] = n.law.alike(s, &n.spans[j])
			law[j*k+i] = law[i*k+j]
		}
		// To begin with, what the reading says, but no more than its spread allows.
		at[i] = math.Log(math.Abs(s.charge) / math.Max(math.Copysign(1, s.charge)*s.way, s.err))
	}
	for range solveRounds {
		for i := range n.spans {
			s := &n.spans[i]
			way := s.charge * math.Exp(-at[i])
			n.v[i] = at[i] + 1 - s.way/way
			copy(n.chol[i*k:i*k+i+1], law[i*k:])
			n.chol[i*k+i] += s.err*s.err/(way*way) + s.scatter*s.scatter + namelessFloor*namelessFloor
			if s.joint > 0 {
				n.chol[i*k+i-1] -= s.joint / (way * n.spans[i-1].charge * math.Exp(-at[i-1]))
			}
		}
		if !linalg.Cholesky(n.chol, k) {
			n.logEv = math.Inf(-1)
			return
		}
		linalg.Forward(n.chol, k, n.v)
		moved := n.relax(law, at, u)
		if moved < solveNear {
			break
		}
	}
	for i := range n.v {
		n.logEv += -0.5*n.v[i]*n.v[i] - math.Log(n.chol[i*k+i]) - 0.5*math.Log(2*math.Pi)
		n.logEv -= math.Log(math.Abs(n.spans[i].charge)) - at[i]
	}
}

// relax moves the logarithms towards their most probable values, by no more than a step
// that the straight line is good for, and returns the largest move; u is room for it.
func (n *nameless) relax(law, at, u []float64) (moved float64) {
	k := len(at)
	copy(u, n.v)
	linalg.Backward(n.chol, k, u)
	for i := range at {
		s := &n.spans[i]
		d := linalg.Dot(law[i*k:(i+1)*k], u) + (s.scatter*s.scatter+namelessFloor*namelessFloor)*u[i] - at[i]
		d = math.Max(-solveStep, math.Min(solveStep, d))
		at[i] += d
		moved = math.Max(moved, math.Abs(d))
	}
	return moved
}

// How solve ends: rounds at the most, the move that is none, and the largest at once, ln.
const (
	solveRounds = 12
	solveNear   = 0.003
	solveStep   = 0.7
)

// namelessFloor is the least spread of what a span shows, ln.
const namelessFloor = 0.03

// ahead is the charge, by the labels, that leads from the present reading to a
// pH: its most probable value, 0 when that is behind, and the spread of its
// logarithm for a bottle.
func (n *nameless) ahead(to float64, stock int) (charge, lnSD float64) {
	s := span{from: n.now.PH, to: to, stock: stock}
	k := len(n.spans)
	var room [16]float64
	w := room[:]
	if k > len(room) {
		w = make([]float64, k)
	}
	w = w[:k]
	for i := range n.spans {
		w[i] = n.law.alike(&n.spans[i], &s)
	}
	v := n.law.alike(&s, &s)
	linalg.Forward(n.chol, k, w)
	mean := linalg.Dot(w, n.v)
	v -= linalg.Dot(w, w)
	return n.comp.integral(n.now.PH, to) * math.Exp(mean), math.Sqrt(math.Max(v, 1e-6))
}

// beyond is the chance that the beaker ends beyond a pH in the direction dir
// when a labelled charge of a bottle is added, of which rel is the scatter.
func (n *nameless) beyond(dir, to, charge float64, stock int, rel float64) float64 {
	missing, lnSD := n.ahead(to, stock)
	mean := 1.0 // how much larger the capacity is than planned
	if way := n.comp.integral(n.now.PH, to); way != 0 {
		mean = missing / way
	}
	sd := n.now.SD * n.comp.at(n.now.PH) * math.Abs(mean)
	sd = math.Max(math.Hypot(sd, charge*rel), 1e-18)
	total, by := 0.0, math.Exp(lnSD*nodeStep)
	missing *= math.Exp(lnSD * nodeZ[0])
	for _, w := range nodeWeight {
		total += w * nearPhi(dir*(charge-missing)/sd)
		missing *= by
	}
	return total
}
