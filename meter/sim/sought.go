package sim

import (
	"math"
	"slices"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/find"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/chem/table"
)

// Figures of a bench on which an amount is looked for, a choice of this project.
const (
	mostUnknown = 0.4   // ln of an amount of which the plan knows less
	measured    = 0.1   // of the ordinary error of the water: it was measured, not poured
	poured      = 0.001 // scatter of a volume from a burette, relative
	sizeGuess   = 2.0   // what is thought of a drop is as much too wide
)

// sought makes a draw one of a bench on which somebody looks for an amount: what was
// weighed is as exact as the plan says, what is looked for is not. The dice stay those
// of the draw, in other units of their spreads.
func (s Spread) sought(setup *recipe.Setup, t Truth) Truth {
	b, err := setup.Bench(setup.BenchTemp)
	if err != nil {
		return t
	}
	g, ok := b.Guide.(*find.Bench)
	if !ok {
		return t
	}
	t.Weighed = slices.Clone(setup.Weighed)
	if g.What == find.Blank {
		t.Weighed = append(t.Weighed, impurity(setup, t.LnAmount/s.Amount))
	}
	for i := range setup.Weighed {
		sd := math.Min(g.Parts[i].SD, mostUnknown)
		if i != g.Of {
			sd = -sd // another draw, as far as there is only one
		}
		t.Weighed[i].Amount *= chem.Amount(math.Exp(t.LnAmount * sd / s.Amount))
	}
	t.LnAmount = 0
	for j := range t.LnStrength {
		t.LnStrength[j] *= g.Stocks[j].StrengthSD / s.LnStrength
	}
	for j := range g.Stocks {
		t.LnDrop[setup.Stocks[j].Dropper] *= g.Stocks[j].SizeSD / s.LnDrop / sizeGuess
	}
	t.Excess, t.LnVolume, t.Poured = 0, measured*t.LnVolume, poured
	return t
}

// impurity is the acid or base that a blank finds in the water: a tenth of a mL of the
// titrant, more or less.
func impurity(setup *recipe.Setup, z float64) recipe.Portion {
	const ml, scatter = 0.1, 0.3
	name := "HCl"
	if c, err := table.ByAmount(name); err == nil && setup.Stocks[0].Reagent.Name == c.Name {
		name = "NaOH"
	}
	r, err := table.ByAmount(name)
	if err != nil {
		return recipe.Portion{}
	}
	return recipe.Portion{Reagent: r, Amount: setup.Stocks[0].Molar.In(chem.Volume(ml*math.Exp(scatter*z)) * chem.Millilitre)}
}
