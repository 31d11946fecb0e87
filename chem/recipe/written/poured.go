package written

import (
	"errors"
	"fmt"
	"math"
	"regexp"
	"strings"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/chem/recipe/written/quantity"
	"example.org/halfdrop/chem/table"
)

// measure turns quantities into an amount.
func (x *Part) measure(name string, got map[quantity.Kind]float64, final chem.Volume, r *Reading) error {
	has := func(k ...quantity.Kind) bool {
		if len(got) != len(k) {
			return false
		}
		for _, k := range k {
			if _, ok := got[k]; !ok {
				return false
			}
		}
		return true
	}
	var err error
	byMass := func(grams float64) error {
		x.Reagent, x.Amount, err = table.FromMass(name, chem.Mass(grams), 1)
		return whichHydrate(err, name, grams, final)
	}
	switch {
	case has(quantity.OfMass):
		return byMass(got[quantity.OfMass])
	case has(quantity.OfMassConc):
		return byMass(got[quantity.OfMassConc] * final.Litres())
	case has(quantity.OfMassConc, quantity.OfVolume):
		return byMass(got[quantity.OfMassConc] * got[quantity.OfVolume])
	case has(quantity.OfWeightShare):
		x.Share = fmt.Sprintf("%s %% w/v", chem.Digits(100*got[quantity.OfWeightShare], 4))
		return byMass(1e3 * got[quantity.OfWeightShare] * final.Litres())
	}
	name, concentrated := asSold(name)
	concentrated = concentrated || x.conc
	if x.Reagent, err = table.ByAmount(name); err != nil {
		return err
	}
	switch {
	case concentrated && has(quantity.OfVolume):
		return x.concentrate(math.NaN(), chem.Volume(got[quantity.OfVolume]), r)
	case has(quantity.OfShare, quantity.OfVolume) && x.Reagent.Form != "liquid" && len(x.Reagent.Stocks) > 0:
		return x.concentrate(100*got[quantity.OfShare], chem.Volume(got[quantity.OfVolume]), r)
	case has(quantity.OfShare, quantity.OfVolume) && x.Reagent.Form == "liquid", has(quantity.OfVolumeShare, quantity.OfVolume):
		return x.pour(chem.Volume(got[quantity.OfShare]+got[quantity.OfVolumeShare]) * chem.Volume(got[quantity.OfVolume]))
	case has(quantity.OfShare, quantity.OfVolume), has(quantity.OfWeightShare, quantity.OfVolume):
		return byMass(1e3 * (got[quantity.OfShare] + got[quantity.OfWeightShare]) * got[quantity.OfVolume])
	case has(quantity.OfVolumeShare):
		x.Share = fmt.Sprintf("%s %% v/v", chem.Digits(100*got[quantity.OfVolumeShare], 4))
		return x.pour(chem.Volume(got[quantity.OfVolumeShare]) * final)
	case has(quantity.OfShare):
		if x.Reagent.Form == "liquid" {
			x.Share = fmt.Sprintf("%s %% v/v", chem.Digits(100*got[quantity.OfShare], 4))
			return x.pour(chem.Volume(got[quantity.OfShare]) * final)
		}
		x.Share = fmt.Sprintf("%s %% w/v", chem.Digits(100*got[quantity.OfShare], 4))
		return byMass(1e3 * got[quantity.OfShare] * final.Litres())
	case has(quantity.OfVolume):
		return x.pour(chem.Volume(got[quantity.OfVolume]))
	}
	if !x.Reagent.Definite() {
		return &recipe.FieldError{What: x.Reagent.Name + " is a mixture without a molar mass", Hint: "give it in g, in % w/v or in % v/v"}
	}
	switch {
	case has(quantity.OfAmount):
		x.Amount = chem.Amount(got[quantity.OfAmount])
	case has(quantity.OfStrength):
		x.Amount = chem.Molarity(got[quantity.OfStrength]).In(final)
	case has(quantity.OfStrength, quantity.OfVolume):
		x.Amount = chem.Molarity(got[quantity.OfStrength]).In(chem.Volume(got[quantity.OfVolume]))
	case has(quantity.OfStrength, quantity.OfVolumeShare): // "5 M NaCl 30 mL/L"
		x.Amount = chem.Molarity(got[quantity.OfStrength]).In(chem.Volume(got[quantity.OfVolumeShare]) * final)
	case has(quantity.OfStrength, quantity.OfMassConc):
		return x.bothWays(name, chem.Molarity(got[quantity.OfStrength]), chem.Mass(got[quantity.OfMassConc]*final.Litres()), final)
	case has(quantity.OfStrength, quantity.OfMass):
		return x.bothWays(name, chem.Molarity(got[quantity.OfStrength]), chem.Mass(got[quantity.OfMass]), final)
	case has(quantity.OfAmount, quantity.OfMass), has(quantity.OfMass, quantity.OfVolume):
		return &recipe.FieldError{What: "the amount is given in two ways", Hint: `give one, as in "Tris 6.06 g", "NaCl 100 mM" or "HCl 1 M 6.2 mL"`}
	default:
		return &recipe.FieldError{What: "the amount is not understood", Hint: `give it as in "Tris 6.06 g", "NaCl 100 mM", "glycerol 10 %" or "HCl 1 M 6.2 mL"`}
	}
	return nil
}

