package main

import (
	"testing"

	"example.org/halfdrop/chem/recipe"
	"github.com/stretchr/testify/require"
)

// TestBareBeakerNeedsNoFile: pH, volume and bottles make a plan of an unknown beaker.
func TestBareBeakerNeedsNoFile(t *testing.T) {
	b := bareBeaker{ph: 7.4, ml: 250, tolerance: 0.02, temp: 22, titrants: []string{"NaOH 1 M", "HCl 0.1 M, 40 µL"}}
	ti := &titration{port: "x", bare: b, speed: 1}
	require.NoError(t, ti.check())
	p, err := ti.plan()
	require.NoError(t, err)
	s, err := recipe.Compile(p)
	require.NoError(t, err)
	require.True(t, s.Unweighed())
	require.InDelta(t, 250, s.Start.Millilitres(), 1e-9)
	require.Len(t, s.Stocks, 2)
	require.InDelta(t, 40, s.Stocks[1].Drop.Microlitres(), 1e-9)
	require.NoError(t, s.Advisable())
	for _, bad := range []titration{
		{port: "x", speed: 1, bare: bareBeaker{ph: 7.4}},
		{port: "x", speed: 1, bare: bareBeaker{ph: 7.4, ml: 250}},
		{port: "x", speed: 1, planPath: "p", bare: b},
		{sim: true, speed: 1, bare: b},
	} {
		require.Error(t, bad.check())
	}
}
