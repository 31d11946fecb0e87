package coach

import (
	"fmt"
	"math"

	"example.org/halfdrop/chem"
)

// maxStocks is how many titrants a bench may have.
const maxStocks = 8

// The unknowns: these three, then one per dropper, then one per stock, and last
// the charge of what was added without being logged.
const (
	iAmount  = iota // ln(true amount weighed / plan)
	iExcess         // starting strong base excess, fraction of the buffer
	iShift          // pH shown minus pH of the model, at the aim
	iDropper        // first of the droppers
)

// care says how careful the hands are: factors on the prior spreads.
type care struct {
	prior, drop, strength, scatter float64
	shift                          float64 // of the scale, times the ordinary
	fresh                          bool    // what earlier runs have shown is forgotten
}

var cares = [...]care{
	{prior: 0.80, drop: 1, strength: 1, scatter: 1, shift: 1},
	{prior: 0.14, drop: 2.2, strength: 2, scatter: 2, shift: 1},
	// A meter that was calibrated badly, or never: sensors of practical courses
	// were seen 0.3 to 0.6 off.
	{prior: 0.06, drop: 1, strength: 1, scatter: 1, shift: 7},
}

// hypothesis is one account of the beaker and the bottles.
type hypothesis struct {
	mistake *Mistake // nil: as planned
	care    care
	prior   float64
	weighed chem.Composition
	buffer  float64
	amount  float64            // standard deviation of ln(amount weighed)
	stocks  []chem.Composition // per litre
	missed  int                // addition, from 1, that did not reach the beaker
	jump    int                // addition, from 1, with something unlogged around it
	begun   bool               // something was given before the first reading
}

// Belief is what is believed after a History.
type Belief struct {
	bench *Bench
	hist  History
	posts []posterior // the likeliest first; their weights and that of free sum to 1
	free  *nameless
	deaf  float64 // weight of the accounts whose electrode does not follow the beaker
}

// unnamed reports whether the account without a name is likelier than all those
// on the list together that go by the reading.
func (bel *Belief) unnamed() bool { return bel.free.weight > (1-bel.deaf)/2 }

// posterior is a Gaussian over the unknowns under one hypothesis, in the form
// that lets further linear quantities be predicted from it.
type posterior struct {
	hyp    *hypothesis
	weight float64
	logEv  float64
	aim    aim
	x      []float64 // the most probable unknowns
	at     []float64 // where the levels were looked at, when not there
	prior  []float64 // prior variances of the unknowns
	chol   []float64 // Cholesky factor of the covariance of the observations
	w      []float64 // chol⁻¹ J P, row per observation
	v      []float64 // chol⁻¹ r
	scat   []float64 // sensitivity of each observation to the scatter of each addition

	levels []level // the charge at each observation
	tail   *tail   // not nil: what the last observation adds to another fit
}

// Believe folds a history into a belief. What the earlier compositions have shown
// is worked out once; its last observation, the present one, comes on top.
func (b *Bench) Believe(h History) Belief {
	if bel := b.memory.recall(h); bel != nil {
		return *bel
	}
	var bel Belief
	if b.Unweighed {
		bel = b.believeUnweighed(h)
	} else {
		bel = b.weigh(h, b.fitAll(h))
	}
	b.memory.keep(&bel)
	return bel
}

