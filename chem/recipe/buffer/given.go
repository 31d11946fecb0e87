package buffer

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/chem/solved"
	"example.org/halfdrop/chem/table"
)

// Exam is what a recipe that somebody already has will give.
type Exam struct {
	InUse    *solved.Result // at the mark, at the temperature of use
	AtBench  *solved.Result // at the mark, at the temperature of the bench
	Stronger *solved.Result // the stock it is diluted from, at the bench; nil without one
	Off      float64        // pH in use minus the target; NaN without a target
	Free     bool           // its buffers are weighed without a counter-ion: none is a salt
	Fix      chem.Amount    // of strong acid or base, into the whole, to reach the target
	FixWith  table.Reagent
	FixErr   error          // why none would
	Fixed    *solved.Result // in use, after that; nil without it
	// After that at the bench, and the stock after that; nil as Fixed and Stronger are.
	FixedAtBench, FixedStronger *solved.Result
	Diluted                     *solved.Result // what a recipe of a stock gives once it is diluted Fold times, at the temperature of use; nil without that
	Fold                        float64
	BySample                    *Finished           // what brings a recipe that is too strong to the target once it is diluted Fold times; nil without that
	Waits                       []Last              // what goes in last, once the pH is set, and why
	mixed, final                chem.Solution       // in use, as mixed and after that
	First                       error               // what does not dissolve before it is brought to its pH; nil for nothing
	Weak                        *Weakness           // why the pH will not hold; nil where it does, or no target is said
	Now                         []solved.Saturation // salts that come out, of what is in use in the end
	NowStock                    []solved.Saturation // salts that come out of the stock before it is diluted
	Later                       []solved.Saturation // and those that take days
}

// Examine computes what a content made up to the volume of a demand gives. A
// target of NaN asks for the pH alone. The content is what the volume in use
// holds: the mark, or what a stock makes.
func Examine(d Demand, content chem.Solution, list []table.Reagent) (*Exam, error) {
	use := content.At(d.Use).MadeUpTo(d.InUse())
	e := &Exam{Off: math.NaN(), Free: !slices.ContainsFunc(list, saltOfBuffer)}
	var err error
	if e.InUse, err = solved.Describe(use, d.gas(d.Use)...); err != nil {
		return nil, err
	}
	if e.AtBench, err = solved.Describe(use.At(d.Bench), d.gas(d.Bench)...); err != nil {
		return nil, err
	}
	strongest, dissolved := use, e.InUse
	if d.Times > 1 {
		strongest = d.AsStock(use).At(d.Bench)
		if e.Stronger, err = solved.Describe(strongest); err != nil {
			return nil, d.tooStrong(err)
		}
		dissolved = e.Stronger
	}
	last := e.InUse
	e.mixed, e.final = use, use
	if !math.IsNaN(d.PH) {
		if err := e.compare(&d, content); err != nil {
			return nil, err
		}
		if e.Fixed != nil {
			last = e.Fixed
			e.First = table.CheckDissolved(list, strongest, dissolved)
			dissolved = last
			if d.Times > 1 {
				dissolved = e.FixedStronger
			}
		}
	}
	if !math.IsNaN(d.PH) {
		e.Weak = weakness(use, last)
	}
	e.Waits = Waits(list, math.Min(e.InUse.PH, last.PH), last.PH, d.Use, func(r table.Reagent) bool {
		return d.CanWait(r, amountOf(content, r), last.Capacity)
	})
	// What is not dissolved as mixed may be so when it has its pH.
	if err = table.CheckDissolved(list, strongest, dissolved); err != nil {
		return nil, d.tooStrong(err)
	}
	if d.Times > 1 {
		if e.NowStock, _, err = table.ComesOut(dissolved); err != nil {
			return nil, err
		}
	}
	e.Now, e.Later, err = table.ComesOut(last)
	return e, err
}

// Dilute computes what the recipe gives once it is diluted as many times as its heading says,
// "10x PBS": brought to its pH before, where that is what it takes. Its spread then holds that of
// the pH to which the stock is brought.
func (e *Exam) Dilute(times float64, brought bool) error {
	s := e.final
	if !brought {
		s = e.mixed
	}
	x, err := solved.Describe(s.Scale(1 / times).MadeUpTo(s.Volume))
	if err != nil {
		return err
	}
	if brought && e.Fixed != nil { // by a meter: how much went in is as uncertain as the pH there
		more := e.Fixed.Spread * e.Fixed.Capacity / (times * x.Capacity)
		x.Spread = math.Hypot(x.Spread, more)
	}
	e.Diluted, e.Fold = x, times
	return nil
}

// GoBySample computes what brings a recipe to its target once it is diluted as many times as its
// heading says, where it is too strong itself for that to be said.
func (e *Exam) GoBySample(d Demand, content chem.Solution) error {
	d.Times, d.With = e.Fold, nil
	acid, base, err := d.Strong()
	if err != nil || e.Diluted == nil || e.Diluted.Strength > chem.StrongLimit {
		return err
	}
	var f Finished
	if f.Titrate(&d, content, acid, base) == nil {
		e.BySample = &f
	}
	return nil
}

// saltOfBuffer reports whether a reagent supplies a buffer with an ion beside it.
func saltOfBuffer(r table.Reagent) bool {
	ion := slices.ContainsFunc(r.Parts, func(p table.Part) bool { return p.System == nil })
	return ion && slices.ContainsFunc(r.Parts, func(p table.Part) bool {
		return p.System != nil && table.KindOf(p.System.Name) == table.Buffer
	})
}

