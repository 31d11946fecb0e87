package fit_test

import (
	"encoding/json"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem/fit"
)

// What is no number is null in JSON, and never ends it.
func TestValuesInJSON(t *testing.T) {
	b, err := json.Marshal(fit.Value{Value: math.Inf(1), SD: math.NaN()})
	require.NoError(t, err)
	assert.JSONEq(t, `{"value":null,"sd":null}`, string(b))
	b, err = json.Marshal(fit.Value{Value: 1.5, SD: 0.1})
	require.NoError(t, err)
	assert.JSONEq(t, `{"value":1.5,"sd":0.1}`, string(b))
}
