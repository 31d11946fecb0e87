package recipe

import (
	"math"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/table"
)

// Exam is what a recipe that somebody already has will give.
type Exam struct {
	InUse   *chem.Result // at the mark, at the temperature of use
	AtBench *chem.Result // at the mark, at the temperature of the bench
	Off     float64      // pH in use minus the target; NaN without a target
	Fix     chem.Amount  // of strong acid or base, into the whole, to reach the target
	FixWith table.Reagent
	FixErr  error // why none would
}

// Examine computes what a content made up to the volume of a demand gives. A
// target of NaN asks for the pH alone.
func Examine(d Demand, content chem.Solution, list []table.Reagent) (*Exam, error) {
	use := content.At(d.Use).MadeUpTo(d.Volume)
	e := &Exam{Off: math.NaN()}
	var err error
	if e.InUse, err = chem.Describe(use); err != nil {
		return nil, err
	}
	if err = table.CheckDissolved(list, use, e.InUse); err != nil {
		return nil, err
	}
	if e.AtBench, err = chem.Describe(use.At(d.Bench)); err != nil {
		return nil, err
	}
	if math.IsNaN(d.PH) {
		return e, nil
	}
	e.Off = e.InUse.PH - d.PH
	acid, base, err := d.strong()
	if err != nil {
		return nil, err
	}
	var f finished
	if e.FixErr = f.titrate(&d, content, acid, base); e.FixErr == nil {
		e.Fix, e.FixWith = f.titrant, acid
		if f.base {
			e.FixWith = base
		}
	}
	return e, nil
}
