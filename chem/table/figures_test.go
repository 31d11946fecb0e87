package table

import (
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/csvrows"
)

// Where a solubility is known at two temperatures, it rises by 0.9 % per °C (the lower quartile)
// to 1.9 % (the middle) and more: what is known at one only is taken to be between the two.
func TestOneTemperatureIsLedByThoseOfTwo(t *testing.T) {
	var list []float64
	for _, p := range solubilities() {
		if n := len(p); n > 1 {
			list = append(list, math.Log(p[n-1].molal/p[0].molal)/(p[n-1].at-p[0].at))
		}
	}
	slices.Sort(list)
	require.Greater(t, len(list), 40)
	t.Logf("quartiles %.4f %.4f %.4f per °C", list[len(list)/4], list[len(list)/2], list[3*len(list)/4])
	assert.Greater(t, perDegree, list[len(list)/4])
	assert.Less(t, perDegree, list[len(list)/2])
}

// The room that a gram takes up in the conversion of g/L and mol/L is that of the solids whose
// solubility is given so, by their partial molar volumes.
func TestRoomPerGram(t *testing.T) {
	perLitre := map[string]bool{}
	require.NoError(t, csvrows.Each(solubilityCSV, 6, "solubility", func(r []string) error {
		perLitre[r[0]] = perLitre[r[0]] || r[3] != "g/100g"
		return nil
	}))
	sum, n := 0.0, 0
	for _, r := range Reagents() {
		if !perLitre[r.Formula] || strings.Contains(r.Formula, "·") || solubilities()[r.Formula][0].molal < 0.2 {
			continue
		}
		s := r.Dissolved(0.1)
		s.Volume, s.Temp = chem.Litre, 25
		sum, n = sum+s.Solutes().Millilitres()/r.MolarMass.Of(0.1).Grams(), n+1
	}
	t.Logf("%.3f mL/g of %d", sum/float64(n), n)
	require.Greater(t, n, 15)
	assert.InDelta(t, sum/float64(n), roomPerGram, 0.06)
}
