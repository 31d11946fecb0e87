package normal_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem/coach/normal"
)

// The fast distribution function is that of the standard library, and of the tables:
// 0.975 at 1.96 (1.959964), 0.99865 at 3 (Abramowitz & Stegun, Handbook of Mathematical
// Functions, 1964, table 26.1).
func TestNearPhiIsTheNormalDistribution(t *testing.T) {
	for z := -9.0; z <= 9; z += 0.0037 {
		require.InDelta(t, 0.5*math.Erfc(-z/math.Sqrt2), normal.Near(z), 2e-9, "at %g", z)
	}
	require.InDelta(t, 0.975, normal.Near(1.959964), 1e-7)
	require.InDelta(t, 0.9986501020, normal.Near(3), 1e-9)
	require.InDelta(t, 0.5, normal.Near(0), 1e-12)
	require.Zero(t, normal.Near(math.Inf(-1)))
	require.Equal(t, 1.0, normal.Near(math.Inf(1)))
}
