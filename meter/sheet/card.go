package sheet

import (
	"fmt"
	"slices"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/find"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/chem/recipe/buffer"
	"example.org/halfdrop/chem/recipe/prepare"
	"example.org/halfdrop/meter/phrase"
)

// Card is the recipe in rows of what to do, how much, and of what.
func Card(x *prepare.Draft) [][3]string {
	var out, late [][3]string
	for _, m := range x.Measures {
		what := "weigh"
		if m.Mass == 0 || m.Bottle != nil {
			what = "measure"
		}
		amount, of := measure(m)
		if m.Late {
			late = append(late, [3]string{what, amount, of + ", once the pH is set"})
			continue
		}
		out = append(out, [3]string{what, amount, of})
	}
	out = append(out, [3]string{"water", chem.Digits(x.Water.Millilitres(), 3) + " mL", "to start with"})
	if x.Way == buffer.ByTitrant {
		out = append(out, titrateRow(x))
	}
	out = append(out, late...)
	mark := chem.Digits(x.Setup.Final.Millilitres(), 4) + " mL"
	return append(out, [3]string{"make up", mark, "the mark"},
		[3]string{"aim", fmt.Sprintf("pH %.2f", x.Aim.Shown), fmt.Sprintf("on the meter, at %s °C, before making up", chem.Digits(float64(x.Setup.BenchTemp), 3))})
}

// titrateRow is what is to be added with the coach.
func titrateRow(x *prepare.Draft) [3]string {
	way := "down from pH %.1f"
	if x.Base {
		way = "up from pH %.1f"
	}
	way = fmt.Sprintf(way, x.Forecast.Start) // as the meter shows it on the plate
	if t, ok := onTheWay(x); ok {
		return [3]string{"titrate", "≈ " + chem.Digits(t.Volume.Millilitres(), 2) + " mL", t.Name() + ", " + way}
	}
	return [3]string{"titrate", "≈ " + chem.Digits(x.Amount.Millimoles(), 2) + " mmol", titrantName(x) + ", " + way}
}

// onTheWay is the titrant that goes the whole way, if there is one.
func onTheWay(x *prepare.Draft) (prepare.Chosen, bool) {
	i := slices.IndexFunc(x.Titrants, func(t prepare.Chosen) bool { return t.Role != prepare.Back && t.Volume > 0 })
	if i < 0 {
		return prepare.Chosen{}, false
	}
	return x.Titrants[i], true
}

// measure is what is weighed or measured, and of what.
func measure(m prepare.Measure) (amount, of string) {
	switch {
	case m.Bottle != nil:
		return chem.Digits(m.Volume.Millilitres(), 3) + " mL", m.Bottle.Name()
	case m.Mass > 0 && m.AsSold != "" && m.Purity < 1:
		return m.Mass.Weighed() + " g", m.Reagent.FullName() + " (" + m.AsSold + ")"
	case m.Mass > 0:
		return m.Mass.Weighed() + " g", m.Reagent.FullName()
	}
	return chem.Digits(m.Volume.Millilitres(), 3) + " mL", m.Reagent.Name + " (" + m.AsSold + ")"
}

// Facts are the figures of the buffer, each with its unit.
func Facts(x *prepare.Draft) string {
	return fmt.Sprintf("%s, pKa′ %.2f; capacity %s mM per pH; dpH/dT %s per °C; ionic strength %s mM", x.Buffer.System.Name,
		x.Buffer.PK, chem.Digits(1e3*x.InUse.Capacity, 2), phrase.Minus(chem.Signed(x.InUse.DPHDT, 3)), chem.Digits(1e3*x.InUse.MolarStrength(), 2))
}

// Sought are what a plan looks for.
func Sought(s *recipe.Setup) string {
	switch s.What {
	case find.Strength:
		return "strength of " + s.Stocks[0].Name + ", against " + s.Weighed[0].Reagent.FullName()
	case find.Blank:
		return "the blank: what water and reagents take up of " + s.Stocks[0].Name
	case find.Constant:
		return "pK and amount of the " + s.Weighed[0].Reagent.Name
	}
	name := s.Plan.Find.Of
	if name == "" {
		name = s.Weighed[0].Reagent.Name
	}
	return "amount of " + name + ", with " + s.Stocks[0].Name
}
