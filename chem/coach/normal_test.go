package coach_test

import (
	"math"
	"testing"

	"example.org/halfdrop/chem/coach"
	"github.com/stretchr/testify/require"
)

// The fast distribution function is that of the standard library, and of the tables:
// 0.975 at 1.96 (1.959964), 0.99865 at 3 (Abramowitz & Stegun, Handbook of Mathematical
// Functions, 1964, table 26.1).
func TestNearPhiIsTheNormalDistribution(t *testing.T) {
	for z := -9.0; z <= 9; z += 0.0037 {
		require.InDelta(t, 0.5*math.Erfc(-z/math.Sqrt2), coach.NearPhi(z), 2e-9, "at %g", z)
	}
	require.InDelta(t, 0.975, coach.NearPhi(1.959964), 1e-7)
	require.InDelta(t, 0.9986501020, coach.NearPhi(3), 1e-9)
	require.InDelta(t, 0.5, coach.NearPhi(0), 1e-12)
	require.Zero(t, coach.NearPhi(math.Inf(-1)))
	require.Equal(t, 1.0, coach.NearPhi(math.Inf(1)))
}
