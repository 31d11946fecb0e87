package fit_test

import (
	"encoding/json"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem/fit"
)

// A program is given no figure that its spread makes say nothing, and none that is no
// number: null and why.
func TestResultInJSON(t *testing.T) {
	r := fit.Result{Points: 20, Molar: fit.Value{Value: 0.1}, Excess: fit.Value{Value: -0.2, SD: 0.56},
		Sites: []fit.Site{
			{PK: fit.Value{Value: 4.76, SD: 0.02}, MMol: fit.Value{Value: 2.5, SD: 0.02}, ML: fit.Value{Value: 25, SD: 0.03}},
			{PK: fit.Value{Value: 11.0, SD: 3.5}, MMol: fit.Value{Value: 0.28, SD: 0.63}, ML: fit.Value{Value: math.Inf(1), SD: math.NaN()}},
		},
		Shift: fit.Value{Value: 0.01, SD: 0.15}, Ends: []fit.Value{{Value: 25, SD: 0.02}}, SampleML: 50, SampleSD: 50}
	b, err := json.Marshal(&r)
	require.NoError(t, err)
	assert.JSONEq(t, `{"points":20,"acid":false,"molar":{"value":0.1,"sd":0},
		"excess_mmol":{"value":null,"sd":0.56,"why":"its spread is as large as its value or larger"},
		"sites":[
			{"pk":{"value":4.76,"sd":0.02},"mmol":{"value":2.5,"sd":0.02},"titrant_ml":{"value":25,"sd":0.03}},
			{"pk":{"value":null,"sd":3.5,"why":"its spread is one pH or more"},
			 "mmol":{"value":null,"sd":0.63,"why":"its spread is as large as its value or larger"},
			 "titrant_ml":{"value":null,"sd":null,"why":"the curve gives no number"}}],
		"ph_shift":{"value":0.01,"sd":0.15},"equivalence_ml":[{"value":25,"sd":0.02}],"rms_ph":0,"left_ph":0,
		"sample_ml":null,"sample_ml_sd":50,"sample_ml_why":"not given: the spreads hold from half of the usual 50 mL to twice as much"}`, string(b))
}
