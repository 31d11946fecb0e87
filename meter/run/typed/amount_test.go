package typed_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/meter/run/typed"
)

// Half a drop that is typed while a pH is asked for is no pH, wherever that should be known to
// be: 0.5 went into the record of a beaker at 6.4. Near where it should be, or with the decimals
// of a display, it is one.
func TestHalfADropIsNoPH(t *testing.T) {
	due := func(ph float64) typed.Due { return typed.Due{PH: ph, SD: 0.4, From: math.NaN(), To: math.NaN()} }
	d := typed.Slip(typed.Value{PH: 0.5, Decimals: 1}, due(6.44))
	require.NotNil(t, d)
	assert.False(t, d.Never, "who insists is believed")
	assert.Contains(t, d.Error(), "0.5 is far from 6.44, where it should be; drops are typed once an addition is ordered")
	assert.NotNil(t, typed.Slip(typed.Value{PH: 0.9, Decimals: 1}, due(3.2)))
	assert.Nil(t, typed.Slip(typed.Value{PH: 0.9, Decimals: 1}, due(2.6)), "not that far")
	assert.Nil(t, typed.Slip(typed.Value{PH: 1.1, Decimals: 1}, due(6.44)))
	assert.Nil(t, typed.Slip(typed.Value{PH: 0.52, Decimals: 2}, due(6.44)))
}
