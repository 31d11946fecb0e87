package prepare_test

import (
	"testing"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/recipe/buffer"
	"example.org/halfdrop/chem/recipe/prepare"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// 3 M acetate of pH 5.2 is made of sodium acetate and acid (bench manuals, common
// practice): 2.3 mol of hydroxide do not fit under the mark of a litre.
func TestStrongAcetateIsBroughtDown(t *testing.T) {
	d := buffer.NewDemand(5.2)
	d.Buffer, d.Molar, d.Volume = "acetate", 3, 1
	x := draft(t, d)
	assert.Equal(t, "sodium acetate", x.Measures[0].Reagent.Name)
	assert.False(t, x.Base)
	assert.Less(t, x.Titrants[0].Volume.Litres(), 0.2)
	d.Have = []string{"acetic acid"} // what a person says is there stays
	list, err := buffer.Rank(d)
	require.NoError(t, err)
	_, err = prepare.For(d, list[0])
	assert.ErrorContains(t, err, "under the mark")
}

// Where potassium hydroxide is asked for, no sodium salt goes in, and two salts
// are of sodium unless it is.
func TestNoForeignCations(t *testing.T) {
	d := buffer.NewDemand(6.9)
	d.Buffer, d.Molar, d.Volume, d.Base = "PIPES", 0.08, 0.5, "KOH"
	x := draft(t, d)
	assert.Equal(t, "PIPES", x.Measures[0].Reagent.Name)
	assert.NotEmpty(t, x.Slow, "the free acid goes in with part of the base")
	d.Buffer, d.PH = "phosphate", 7
	assert.Equal(t, "monopotassium phosphate", draft(t, d).Measures[0].Reagent.Name)
	d.Base, d.Way, d.Buffer, d.PH = "", buffer.BySalts, "acetate", 5
	assert.Equal(t, "sodium acetate", draft(t, d).Measures[1].Reagent.Name)
}

// The last tenth of a pH fits under the mark as well: of 2 M Tris it takes 0.1 mol.
func TestTheLastStepsFit(t *testing.T) {
	for _, tc := range []struct {
		name              string
		ph, molar, litres float64
	}{{"Tris", 8, 2, 1}, {"PIPES", 6.9, 0.5, 1}, {"acetate", 5.2, 3, 1}, {"HEPES", 7.5, 1, 1}, {"HEPES", 7.5, 0.05, 1}, {"HEPES", 7.4, 0.02, 0.005}} {
		d := buffer.NewDemand(tc.ph)
		d.Buffer, d.Molar, d.Volume = tc.name, chem.Molarity(tc.molar), chem.Volume(tc.litres)
		x := draft(t, d)
		left := (x.Demand.Volume - chem.Volume(*x.Plan.Beaker.StartML)*chem.Millilitre).Litres()
		bulk := x.Titrants[0].Volume.Litres()
		fine := x.Titrants[0]
		if fine.Role == prepare.Coarse {
			fine = x.Titrants[1]
			left -= bulk
		}
		assert.Less(t, fine.PerDrop, 0.5*d.Tolerance, tc.name)
		tenth := 0.1 * fine.Molar * 50e-6 / fine.PerDrop // mol
		assert.Less(t, tenth/fine.Molar, left, "%s %g M: the last steps with %s", tc.name, tc.molar, fine.Name())
	}
}
