package linalg_test

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"

	"example.org/halfdrop/chem/linalg"
)

// Against gonum, a general-purpose library.
func TestSolves(t *testing.T) {
	const n = 7
	r := rand.New(rand.NewPCG(1, 2))
	g := mat.NewDense(n, n, nil)
	for i := range n {
		for j := range n {
			g.Set(i, j, r.NormFloat64())
		}
	}
	var a mat.SymDense
	a.SymOuterK(1, g)
	b := mat.NewVecDense(n, nil)
	l, x := make([]float64, n*n), make([]float64, n)
	for i := range n {
		x[i] = r.NormFloat64()
		b.SetVec(i, x[i])
		for j := range n {
			l[i*n+j] = a.At(i, j)
		}
	}
	var c mat.Cholesky
	require.True(t, c.Factorize(&a))
	var want mat.VecDense
	require.NoError(t, c.SolveVecTo(&want, b))
	require.True(t, linalg.Cholesky(l, n))
	linalg.Forward(l, n, x)
	linalg.Backward(l, n, x)
	for i := range n {
		assert.InDelta(t, want.AtVec(i), x[i], 1e-9)
	}
	assert.InDelta(t, mat.Dot(&want, b), linalg.Dot(x, b.RawVector().Data), 1e-9)
	assert.False(t, linalg.Cholesky([]float64{1, 0, 2, 1}, 2), "not positive definite")
}
