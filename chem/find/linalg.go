package find

import "math"

// factor overwrites the lower triangle of the n×n matrix a (row major) with its
// Cholesky factor; false when a is not positive definite.
func factor(a []float64, n int) bool {
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

// forward solves L x = b in place.
func forward(l []float64, n int, b []float64) {
	for i := range n {
		s := b[i]
		for k := range i {
			s -= l[i*n+k] * b[k]
		}
		b[i] = s / l[i*n+i]
	}
}

// backward solves Lᵀ x = b in place.
func backward(l []float64, n int, b []float64) {
	for i := n - 1; i >= 0; i-- {
		s := b[i]
		for k := i + 1; k < n; k++ {
			s -= l[k*n+i] * b[k]
		}
		b[i] = s / l[i*n+i]
	}
}

func dot(a, b []float64) float64 {
	s := 0.0
	for i := range a {
		s += a[i] * b[i]
	}
	return s
}
