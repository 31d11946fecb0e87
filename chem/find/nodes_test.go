package find

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"example.org/halfdrop/chem/linalg"
)

// The rule of five points has the moments of the normal law up to the ninth: 1, 0, 1,
// 0, 3, 0, 15, 0, 105.
func TestNodes(t *testing.T) {
	for k, want := range []float64{1, 0, 1, 0, 3, 0, 15, 0, 105} {
		sum := 0.0
		for _, n := range nodes {
			sum += n.w * math.Pow(n.z, float64(k))
		}
		assert.InDelta(t, want, sum, 1e-9, "moment %d", k)
	}
}

// factor, forward and backward solve a system: checked by multiplying out.
func TestSolve(t *testing.T) {
	a := []float64{4, 0, 0, 2, 5, 0, 1, 3, 6}
	full := func(i, j int) float64 { return a[max(i, j)*3+min(i, j)] }
	l := append([]float64(nil), a...)
	assert.True(t, linalg.Cholesky(l, 3))
	x := []float64{1, -2, 3}
	b := make([]float64, 3)
	for i := range b {
		for j := range x {
			b[i] += full(i, j) * x[j]
		}
	}
	linalg.Forward(l, 3, b)
	linalg.Backward(l, 3, b)
	assert.InDeltaSlice(t, x, b, 1e-12)
	assert.False(t, linalg.Cholesky([]float64{1, 0, 2, 1}, 2), "not positive definite")
}
