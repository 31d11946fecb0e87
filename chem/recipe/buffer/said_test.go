package buffer_test

import (
	"testing"

	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/chem/recipe/buffer"
	"example.org/halfdrop/chem/recipe/prepare"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Who asks for potassium phosphate has potassium in the beaker, whichever way it is made.
func TestTheMetalOfTheName(t *testing.T) {
	for _, tc := range []struct {
		name, metal, base string
		ph                float64
	}{
		{"potassium phosphate", "K+", "potassium hydroxide", 7},
		{"KH2PO4", "K+", "potassium hydroxide", 7},
		{"HEPES-KOH", "K+", "potassium hydroxide", 7.5},
		{"potassium acetate", "K+", "potassium hydroxide", 4.6},
		{"sodium phosphate", "Na+", "sodium hydroxide", 7},
		{"phosphate", "Na+", "sodium hydroxide", 7},
		{"HEPES-NaOH", "Na+", "sodium hydroxide", 7.5},
	} {
		for _, way := range []buffer.Way{buffer.BySalts, buffer.ByTitrant} {
			d := buffer.NewDemand(tc.ph)
			d.Buffer, d.Way = tc.name, way
			list, err := buffer.Rank(d)
			require.NoError(t, err, tc.name)
			x, err := prepare.For(d, list[0])
			require.NoError(t, err, tc.name)
			for _, m := range x.Measures {
				if c := m.Reagent.Cations(); c != "" {
					assert.Equal(t, tc.metal, c, "%s, %s: %s", tc.name, way, m.Reagent.Name)
				}
			}
			for _, b := range x.Titrants {
				if b.Reagent.Cations() != "" {
					assert.Equal(t, tc.base, b.Reagent.Name, "%s, %s", tc.name, way)
				}
			}
		}
	}
	d := buffer.NewDemand(7)
	d.Buffer, d.Base = "potassium phosphate", "NaOH"
	assert.Equal(t, "NaOH", d.Said().Base, "what was asked for counts")
}

// What goes by a short name is named by what is in it.
func TestMixturesByTheirShortNames(t *testing.T) {
	for name, want := range map[string]string{"PBS": "NaCl 137 mM; KCl 2.7 mM", "tbe": "boric acid 89 mM; EDTA 2 mM", "HBS": "NaCl 150 mM", "MBS": "NaCl 150 mM",
		"PBST": "Tween 20", "TBST": "Tween 20", "DPBS": "KCl 2.7 mM", "Tris-buffered saline": "NaCl 150 mM", "phosphate buffered saline": "KCl 2.7 mM",
		"1x PBS": "KCl 2.7 mM", "TE buffer": "EDTA 1 mM", "RIPA": "SDS 0.1 %", "LB": "as a recipe"} {
		d := buffer.NewDemand(7.4)
		d.Buffer = name
		_, err := buffer.Rank(d)
		var bad recipe.Problems
		require.ErrorAs(t, err, &bad, name)
		assert.Contains(t, bad[0].What, "is a mixture")
		assert.Contains(t, bad.Hints()[0], want)
	}
}
