// Package linalg is the linear algebra of small dense systems that belief needs, without
// allocation: matrices stand row by row in a slice.
package linalg

import "math"

// Cholesky overwrites the lower triangle of the n×n matrix a (row major) with its
// Cholesky factor; false when a is not positive definite.
func Cholesky(a []float64, n int) bool {
	for j := range n {
		for i := j; i < n; i++ {
			s := a[i*n+j]
			for k := range j {
				s -= a[i*n+k] * a[j*n+k]
			}
			if i > j {
				a[i*n+j] = s / a[j*n+j]
				continue
			}
			if !(s > 0) || math.IsInf(s, 0) {
				return false
			}
			a[j*n+j] = math.Sqrt(s)
		}
	}
	return true
}

// Forward solves L x = b in place.
func Forward(l []float64, n int, b []float64) {
	for i := range n {
		s := b[i]
		for k := range i {
			s -= l[i*n+k] * b[k]
		}
		b[i] = s / l[i*n+i]
	}
}

// Backward solves Lᵀ x = b in place.
func Backward(l []float64, n int, b []float64) {
	for i := n - 1; i >= 0; i-- {
		s := b[i]
		for k := i + 1; k < n; k++ {
			s -= l[k*n+i] * b[k]
		}
		b[i] = s / l[i*n+i]
	}
}

// Form is aᵀ m b.
func Form(a []float64, m [][]float64, b []float64) float64 {
	s := 0.0
	for i, x := range a {
		s += x * Dot(m[i], b)
	}
	return s
}

// Dot is the scalar product of two vectors, of the length of the first.
func Dot(a, b []float64) float64 {
	s := 0.0
	for i := range a {
		s += a[i] * b[i]
	}
	return s
}
