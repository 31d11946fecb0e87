package prepare_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/curve"
	"example.org/halfdrop/chem/recipe/buffer"
	"example.org/halfdrop/chem/solved"
)

// ph, curve and plan show one figure.
func TestOneDoubtForAll(t *testing.T) {
	for _, tc := range []struct {
		name  string
		ph    float64
		molar chem.Molarity
	}{{"HEPES", 7.4, 0.05}, {"phosphate", 7.2, 1}, {"Tris", 8, 1}, {"citrate", 5.8, 0.1}} {
		d := buffer.NewDemand(tc.ph)
		d.Buffer, d.Molar, d.Way, d.Anyway = tc.name, tc.molar, buffer.ByTitrant, true
		x := draft(t, d)
		full := x.Setup.Beaker(25)
		for i, v := range x.Forecast.Need {
			if !math.IsNaN(v) {
				full = chem.Mix(full, x.Setup.Stocks[i].PerLitre(25).Scale(v))
				break
			}
		}
		r, err := solved.Describe(full)
		require.NoError(t, err)
		assert.InEpsilon(t, x.InUse.Spread, r.Spread, 0.3, "in use it is a little less concentrated: %s", tc.name)
		c, err := curve.New(x.Setup.Beaker(25), x.Setup.Stocks[0].PerLitre(25))
		require.NoError(t, err)
		v := x.Forecast.Need[0]
		p, err := c.Band(chem.Volume(v), 3, curve.Care{})
		require.NoError(t, err)
		assert.InEpsilon(t, r.Spread, p[2].High-p[2].PH, 0.02, "curve: %s", tc.name)
	}
}
