package practice_test

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/practice"
	"example.org/halfdrop/meter/practice/score"
)

// The reckoner is an expert who shares nothing with the coach: the curve by package chem,
// the readings, and arithmetic of his own. He fits what the readings say of contents,
// titrant and meter (least squares with guesses of a careful person), extrapolates a
// reading that is on its way, and gives as much as is safe by his own spread.
type reckoner struct {
	*person
	setup *recipe.Setup
	given []float64 // mL of each bottle so far
	seen  []seen
	line  [2]float64 // pH by mV: what of 0 mV, and what of a mV; for meters that send mV
	began float64    // of the composition that is in the beaker, s
}

// seen is a reading at rest, and what had been given.
type seen struct {
	ph, sd float64
	given  []float64
}

// Guesses of a careful person: how far things are off before anything was read.
const (
	guessContent = 0.02 // of what was weighed, as acid or base
	guessTitrant = 0.12 // of ln of what a bottle gives a drop
	guessWeak    = 0.7  // of one that is known to be weak
	guessMeter   = 0.05 // pH, with pK and meter
	guessSlope   = 0.02 // of the way from the aim, by which a slope may be off
	patience     = 2400 // s, for a reading on its way
	enoughDrops  = 4    // of a bottle; below, a weaker one
	nearby       = 0.5  // pH, of the aim, where readings have to be right
)

// curve is the pH of the beaker by chem: as it is, or made up for use, with an excess of
// base and each titrant stronger by a factor; nil for as the labels say.
func (r *reckoner) curve(given []float64, p []float64, inUse bool) float64 {
	if p == nil {
		p = make([]float64, fixed+len(given))
	}
	temp, kg := r.temp(), r.setup.StartKg(r.temp())
	if inUse {
		temp = r.setup.UseTemp
	}
	m, err := chem.NewModel(temp, r.setup.Systems())
	require.NoError(r.t, err)
	c, err := m.Compose(r.setup.Content())
	require.NoError(r.t, err)
	c.Water, c.Charge = kg, c.Charge+p[0]
	for i, st := range r.setup.Stocks {
		per, err := m.Compose(st.PerLitre(temp))
		require.NoError(r.t, err)
		c = c.Plus(given[i]/1000*math.Exp(p[fixed+i]), per)
	}
	if inUse {
		c.Water = math.Max(c.Water, r.setup.UseKg())
	}
	e, err := m.Solve(&c)
	require.NoError(r.t, err)
	return float64(e.PH)
}

func (r *reckoner) temp() chem.Celsius { return chem.Celsius(math.Round(r.bench.TempShown())) }

// amount is what there is of the buffer, mol.
func (r *reckoner) amount() float64 {
	n := 0.0
	for _, s := range r.setup.Content().Systems {
		n += float64(s.Amount)
	}
	return n
}

// fixed is how many parameters there are beside the ln factors of the titrants: an excess
// of base, mol, and what the meter shows too much, pH.
const fixed = 2

