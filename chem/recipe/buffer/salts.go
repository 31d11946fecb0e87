package buffer

import (
	"math"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/solved"
	"example.org/halfdrop/chem/table"
)

// pair is a buffer made of two of its forms.
type Pair struct {
	Acid, Base Form    // the form with more protons, and with fewer
	share      float64 // of the system that comes as base
	Finished
}

// byRatio is the best pair of forms for the target.
func (d *Demand) ByRatio(forms []Form) (Pair, error) {
	var best Pair
	err := error(ErrNoPair)
	for _, a := range forms {
		for _, b := range forms {
			if a.Reagent.SpectatorsEach() >= b.Reagent.SpectatorsEach() {
				continue
			}
			p, e := d.pair(a, b)
			if e != nil {
				if err != nil && e != ErrNoPair {
					err = e
				}
				continue
			}
			if err != nil || d.nicer(p, best) {
				best, err = p, nil
			}
		}
	}
	return best, err
}

// nicer prefers what is in the cupboard and can be weighed, the metal ion that was asked for, forms that are neighbours, one cation for
// both, then less salt.
func (d *Demand) nicer(a, b Pair) bool {
	if x, y := a.atHand(), b.atHand(); x != y {
		return x > y
	}
	if x, y := d.fluid(a), d.fluid(b); x != y {
		return x < y
	}
	if x, y := d.Base != "" && a.foreign(d), d.Base != "" && b.foreign(d); x != y {
		return y
	}
	if x, y := a.usual(), b.usual(); x != y {
		return x > y
	}
	if x, y := a.gap(), b.gap(); math.Abs(x-y) > 0.01 {
		return x < y
	}
	if x, y := a.mixed(), b.mixed(); x != y {
		return !x
	}
	if x, y := a.foreign(d), b.foreign(d); x != y {
		return y
	}
	return a.Result.Strength < 0.98*b.Result.Strength
}

// foreign reports whether a form brings another metal ion than the base of the demand.
func (p Pair) foreign(d *Demand) bool { return d.foreign(p.Acid) || d.foreign(p.Base) }

func (d *Demand) fluid(p Pair) int {
	n := 0
	for _, f := range []Form{p.Acid, p.Base} {
		if !d.easy(f) {
			n++
		}
	}
	return n
}

func (p Pair) atHand() int {
	n := 0
	for _, f := range []Form{p.Acid, p.Base} {
		if f.AtHand {
			n++
		}
	}
	return n
}

func (p Pair) usual() int {
	n := 0
	for _, f := range []Form{p.Acid, p.Base} {
		if f.Usual() {
			n++
		}
	}
	return n
}

func (p Pair) gap() float64 { return p.Base.Reagent.SpectatorsEach() - p.Acid.Reagent.SpectatorsEach() }

func (p Pair) mixed() bool {
	a, b := p.Acid.Cations(), p.Base.Cations()
	return a != "" && b != "" && a != b
}

// pair finds the ratio of two forms that has the target pH in use.
func (d *Demand) pair(a, b Form) (Pair, error) {
	p := Pair{Acid: a, Base: b}
	salt, err := table.ByAmount(d.Salt)
	if err != nil {
		return p, err
	}
	raise := newRaising(salt, d.Ionic)
	for range mostRaises {
		if err := p.ratio(d, salt.Dissolved(p.Salt)); err != nil {
			return p, err
		}
		if d.Ionic == 0 {
			return p, nil
		}
		done, err := raise.next(&p.Salt, p.Result.MolarStrength(), p.Solution.Volume)
		if done || err != nil {
			return p, err
		}
	}
	return p, raise.hardly()
}

// ratio halves the interval of the share until it is known to 1e-9: the pH
// rises with it.
func (p *Pair) ratio(d *Demand, salt chem.Solution) error {
	n := d.Content()
	at := func(share float64) (chem.Solution, *solved.Result, error) {
		s := chem.Mix(p.Acid.content(n*chem.Amount(1-share)), p.Base.content(n*chem.Amount(share)))
		s = chem.Mix(chem.Mix(s, d.besides()), salt).At(d.Use).MadeUpTo(d.InUse())
		r, err := solved.Describe(s)
		return s, r, err
	}
	lo, hi := 0.002, 0.998 // less than that of a form cannot be weighed beside the other
	for _, end := range []float64{lo, hi} {
		_, r, err := at(end)
		if err != nil {
			return err
		}
		if (end == lo) == (r.PH > d.PH) {
			return ErrNoPair
		}
	}
	var err error
	for hi-lo > 1e-9 {
		p.share = (lo + hi) / 2
		if p.Solution, p.Result, err = at(p.share); err != nil {
			return err
		}
		if p.Result.PH < d.PH {
			lo = p.share
		} else {
			hi = p.share
		}
	}
	return nil
}

// amounts are those of the two reagents.
func (p Pair) Amounts(total chem.Amount) (acid, base chem.Amount) {
	return total * chem.Amount((1-p.share)/float64(p.Acid.Units)), total * chem.Amount(p.share/float64(p.Base.Units))
}

// ratioSpread is one standard deviation of the pH of a pair: that of the model
// and that of both amounts by themselves, for ordinary care in weighing.
func (p Pair) RatioSpread(total chem.Amount, v chem.Volume) float64 {
	// Exchanging n of one form for the other moves charge by the gap between
	// them; a relative error of an amount moves x(1−x) of the total.
	moved := weighingSD * p.share * (1 - p.share) * math.Sqrt2 * float64(total) * p.gap()
	return math.Hypot(p.Result.Spread, moved/(p.Result.Capacity*v.Litres()))
}

// weighingSD is one standard deviation of ln(amount) for ordinary care: the
// same as the coach takes (a choice of this project).
const weighingSD = 0.015
