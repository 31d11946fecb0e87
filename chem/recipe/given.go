package recipe

import (
	"errors"
	"math"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/table"
)

// Exam is what a recipe that somebody already has will give.
type Exam struct {
	InUse    *chem.Result // at the mark, at the temperature of use
	AtBench  *chem.Result // at the mark, at the temperature of the bench
	Stronger *chem.Result // the stock it is diluted from, at the bench; nil without one
	Off      float64      // pH in use minus the target; NaN without a target
	Fix      chem.Amount  // of strong acid or base, into the whole, to reach the target
	FixWith  table.Reagent
	FixErr   error             // why none would
	Fixed    *chem.Result      // in use, after that; nil without it
	Now      []chem.Saturation // salts that come out, of what is in use in the end
	Later    []chem.Saturation // and those that take days
}

// Examine computes what a content made up to the volume of a demand gives. A
// target of NaN asks for the pH alone. The content is what the volume in use
// holds: the mark, or what a stock makes.
func Examine(d Demand, content chem.Solution, list []table.Reagent) (*Exam, error) {
	use := content.At(d.Use).MadeUpTo(d.inUse())
	e := &Exam{Off: math.NaN()}
	var err error
	if e.InUse, err = chem.Describe(use); err != nil {
		return nil, err
	}
	if e.AtBench, err = chem.Describe(use.At(d.Bench)); err != nil {
		return nil, err
	}
	strongest, at := use, e.InUse
	if d.Times > 1 {
		strongest = d.stock(use).At(d.Bench)
		if e.Stronger, err = chem.Describe(strongest); err != nil {
			return nil, err
		}
		at = e.Stronger
	}
	last, dissolved := e.InUse, at
	if !math.IsNaN(d.PH) {
		if err := e.compare(&d, content); err != nil {
			return nil, err
		}
		if e.Fixed != nil {
			last = e.Fixed
			if d.Times == 1 {
				dissolved = last
			}
		}
	}
	// What is not dissolved as mixed may be so when it has its pH.
	if err = table.CheckDissolved(list, strongest, dissolved); err != nil {
		return nil, err
	}
	e.Now, e.Later, err = table.ComesOut(last)
	return e, err
}

// compare finds what is missing to the target.
func (e *Exam) compare(d *Demand, content chem.Solution) error {
	e.Off = e.InUse.PH - d.PH
	acid, base, err := d.titrants(0.1)
	if err != nil {
		return err
	}
	if e.InUse.Strength > chem.StrongLimit {
		e.FixErr = ErrTooStrong
		return nil
	}
	var f finished
	x := *d
	x.With = nil // they are in the content
	if e.FixErr = f.titrate(&x, content, acid, base); e.FixErr == nil {
		e.Fix, e.FixWith, e.Fixed = f.titrant, acid, f.result
		if f.base {
			e.FixWith = base
		}
	}
	return nil
}

// ErrTooStrong says that the activity model was not checked at such a strength.
var ErrTooStrong = errors.New("above an ionic strength of 3 mol/kg no advice is given: the activity model was not checked there")
