package live

import (
	"testing"

	"example.org/halfdrop/chem/recipe"
	"github.com/stretchr/testify/require"
)

// TestBareBeakerNeedsNoFile: pH, volume and bottles make a plan of an unknown beaker.
func TestBareBeakerNeedsNoFile(t *testing.T) {
	b := Bare{PH: 7.4, ML: 250, Tolerance: 0.02, TempC: 22, Titrants: []string{"NaOH 1 M", "HCl 0.1 M, 40 µL"}}
	ti := &Asked{Port: "x", Bare: b, Speed: 1}
	require.NoError(t, ti.Check())
	p, err := ti.Recipe()
	require.NoError(t, err)
	s, err := recipe.Compile(p)
	require.NoError(t, err)
	require.True(t, s.Unweighed())
	require.InDelta(t, 250, s.Start.Millilitres(), 1e-9)
	require.Len(t, s.Stocks, 2)
	require.InDelta(t, 40, s.Stocks[1].Drop.Microlitres(), 1e-9)
	require.NoError(t, s.Advisable())
	for _, bad := range []Asked{
		{Port: "x", Speed: 1, Bare: Bare{PH: 7.4}},
		{Port: "x", Speed: 1, Bare: Bare{PH: 7.4, ML: 250}},
		{Port: "x", Speed: 1, Plan: "p", Bare: b},
		{Sim: true, Speed: 1, Bare: b},
	} {
		require.Error(t, bad.Check())
	}
}