// fit is what the readings say by least squares, and the covariance.
func (r *reckoner) fit() ([]float64, *mat.SymDense) {
	n := fixed + len(r.given)
	prior := []float64{guessContent * r.amount(), guessMeter}
	for i := range r.given {
		prior = append(prior, guessTitrant)
		if i == 0 && slices.ContainsFunc(expertKnows[r.e.Name].faults, func(f knownFault) bool { return f.name == "weak_titrant" }) {
			prior[fixed] = guessWeak
		}
	}
	p, cov := make([]float64, n), mat.NewSymDense(n, nil)
	model := func(s seen, p []float64) float64 { return r.curve(s.given, p, false) + p[1] }
	misfit := func(p []float64) (sum float64) {
		for i := range p {
			sum += p[i] * p[i] / (prior[i] * prior[i])
		}
		for _, s := range r.seen {
			d := s.ph - model(s, p)
			sum += d * d / (s.sd * s.sd)
		}
		return sum
	}
	for range 12 {
		a, b := mat.NewSymDense(n, nil), mat.NewVecDense(n, nil)
		for i := range p {
			a.SetSym(i, i, 1/(prior[i]*prior[i]))
			b.SetVec(i, -p[i]/(prior[i]*prior[i]))
		}
		for _, s := range r.seen {
			y := model(s, p)
			g := make([]float64, n)
			for i := range p {
				q := slices.Clone(p)
				q[i] += 0.02 * prior[i]
				g[i] = (model(s, q) - y) / (0.02 * prior[i])
			}
			for i := range p {
				b.SetVec(i, b.AtVec(i)+g[i]*(s.ph-y)/(s.sd*s.sd))
				for k := i; k < n; k++ {
					a.SetSym(i, k, a.At(i, k)+g[i]*g[k]/(s.sd*s.sd))
				}
			}
		}
		var ch mat.Cholesky
		require.True(r.t, ch.Factorize(a))
		var d mat.VecDense
		require.NoError(r.t, ch.SolveVecTo(&d, b))
		require.NoError(r.t, ch.InverseTo(cov))
		step := slices.Clone(p)
		for half := 1.0; half > 0.01; half /= 2 { // as much of the way as makes it better
			for i := range p {
				step[i] = p[i] + half*d.AtVec(i)
			}
			if misfit(step) <= misfit(p) {
				break
			}
		}
		p = step
	}
	return p, cov
}

// after is the pH in use, and its spread, when more of a bottle has been given.
func (r *reckoner) after(p []float64, cov *mat.SymDense, stock int, ml float64) (float64, float64) {
	given := slices.Clone(r.given)
	given[stock] += ml
	at := func(p []float64) float64 { return r.curve(given, p, true) + p[1] }
	y, v := at(p), 0.0
	g := make([]float64, len(p))
	for i := range p {
		q, h := slices.Clone(p), 0.1*math.Sqrt(cov.At(i, i))
		q[i] += h
		g[i] = (at(q) - y) / h
	}
	for i := range p {
		for k := range p {
			v += g[i] * g[k] * cov.At(i, k)
		}
	}
	return y, math.Sqrt(math.Max(v, 0))
}

func (r *reckoner) tolerance() float64 { return *r.e.Plan.Target.Tolerance }

// aim is the pH at the bench at which the beaker would be right in use, about.
func (r *reckoner) aim() float64 {
	if r.setup.Unweighed() {
		return *r.e.Plan.Target.PH
	}
	return *r.e.Plan.Target.PH + r.curve(r.given, nil, false) - r.curve(r.given, nil, true)
}

// pick is a bottle that leads the way (+1 to more base) and how many drops it is to be, for
// an amount of base.
func (r *reckoner) pick(mol float64) (stock int, drops float64) {
	stock = -1
	for i, st := range r.setup.Stocks {
		q := r.charge(i)
		n := mol / (q * st.Drop.Litres())
		if n <= 0 {
			continue
		}
		strong := stock < 0 || math.Abs(q) > math.Abs(r.charge(stock))
		if stock < 0 || (n >= enoughDrops) && (strong || drops < enoughDrops) || drops < enoughDrops && !strong {
			stock, drops = i, n
		}
	}
	return stock, drops
}

// charge is what a litre of a bottle has of base, mol; acids below zero.
func (r *reckoner) charge(i int) float64 {
	st := r.setup.Stocks[i]
	m, err := chem.NewModel(r.setup.BenchTemp, r.setup.Systems())
	require.NoError(r.t, err)
	c, err := m.Compose(st.PerLitre(r.setup.BenchTemp))
	require.NoError(r.t, err)
	return c.Charge
}

// add gives whole drops.
func (r *reckoner) add(stock int, drops float64) {
	st := r.setup.Stocks[stock]
	r.count(st.Name, drops)
	r.given[stock] += drops * st.Drop.Millilitres()
	r.began = r.now
}

