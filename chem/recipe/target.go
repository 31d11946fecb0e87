package recipe

import (
	"errors"
	"fmt"
	"math"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/curve"
	"example.org/halfdrop/chem/table"
)

// finished is a buffer as it is to be in use: at the mark, at the temperature
// of use, at the target pH.
type finished struct {
	solution chem.Solution
	result   *chem.Result
	titrant  chem.Amount // of strong acid or base that went in
	base     bool        // it was the base
	start    float64     // pH in use without it
	salt     chem.Amount // that raises the ionic strength
}

// bring titrates a content to the target in use and raises the ionic strength
// if that was asked. The direction comes from the chemistry.
func (d *Demand) bring(content chem.Solution, acid, base table.Reagent) (finished, error) {
	var f finished
	salt, err := table.ByAmount(d.Salt)
	if err != nil {
		return f, err
	}
	for range 8 {
		all := chem.Mix(chem.Mix(content, d.besides()), salt.Dissolved(f.salt))
		if err := f.titrate(d, all, acid, base); err != nil {
			return f, err
		}
		if d.Ionic == 0 {
			return f, nil
		}
		short := d.Ionic - f.result.Strength
		kg := f.solution.WaterMass().Kilograms()
		f.salt += chem.Amount(short * kg / perMole(salt))
		if f.salt < 0 {
			return f, &strengthError{have: f.result.Strength, want: d.Ionic}
		}
		if math.Abs(short) < 1e-6 {
			break
		}
	}
	return f, nil
}

// strengthError says that the buffer alone is above the ionic strength asked.
type strengthError struct{ have, want float64 }

func (e *strengthError) Error() string {
	return fmt.Sprintf("the buffer alone has an ionic strength of %s mM, above the %s mM asked for", digits(1e3*e.have, 3), digits(1e3*e.want, 3))
}

// perMole is the ionic strength of a salt of strong ions at one mol/kg.
func perMole(r table.Reagent) float64 {
	s := 0.0
	for _, p := range r.Parts {
		if p.System == nil {
			s += float64(p.Count*p.Ion.Charge*p.Ion.Charge) / 2
		}
	}
	return math.Max(s, 0.5)
}

func (f *finished) titrate(d *Demand, content chem.Solution, acid, base table.Reagent) error {
	start := content.At(d.Use).MadeUpTo(d.inUse())
	r, err := chem.Describe(start)
	if err != nil {
		return err
	}
	f.start = r.PH
	if f.base = r.PH < d.PH; !f.base {
		base = acid
	}
	f.titrant = 0
	c, err := curve.New(start, base.Dissolved(1))
	if err != nil {
		return err
	}
	v, err := c.VolumeAt(d.PH)
	if err != nil && !(errors.Is(err, curve.ErrUnreachable) && math.Abs(r.PH-d.PH) < 1e-3) {
		return err
	}
	f.titrant = chem.Amount(v) // a titrant of one mol per "litre" and no water
	f.solution = chem.Mix(start, base.Dissolved(f.titrant)).At(d.Use)
	f.result, err = chem.Describe(f.solution)
	return err
}

// practicalPK is the pH at which the two forms of a step are equal, at the
// ionic strength and temperature of the result.
func practicalPK(r *chem.Result, s *chem.System, step int) float64 {
	var a, b float64
	for _, sp := range r.Species {
		if sp.System == s.Name && sp.Complex == nil && sp.Charge == s.Charge-step {
			a = sp.Molality
		}
		if sp.System == s.Name && sp.Complex == nil && sp.Charge == s.Charge-step-1 {
			b = sp.Molality
		}
	}
	return r.PH + math.Log10(a/b)
}