// tooStrong is what is wrong with a stock of a recipe: as often as not the recipe was
// that of the stock.
func (d *Demand) tooStrong(err error) error {
	if d.Times <= 1 {
		return err
	}
	return recipe.Wrong("strength", fmt.Sprintf("%s times as strong: %s", chem.Digits(d.Times, 3), recipe.Message(err)), "a recipe is taken as it is in use, and its stock made from that; where it is that of the stock, leave the strength out or divide every amount by it")
}

// compare finds what is missing to the target.
func (e *Exam) compare(d *Demand, content chem.Solution) error {
	e.Off = e.InUse.PH - d.PH
	acid, base, err := d.Strong()
	if err != nil {
		return err
	}
	if d.Gas > 0 {
		e.FixErr = ErrUnderGas
		return nil
	}
	var f Finished
	x := *d
	x.With = nil // they are in the content
	e.FixErr = f.Titrate(&x, content, acid, base)
	if e.InUse.Strength > chem.StrongLimit && (e.FixErr != nil || f.vague()) {
		e.FixErr = ErrTooStrong
	}
	if e.FixErr != nil {
		return nil
	}
	e.Fix, e.FixWith, e.Fixed, e.final = f.Amount, acid, f.Result, f.Solution
	if f.Base {
		e.FixWith = base
	}
	if e.FixedAtBench, err = solved.Describe(f.Solution.At(d.Bench)); err != nil {
		return err
	}
	if d.Times > 1 {
		e.FixedStronger, err = solved.Describe(d.AsStock(f.Solution).At(d.Bench))
	}
	return err
}

// Weakness is a buffer that hardly holds a pH.
type Weakness struct {
	System string    // that which has most of the capacity there is
	PKs    []float64 // its pK at 25 °C and no ionic strength, where it has some from 1 to 13
	Share  float64   // of the most that one pK can give to so much of it, 0 to 1
}

// weakShare is the share of the largest capacity of the buffers in a recipe below
// which they hardly hold its pH: 1.6 pH from their pK. Our own choice: a stacking
// gel of Tris at pH 6.8, which people do make, has 0.2.
const weakShare = 0.1

// weakness compares the capacity of the buffer that has most of it with what it
// could have; nil where there is no buffer, or it holds.
func weakness(s chem.Solution, r *solved.Result) *Weakness {
	own := capacities(r)
	var most chem.SystemTotal
	for _, t := range s.Systems {
		if _, ok := own[t.System.Name]; ok && (most.System == nil || own[t.System.Name] > own[most.System.Name]) {
			most = t
		}
	}
	if most.System == nil || most.Amount <= 0 {
		return nil
	}
	w := &Weakness{System: most.System.Name, Share: own[most.System.Name] * s.Volume.Litres() / (onePK * most.Amount.Moles())}
	if w.Share >= weakShare {
		return nil
	}
	for _, st := range most.System.Steps {
		if st.PK >= 1 && st.PK <= 13 {
			w.PKs = append(w.PKs, st.PK)
		}
	}
	return w
}

// capacities are those, mol/L per pH, that the forms of each buffer have by
// themselves: ln 10 times the variance of their charge.
func capacities(r *solved.Result) map[string]float64 {
	type moments struct{ n, z, zz float64 }
	of := map[string]moments{}
	for _, sp := range r.Species {
		if sp.Complex == nil && table.KindOf(sp.System) == table.Buffer {
			m, z := of[sp.System], float64(sp.Charge)
			of[sp.System] = moments{m.n + sp.Molarity, m.z + z*sp.Molarity, m.zz + z*z*sp.Molarity}
		}
	}
	out := map[string]float64{}
	for name, m := range of {
		if m.n > 0 {
			out[name] = math.Ln10 * (m.zz - m.z*m.z/m.n)
		}
	}
	return out
}

// vagueShare is the uncertainty of an amount, as a part of it, from which it is not said above
// the strength that was checked. Our own choice: a quarter of 3 M sodium acetate is still an answer
// that a first portion is taken from, and what is as large as the amount itself is none.
const vagueShare = 0.5

// vague reports whether what brings it to its pH is hardly known.
func (f *Finished) vague() bool {
	return f.Result.Capacity*f.Result.Spread*f.Solution.Volume.Litres() > vagueShare*f.Amount.Moles()
}

// ErrTooStrong says that the activity model was not checked at such a strength, and that its
// uncertainty leaves nothing to say.
var ErrTooStrong = errors.New("above an ionic strength of 3 mol/kg no advice is given where it would be uncertain by more than half: the activity model was not checked there")

// ErrUnderGas says that carbon dioxide above it takes up what is added.
var ErrUnderGas = errors.New("under carbon dioxide its bicarbonate sets the pH, a tenth more of it for each 0.04 pH")

// gas is the carbon dioxide that a solution is kept under, moist at that temperature.
func (d *Demand) gas(t chem.Celsius) []chem.Option {
	if !(d.Gas > 0) {
		return nil
	}
	return []chem.Option{chem.OpenToAir(d.Gas * (1 - steam(t)))}
}

// steam is the vapour pressure of water in atm: Antoine's equation with the usual parameters for 1
// to 100 °C, from memory; handbooks have 23.76 mmHg at 25 and 47.07 at 37 °C.
func steam(t chem.Celsius) float64 {
	return math.Pow(10, 8.07131-1730.63/(233.426+float64(t))) / 760
}