// titrate goes to the aim by the curve.
func (r *reckoner) titrate() {
	target, tol := *r.e.Plan.Target.PH, r.tolerance()
	for range 12 {
		r.seen = append(r.seen, r.settle())
		p, cov := r.fit()
		now, sd := r.after(p, cov, 0, 0)
		if math.Abs(now-target) < math.Max(0.5*tol, tol-2*sd) {
			r.calm()
			return
		}
		side := math.Copysign(1, target-now)
		// What is wanted of base, by halving, for the middle of the tolerance.
		low, high := 0.0, 3*r.amount()
		toward := slices.IndexFunc(r.setup.Stocks, func(s recipe.Stock) bool {
			i := slices.IndexFunc(r.setup.Stocks, func(x recipe.Stock) bool { return x.Name == s.Name })
			return r.charge(i)*side > 0
		})
		for range 40 {
			mid := (low + high) / 2
			y, _ := r.after(p, cov, toward, 1000*mid/math.Abs(r.charge(toward)))
			if side*(target-y) > 0 {
				low = mid
			} else {
				high = mid
			}
		}
		stock, drops := r.pick(side * low)
		drops = math.Floor(drops)
		for ; drops > 1; drops = math.Ceil(0.97*drops) - 1 {
			y, sd := r.after(p, cov, stock, drops*r.setup.Stocks[stock].Drop.Millilitres())
			if side*(y-target)+2*sd < 0.9*tol {
				break
			}
		}
		r.add(stock, math.Max(1, drops))
	}
}

// grope goes to the aim where nobody knows what is in the beaker: by the slope between
// the last two readings.
func (r *reckoner) grope() {
	target, tol := *r.e.Plan.Target.PH, r.tolerance()
	var before, last, gave float64
	for n := range 25 {
		s := r.settle()
		before, last = last, s.ph
		way := target - last
		if math.Abs(way) < 0.6*tol {
			r.calm()
			return
		}
		mol := math.Copysign(0.0001, way) // a first taste
		if n > 0 {
			slope := math.Max(math.Abs(last-before)/math.Abs(gave), 1)
			mol = 0.6 * way / slope
			if math.Abs(way) < 4*tol {
				mol = 0.9 * way / slope
			}
			mol = math.Copysign(math.Min(math.Abs(mol), 4*math.Abs(gave)), way)
		}
		stock, drops := r.pick(mol)
		drops = math.Max(1, math.Floor(drops))
		gave = drops * r.setup.Stocks[stock].Drop.Litres() * r.charge(stock)
		r.add(stock, drops)
	}
}

// reckon plays an exercise that wants a pH, without any help.
func reckon(t *testing.T, e *practice.Exercise, seed uint64) score.Result {
	if e.Determines() {
		return analyst(t, e, seed)
	}
	k := expertKnows[e.Name]
	p := sitDown(t, e, seed, e.Coach, k.standards, true)
	r := &reckoner{person: p, setup: p.keeper.State.Setup, given: make([]float64, len(p.keeper.State.Setup.Stocks))}
	r.lineOf()
	for _, g := range e.Given {
		for i, st := range r.setup.Stocks {
			if st.Name == g.Titrant {
				r.given[i] += g.Drops * st.Drop.Millilitres()
			}
		}
	}
	if k.log > 0 {
		r.pass(60)
		r.correct(k.log)
		r.given[slices.IndexFunc(r.setup.Stocks, func(s recipe.Stock) bool { return s.Name == e.Given[0].Titrant })] = k.log * r.setup.Stocks[0].Drop.Millilitres()
	}
	for _, f := range k.faults {
		r.find(f)
	}
	switch {
	case !e.Finishes():
	case r.setup.Unweighed():
		r.grope()
	default:
		r.titrate()
	}
	return r.end()
}

// find looks for a fault as it is known to show, with the first addition of his own.
func (r *reckoner) find(f knownFault) {
	since, stock, drops := 0.0, 0, 0.0
	if f.after > 0 {
		if len(r.seen) == 0 {
			r.pass(40)
		}
		stock, drops = r.pick(0.2 * r.amount() * math.Copysign(1, *r.e.Plan.Target.PH-r.curve(r.given, nil, true)))
		drops = math.Max(1, math.Floor(drops))
		r.add(stock, drops)
		since = r.now
	}
	r.pass(int(math.Max(1, since+f.wait-r.now)))
	r.nameAs(f.name, since+f.at, false, f.way)
	if f.undo {
		r.undo()
		r.given[stock] -= drops * r.setup.Stocks[stock].Drop.Millilitres()
	}
	r.began = r.now
}
