package chem_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"example.org/halfdrop/chem"
)

// A mass is written as a balance is to show it.
func TestMassesAsABalanceShowsThem(t *testing.T) {
	for g, want := range map[float64]string{12: "12.00", 4.2: "4.200", 119.155: "119.2", 0.29008: "0.2901", 0.0123: "0.0123", 1234.4: "1234", 0: "0", 9.9996: "10.00", 1.23e-5: "0.000012"} {
		assert.Equal(t, want, chem.Mass(g).Weighed())
	}
}

func TestDigits(t *testing.T) {
	assert.Equal(t, "12.3", chem.Digits(12.345, 3))
	assert.Equal(t, "0.00012", chem.Digits(1.2345e-4, 2), "no exponent")
	assert.Equal(t, "28.6", chem.Digits(28.571, 3))
	assert.Equal(t, "1230", chem.Digits(1234, 3))
	assert.Equal(t, "2", chem.Digits(1.999, 2), "no zeros at the end")
}