// weigh makes a belief of fits of all accounts to a history.
func (b *Bench) weigh(h History, posts []posterior) Belief {
	bel := Belief{bench: b, hist: h, posts: posts}
	best := math.Inf(-1)
	lead := 0 // of those that go by the reading
	for i := range bel.posts {
		p := &bel.posts[i]
		best = max(best, p.logEv)
		if !p.hyp.deaf() && (bel.posts[lead].hyp.deaf() || p.logEv > bel.posts[lead].logEv) {
			lead = i
		}
	}
	p := &bel.posts[lead]
	leads := p.hyp
	p.aim = b.aimOf(p.hyp, h, p.x)
	bel.free = b.nameless(h, p.aim.shown, p.aim.medium)
	best = max(best, bel.free.logEv)
	bel.free.weight = math.Exp(bel.free.logEv - best)
	sum := bel.free.weight
	for i := range bel.posts {
		bel.posts[i].weight = math.Exp(bel.posts[i].logEv - best)
		sum += bel.posts[i].weight
	}
	for i := range bel.posts {
		bel.posts[i].weight /= sum
	}
	bel.free.weight /= sum
	if len(h.Additions) > 0 && bel.free.weight > 0.5 && b.buffers() {
		if s := b.stranger(h, p.aim.shown); s.logEv+lnStranger > bel.free.logEv {
			s.weight, bel.free = bel.free.weight, s
		}
	}
	bel.posts = byWeight(bel.posts)
	bel.hearing()
	aims := aims{b: b, h: h}
	for i := range bel.posts {
		p := &bel.posts[i]
		if i > 0 && p.weight < leastWeight {
			break
		}
		p.complete()
		aims.find(p, p.hyp == leads)
	}
	return bel
}

// lnStranger is how much less likely, ln, it is before any reading that a beaker has nothing
// to do with its plan than that it is somehow otherwise: a choice of this project.
const lnStranger = -1.5

// deaf reports whether the electrode does not follow the beaker by this account.
func (h *hypothesis) deaf() bool { return h.mistake != nil && h.mistake.Deaf }

// hearing puts first the likeliest account that goes by the reading: an electrode that
// does not follow the beaker is a thing to ask about, and no account of what a dose would do.
func (bel *Belief) hearing() {
	hears := -1
	for i := range bel.posts {
		switch p := &bel.posts[i]; {
		case p.hyp.deaf():
			bel.deaf += p.weight
		case hears < 0 && p.weight >= leastWeight:
			hears = i
		}
	}
	if hears > 0 {
		p := bel.posts[hears]
		copy(bel.posts[1:hears+1], bel.posts[:hears])
		bel.posts[0] = p
	}
}

// leastWeight is the weight of an account below which it is not listened to.
const leastWeight = 1e-6

// hypotheses are "as planned" and the mistakes, each for every degree of care.
func (b *Bench) hypotheses(h History) []hypothesis {
	mistakes := h.suspected(append(b.Mistakes[:len(b.Mistakes):len(b.Mistakes)], mishaps(h)...))
	sound := 1.0
	for i := range mistakes {
		sound -= mistakes[i].Prior
	}
	all := h.Noise.weigh(b.careful())
	out := make([]hypothesis, 0, len(all)*(1+len(mistakes)))
	for _, c := range all {
		out = append(out, b.hypothesis(nil, c, sound*c.prior))
		for i := range mistakes {
			out = append(out, b.hypothesis(&mistakes[i], c, b.likely(&mistakes[i], c)))
		}
	}
	for i := range out {
		out[i].begun = h.Begun
		if out[i].jump == 0 {
			out[i].jump = h.Jump
		}
	}
	return out
}

// mishaps are the mistakes that may have happened with the latest additions.
func mishaps(h History) []Mistake {
	var out []Mistake
	n := len(h.Additions)
	for k := max(1, n-1); k <= n; k++ {
		out = append(out,
			Mistake{Name: fmt.Sprintf("addition %d did not reach the beaker", k), Code: fmt.Sprintf("missed:%d", k), Prior: mishapPrior, Missed: k},
			Mistake{Name: fmt.Sprintf("something was added around addition %d that was not logged", k), Code: fmt.Sprintf("unlogged:%d", k), Prior: mishapPrior, Jump: k})
	}
	return out
}

func (b *Bench) hypothesis(m *Mistake, c care, prior float64) hypothesis {
	h := hypothesis{mistake: m, care: c, prior: prior, weighed: b.Weighed, buffer: b.Scale(b.Buffer), amount: b.amountSD()}
	for _, s := range b.Stocks {
		h.stocks = append(h.stocks, s.PerLitre)
	}
	if m == nil {
		return h
	}
	if m.Weighed != nil {
		h.weighed, h.buffer = *m.Weighed, b.Scale(m.Buffer)
	}
	if m.AmountSD > 0 {
		h.amount = m.AmountSD
	}
	if m.Stock > 0 {
		h.stocks[m.Stock-1] = *m.PerLitre
	}
	h.missed, h.jump = m.Missed, m.Jump
	return h
}

