package chem_test

import (
	"testing"

	"example.org/halfdrop/chem"
	"github.com/stretchr/testify/assert"
)

// What rounds to nothing has no sign.
func TestSigned(t *testing.T) {
	for want, x := range map[string]float64{"+0.012": 0.0123, "-0.001": -0.0006, "0.000": -0.0004, "+10.000": 10} {
		assert.Equal(t, want, chem.Signed(x, 3))
	}
	assert.Equal(t, "0.00", chem.Signed(0, 2))
}
