package main

import (
	"testing"

	"example.org/halfdrop/chem/recipe"
	"github.com/pelletier/go-toml/v2"
	"github.com/stretchr/testify/require"
)

func encodePlan(t *testing.T, p recipe.Plan) []byte {
	t.Helper()
	b, err := toml.Marshal(p)
	require.NoError(t, err)
	return b
}
