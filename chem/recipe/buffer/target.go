package buffer

import (
	"errors"
	"fmt"
	"math"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/curve"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/chem/solved"
	"example.org/halfdrop/chem/table"
)

// Finished is a buffer as it is to be in use: at the mark, at the temperature
// of use, at the target pH.
type Finished struct {
	Solution chem.Solution
	Result   *solved.Result
	Amount   chem.Amount // of strong acid or base that went in; 0 of a pair
	Base     bool        // it was the base
	Start    float64     // pH in use without it
	Salt     chem.Amount // that raises the ionic strength
}

// bring titrates a content to the target in use and raises the ionic strength
// if that was asked. The direction comes from the chemistry.
func (d *Demand) bring(content chem.Solution, acid, base table.Reagent) (Finished, error) {
	var f Finished
	salt, err := table.ByAmount(d.Salt)
	if err != nil {
		return f, err
	}
	raise := newRaising(salt, d.Ionic)
	for range mostRaises {
		all := chem.Mix(chem.Mix(content, d.besides()), salt.Dissolved(f.Salt))
		if err := f.Titrate(d, all, acid, base); err != nil {
			return f, err
		}
		if d.Ionic == 0 {
			return f, nil
		}
		done, err := raise.next(&f.Salt, f.Result.MolarStrength(), f.Solution.Volume)
		if done || err != nil {
			return f, err
		}
	}
	return f, raise.hardly()
}

// raising looks for the amount of a salt that gives an ionic strength: from what its
// ions would do by themselves, and then by what it has done.
type raising struct {
	salt         table.Reagent
	want, per    float64     // mol/L; and that of one mol/L of the salt
	last         chem.Amount // before the last
	lastStrength float64
}

// mostRaises is how often an amount is tried.
const mostRaises = 12

func newRaising(salt table.Reagent, want float64) *raising {
	return &raising{salt: salt, want: want, per: perMole(salt), lastStrength: math.NaN()}
}

// next brings the amount nearer, or reports that the strength is reached. The error
// says that the rest alone is above it, or that the salt does not raise it.
func (r *raising) next(n *chem.Amount, strength float64, v chem.Volume) (done bool, err error) {
	if math.Abs(r.want-strength) < 1e-6 {
		return true, nil
	}
	if *n == 0 && strength > r.want {
		return false, &strengthError{have: strength, want: r.want}
	}
	if moved := (*n - r.last).Moles(); moved != 0 {
		if r.per = (strength - r.lastStrength) * v.Litres() / moved; !(r.per > 0.1) {
			return false, r.hardly()
		}
	}
	r.last, r.lastStrength = *n, strength
	*n += chem.Amount((r.want - strength) * v.Litres() / r.per)
	if *n < 0 {
		*n = r.last / 2
	}
	return false, nil
}

func (r *raising) hardly() error {
	return recipe.Wrong("salt", fmt.Sprintf("%s does not bring the ionic strength to %s mM", r.salt.Name, chem.Digits(1e3*r.want, 3)), "choose a salt of strong ions, as NaCl or KCl")
}

// strengthError says that the buffer alone is above the ionic strength asked.
type strengthError struct{ have, want float64 }

func (e *strengthError) Error() string {
	return fmt.Sprintf("the buffer alone has an ionic strength of %s mM, above the %s mM asked for", chem.Digits(1e3*e.have, 3), chem.Digits(1e3*e.want, 3))
}

// perMole is about the ionic strength of a salt at one mol/L: a metal ion counts as
// it is by itself, another system with the charge that the strong ions leave it.
func perMole(r table.Reagent) float64 {
	s, charge := 0.0, 0
	var others []table.Part
	for _, p := range r.Parts {
		z := 0
		switch {
		case p.System == nil:
			z = p.Ion.Charge
		case table.KindOf(p.System.Name) == table.Metal:
			z = p.System.Charge
		default:
			others = append(others, p)
			continue
		}
		charge += p.Count * z
		s += float64(p.Count*z*z) / 2
	}
	if len(others) == 1 {
		z := float64(charge) / float64(others[0].Count)
		s += float64(others[0].Count) * z * z / 2
	}
	return math.Max(s, 0.5)
}

func (f *Finished) Titrate(d *Demand, content chem.Solution, acid, base table.Reagent) error {
	start := content.At(d.Use).MadeUpTo(d.InUse())
	r, err := solved.Describe(start)
	if err != nil {
		return err
	}
	f.Start = r.PH
	if f.Base = r.PH < d.PH; !f.Base {
		base = acid
	}
	f.Amount = 0
	// What the titrant takes up, and the forms that it makes, leave less or more water
	// below the mark; the pH of 0.5 M EDTA follows its strength.
	less := chem.Volume(0)
	for range 3 {
		c, err := curve.New(content.At(d.Use).MadeUpTo(d.InUse()-less), base.Dissolved(1))
		if err != nil {
			return err
		}
		v, err := c.VolumeAt(d.PH)
		if err != nil && !(errors.Is(err, curve.ErrUnreachable) && math.Abs(r.PH-d.PH) < 1e-3) {
			return err
		}
		f.Amount = chem.Amount(v) // a titrant of one mol per "litre" and no water
		f.Solution = chem.Mix(start, base.Dissolved(f.Amount)).At(d.Use)
		room := f.Solution.Solutes() - start.Solutes()
		if math.Abs(float64(room-less)) < 1e-4*float64(d.InUse()) {
			break
		}
		less = room
	}
	f.Result, err = solved.Describe(f.Solution)
	return err
}

// practicalPK is the pH at which the two forms of a step are equal, at the
// ionic strength and temperature of the result.
func practicalPK(r *solved.Result, s *chem.System, step int) float64 {
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
