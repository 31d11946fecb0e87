// Package nameless is the account of the beaker without a name, beside those on the list: of
// the beaker it knows only that its capacity is something like that of the plan, and otherwise
// goes by what it has measured. Where nothing on the list fits, it takes over.
//
// The logarithm of the capacity along pH is a Gaussian process round that of the
// plan. The labelled charge given between two readings is the integral of the
// capacity from one to the other; strength and drop size need not be known apart
// from it. The dose that may be given is that of which the integral to aim and
// tolerance is surely larger.
package nameless

import (
	"math"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/coach/normal"
	"example.org/halfdrop/chem/linalg"
)

// Figures of judgement, a choice of this project, tried apart from this program.
const (
	prior      = 0.006
	startRange = 10.0 // pH, over which the first reading may lie anywhere
)

// Account is the posterior of the account without a name. Before the first reading it knows
// nothing, and counts for nothing.
type Account struct {
	Aim        chem.PH // what the meter has to show
	Now        Reading // the present reading
	Weight     float64 // its probability beside the other accounts, 0 to 1; who weighs them sets it
	LnEvidence float64 // ln of the density of the readings, with its prior; −Inf before any

	spans []span
	chol  []float64 // of the covariance of what the spans have shown, n×n
	v     []float64 // its inverse root times that
	comp  Capacity
	law   Law
}

// Reading is a settled reading with its standard deviation, pH.
type Reading struct{ PH, SD float64 }

// Step is what was added between two readings.
type Step struct {
	Before, After Reading
	At            int         // number of the reading after it
	Stock         int         // the bottle most of it came from
	Charge        chem.Amount // labelled; base counts up, acid down
	Scatter       chem.Amount // standard deviation of Charge
}

// span is a step as the capacity goes by it.
type span struct {
	from, to float64 // pH
	until    int     // the reading at its end
	stock    int     // the bottle most of it came from
	charge   float64 // labelled, mol
	way      float64 // the integral of the capacity as it was thought of, mol
	err      float64 // standard deviation of that: that of both readings
	scatter  float64 // of the charge, relative
	joint    float64 // variance of way that the span before has, too, with the other sign: that of the reading between
}

// New is the account before the first reading, with what is thought of the capacity.
func New(aim chem.PH, c Capacity, l Law) *Account {
	return &Account{Aim: aim, LnEvidence: math.Inf(-1), law: l, comp: c}
}

// Read takes the present reading and all steps that led to it, in their order.
func (n *Account) Read(now Reading, steps []Step) {
	n.Now = now
	n.LnEvidence = math.Log(prior) - math.Log(startRange)
	for i := range steps {
		n.see(&steps[i])
	}
	n.solve()
}

// see takes a step.
func (n *Account) see(st *Step) {
	a, o, charge := st.Before, st.After, st.Charge.Moles()
	before, after := a.SD*n.comp.at(a.PH), o.SD*n.comp.at(o.PH)
	s := span{from: a.PH, to: o.PH, until: st.At, stock: st.Stock, charge: charge}
	s.way, s.err = n.comp.integral(a.PH, o.PH), math.Max(math.Hypot(before, after), 1e-12)
	if charge == 0 {
		// Nothing to tell by: the readings agree, or do not.
		d := s.way / s.err
		n.LnEvidence += -0.5*d*d - math.Log(s.err/n.comp.at(o.PH)) - 0.5*math.Log(2*math.Pi)
		return
	}
	if s.way*charge <= 0 && math.Abs(s.way) >= 3*s.err { // the wrong way: nothing of a beaker does that
		n.LnEvidence -= wrongWay
		return
	}
	s.scatter = st.Scatter.Moles() / math.Abs(charge)
	if k := len(n.spans); k > 0 && n.spans[k-1].until == st.At-1 {
		s.joint = before * before
	}
	n.LnEvidence += math.Log(n.comp.at(o.PH)) // the density is that of the reading
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
func (n *Account) solve() {
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
			n.chol[i*k+i] += s.err*s.err/(way*way) + s.scatter*s.scatter + floor*floor
			if s.joint > 0 {
				n.chol[i*k+i-1] -= s.joint / (way * n.spans[i-1].charge * math.Exp(-at[i-1]))
			}
		}
		if !linalg.Cholesky(n.chol, k) {
			n.LnEvidence = math.Inf(-1)
			return
		}
		linalg.Forward(n.chol, k, n.v)
		moved := n.relax(law, at, u)
		if moved < solveNear {
			break
		}
	}
	for i := range n.v {
		n.LnEvidence += -0.5*n.v[i]*n.v[i] - math.Log(n.chol[i*k+i]) - 0.5*math.Log(2*math.Pi)
		n.LnEvidence -= math.Log(math.Abs(n.spans[i].charge)) - at[i]
	}
}

// relax moves the logarithms towards their most probable values, by no more than a step
// that the straight line is good for, and returns the largest move; u is room for it.
func (n *Account) relax(law, at, u []float64) (moved float64) {
	k := len(at)
	copy(u, n.v)
	linalg.Backward(n.chol, k, u)
	for i := range at {
		s := &n.spans[i]
		d := linalg.Dot(law[i*k:(i+1)*k], u) + (s.scatter*s.scatter+floor*floor)*u[i] - at[i]
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

// floor is the least spread of what a span shows, ln.
const floor = 0.03

// Ahead is the charge, by the labels, that leads from the present reading to a
// pH: its most probable value, 0 when that is behind, and the spread of its
// logarithm for a bottle.
func (n *Account) Ahead(to chem.PH, stock int) (charge chem.Amount, lnSD float64) {
	s := span{from: n.Now.PH, to: float64(to), stock: stock}
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
	return chem.Amount(n.comp.integral(n.Now.PH, float64(to)) * math.Exp(mean)), math.Sqrt(math.Max(v, 1e-6))
}

// CapacityNear is the capacity at a pH for a bottle, mol per pH by the labels.
func (n *Account) CapacityNear(ph chem.PH, stock int) float64 {
	const d = 0.05
	charge, _ := n.Ahead(ph+d, stock)
	less, _ := n.Ahead(ph-d, stock)
	return math.Abs((charge - less).Moles()) / (2 * d)
}

// Beyond is the chance that the beaker ends beyond a pH, in the direction dir, 1 for up and
// -1 for down, when a labelled charge of a bottle is added, of which rel is the scatter.
func (n *Account) Beyond(dir float64, to chem.PH, charge chem.Amount, stock int, rel float64) float64 {
	ahead, lnSD := n.Ahead(to, stock)
	missing, given := ahead.Moles(), charge.Moles()
	mean := 1.0 // how much larger the capacity is than planned
	if way := n.comp.integral(n.Now.PH, float64(to)); way != 0 {
		mean = missing / way
	}
	sd := n.Now.SD * n.comp.at(n.Now.PH) * math.Abs(mean)
	sd = math.Max(math.Hypot(sd, given*rel), 1e-18)
	total, by := 0.0, math.Exp(lnSD*normal.Step)
	missing *= math.Exp(lnSD * normal.Z[0])
	for _, w := range normal.Weight {
		total += w * normal.Near(dir*(given-missing)/sd)
		missing *= by
	}
	return total
}
