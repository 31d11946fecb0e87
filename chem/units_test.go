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
