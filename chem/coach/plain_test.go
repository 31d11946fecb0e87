package coach_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/coach"
)

// The plain beaker of worked numbers: 10 mmol of an acid with one step in 100 g of water,
// brought to its pK′ and beyond with a base of which nothing else is known than the spreads
// that a test gives it. With x = q/C of the acid neutralised, whatever the activities,
//
//	pH = pK′ + lg(x/(1−x))                 (Henderson–Hasselbalch)
//	dq/dpH = ln 10 · C · x·(1−x)           (Van Slyke, J. Biol. Chem. 52 (1922) 525, eq. 4)
//
// with water itself, at pH 7, a 50,000th of that.
const (
	plainMol = 0.010
	plainPK  = 7.0
)

// plainCapacity is the buffer capacity of the plain beaker, mol per pH, where x of its acid
// is neutralised.
func plainCapacity(x float64) float64 { return math.Ln10 * plainMol * x * (1 - x) }

// plainWay is how far, pH, it is from x to another x.
func plainWay(from, to float64) float64 {
	return math.Log10(to/(1-to)) - math.Log10(from/(1-from))
}

// plain is that beaker with x of its acid neutralised and the target where aim of it is, so
// exactly as planned that it takes no spread but those of scale and drops; shown is what a
// perfect meter shows at the start. Its bottle brings 0.05 mmol a drop.
func plain(t *testing.T, x, aim float64) (b *coach.Bench, shown float64) {
	t.Helper()
	m, err := chem.NewModel(25, []*chem.System{{Name: "acid", Steps: []chem.Step{{PK: plainPK}}}})
	require.NoError(t, err)
	at := func(x float64) (chem.Composition, float64) {
		// The ions of a salt that was added beside, so that the ionic strength is the same all the way.
		w := chem.Composition{Totals: [chem.MaxSystems]float64{plainMol}, Charge: x * plainMol, Strength: plainMol}
		c := chem.Composition{Water: 0.1}.Plus(1, w)
		e, err := m.Solve(&c)
		require.NoError(t, err)
		return w, e.PH
	}
	weighed, shown := at(x)
	_, target := at(aim)
	b = &coach.Bench{
		Model: m, Use: m, Weighed: weighed, Water: chem.Composition{Water: 0.1}, AmountSD: 1e-6,
		Start: 100 * chem.Millilitre, Final: 1000 * chem.Millilitre, FinalKg: 0.1, Target: target, Tolerance: 0.02,
		Stocks: []coach.Stock{plainStock("base", 0.05e-3)},
	}
	return b, shown
}

// plainStock brings so much charge a drop, mol, with nothing to be in doubt of; it brings no
// water and no ionic strength, so that the beaker stays what it is.
func plainStock(name string, perDrop float64) coach.Stock {
	return coach.Stock{
		Name: name, PerLitre: chem.Composition{Charge: perDrop / drop.Litres()}, Molarity: chem.Molarity(perDrop / drop.Litres()),
		Drop: drop, DropSD: 1e-6, StrengthSD: 1e-6, ScatterSD: 1e-6,
	}
}

// plainDose is an addition of so many drops of the first bottle.
func plainDose(drops float64) coach.Addition {
	return coach.Addition{Volume: chem.Volume(drops) * drop, Drops: drops}
}

// settled is a reading that waiting makes no better.
func settled(ph, sd float64) coach.Present {
	return coach.Present{PH: ph, Shown: ph, SD: sd, FinalSD: sd, Settled: true, Age: 300}
}