// whichHydrate adds to the question which hydrate is meant what each would be: as
// a rule one of them is a round number.
func whichHydrate(err error, name string, grams float64, final chem.Volume) error {
	var which *table.AmbiguousError
	list, e := table.Find(name)
	if !errors.As(err, &which) || which.Instead != "" || e != nil || !(final > 0) {
		return err
	}
	var say []string
	for _, r := range list {
		if !r.Definite() {
			return err
		}
		say = append(say, fmt.Sprintf("%s (%s mM)", r.FullName(), chem.Digits(1e3*float64(r.MolarMass.In(chem.Mass(grams)))/final.Litres(), 3)))
	}
	return &recipe.FieldError{What: recipe.Message(err), Hint: "say which: " + strings.Join(say, ", ")}
}

// pour measures a liquid by its volume.
func (x *Part) pour(v chem.Volume) error {
	r := x.Reagent
	if r.Form != "liquid" || len(r.Stocks) == 0 {
		if r.Form == "liquid" {
			return &recipe.FieldError{What: "the density of " + r.Name + " is not known here", Hint: "give it in g or in % w/v"}
		}
		return &recipe.FieldError{What: fmt.Sprintf("a volume of what strength? %s is not a liquid with a single density", r.Name), Hint: `write the strength beside the volume, as in "HCl 1 M 6.2 mL" or "conc. HCl 6.2 mL"`}
	}
	x.Amount = r.Stocks[0].Molar.In(v)
	return nil
}

// concentratedWords say that a liquid is poured as it is sold.
var concentratedWords = regexp.MustCompile(`(?i)(?:^|\s)\(?(?:conc\.?|concentrated|concd?\.?)\)?(?:\s|$)`)

// asSold is a name without the word that it is poured as sold.
func asSold(name string) (rest string, concentrated bool) {
	rest = strings.TrimSpace(concentratedWords.ReplaceAllString(name, " "))
	return rest, rest != name
}

// rounding is how far a percentage on a bottle may be from one of the table, in
// parts of a hundred: one is rounded more than the other.
const rounding = 0.6

// concentrate measures a solution as it is sold, by its percentage of mass; NaN
// takes the usual one, and says so.
func (x *Part) concentrate(percent float64, v chem.Volume, r *Reading) error {
	var known []string
	best := -1
	for i, s := range x.Reagent.Stocks {
		known = append(known, fmt.Sprintf("%g %% (%s M)", s.MassPercent, chem.Digits(float64(s.Molar), 3)))
		if d := math.Abs(s.MassPercent - percent); d <= rounding && (best < 0 || d < math.Abs(x.Reagent.Stocks[best].MassPercent-percent)) {
			best = i
		}
	}
	switch {
	case math.IsNaN(percent) && len(known) > 0:
		best = 0
	case len(known) == 0:
		return &recipe.FieldError{What: x.Reagent.Name + " is not sold as a solution that strong", Hint: `give its strength, as in "NaOH 1 M"`}
	case best < 0:
		return &recipe.FieldError{What: fmt.Sprintf("the density of %s of %s %% is not known here", x.Reagent.Name, chem.Digits(percent, 3)), Hint: "give its strength in M; known are " + strings.Join(known, ", ")}
	}
	s := x.Reagent.Stocks[best]
	x.Amount = s.Molar.In(v)
	r.Notes = append(r.Notes, fmt.Sprintf("%q is taken as %g %% by mass, %s M", x.Text, s.MassPercent, chem.Digits(float64(s.Molar), 3)))
	return nil
}
