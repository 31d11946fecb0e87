package main

import (
	"testing"

	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/planfile"
	"github.com/pelletier/go-toml/v2"
	"github.com/stretchr/testify/require"
)

func encodePlan(t *testing.T, p recipe.Plan) []byte {
	t.Helper()
	b, err := toml.Marshal(p)
	require.NoError(t, err)
	return b
}

// builtIn is the plan of titrate --sim.
func builtIn(t *testing.T) recipe.Plan {
	t.Helper()
	p, err := planfile.Decode("built-in plan", planfile.Demo)
	require.NoError(t, err)
	return p
}