// airCharge is the acid or base, mol per kg of water, by which a beaker with next to no
// buffer starts off what its plan has: 1.4e-5 of CO₂ out of the air (see waterCharge), as
// much again of what was on the glass.
const airCharge = 2.5e-5

// Scale is the scale of the starting excess for an amount of buffer, mol: without any,
// what air and glass bring is what water and salt start off by.
func (b *Bench) Scale(buffer float64) float64 {
	return math.Max(buffer, airCharge/excessSD*b.Water.Water)
}

func (b *Bench) droppers() int {
	n := 0
	for i := range b.Stocks {
		n = max(n, b.Stocks[i].Dropper+1)
	}
	return n
}

// factors are what nominal volumes have to be multiplied with, per stock:
// counted in drops, and measured in mL.
type factors struct{ drops, poured [maxStocks]float64 }

func (b *Bench) factors(h *hypothesis, x []float64) (f factors) {
	d := b.droppers()
	for j := range b.Stocks {
		f.poured[j] = math.Exp(x[iDropper+d+j])
		f.drops[j] = f.poured[j] * math.Exp(x[iDropper+b.Stocks[j].Dropper])
		if l := b.learned(h, j); l != nil {
			f.poured[j] *= math.Exp(l.LnPoured)
			f.drops[j] *= math.Exp(l.LnFactor)
		}
	}
	return f
}

func (f *factors) of(a *Addition) float64 {
	if a.Drops > 0 {
		return f.drops[a.Stock]
	}
	return f.poured[a.Stock]
}

// priors are the prior variances of the unknowns under a hypothesis.
func (b *Bench) priors(h *hypothesis) []float64 {
	d := b.droppers()
	p := make([]float64, iDropper+d+len(b.Stocks)+1)
	p[iAmount], p[iExcess] = h.amount*h.amount+b.DoubtLn*b.DoubtLn, excessSD*excessSD
	if h.begun {
		p[iExcess] = begunSD * begunSD
	}
	p[iShift] = math.Pow(shiftSD*h.care.shift, 2) + b.DoubtPH*b.DoubtPH
	if h.jump > 0 {
		p[len(p)-1] = math.Pow(jumpSD*h.buffer, 2)
	}
	for j, s := range b.Stocks {
		sd, st := s.DropSD, s.StrengthSD
		if l := b.learned(h, j); l != nil {
			sd, st = l.SharedSD, l.OwnSD
		}
		sd, st = sd*h.care.drop, st*h.care.strength
		p[iDropper+s.Dropper] = max(p[iDropper+s.Dropper], sd*sd)
		p[iDropper+d+j] = st * st
	}
	return p
}

// beaker is the composition after the first n additions, for unknowns x.
func (b *Bench) beaker(h *hypothesis, adds []Addition, n int, x []float64) chem.Composition {
	f := b.factors(h, x)
	return b.added(h, adds, 0, n, &f, x, b.untouched(h, x))
}

// untouched is the beaker before any addition.
func (b *Bench) untouched(h *hypothesis, x []float64) chem.Composition {
	c := b.Water.Plus(math.Exp(x[iAmount]), h.weighed)
	c.Charge += x[iExcess] * h.buffer
	return c
}

// added is c with the additions from number from up to number to.
func (b *Bench) added(h *hypothesis, adds []Addition, from, to int, f *factors, x []float64, c chem.Composition) chem.Composition {
	if h.jump > from && h.jump <= to {
		c.Charge += x[len(x)-1]
	}
	for k := from; k < to; k++ {
		if k+1 != h.missed {
			c = c.Plus(adds[k].Volume.Litres()*f.of(&adds[k]), h.stocks[adds[k].Stock])
		}
	}
	return c
}
