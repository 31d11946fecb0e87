package fit

import (
	"math"

	"example.org/halfdrop/chem/linalg"
)

// matrix is a small square matrix, symmetric and positive where it is used.
type matrix struct {
	n int
	v []float64
}

func newMatrix(n int) matrix { return matrix{n, make([]float64, n*n)} }

func (m matrix) at(i, j int) float64 { return m.v[i*m.n+j] }

func (m matrix) clone() matrix { return matrix{m.n, append([]float64(nil), m.v...)} }

// scaled is the matrix with ones on its diagonal, and the scales: unknowns of
// a fit differ by many powers of ten.
func (m matrix) scaled() (matrix, []float64) {
	s, d := m.clone(), make([]float64, m.n)
	for i := range d {
		d[i] = 1 / math.Sqrt(math.Max(m.at(i, i), 1e-300))
	}
	for i := range m.n {
		for j := range m.n {
			s.v[i*m.n+j] *= d[i] * d[j]
		}
	}
	return s, d
}

// leastPivot is the least pivot of a scaled matrix that is still told from rounding.
const leastPivot = 1e-14

// factor is the Cholesky factor of the scaled matrix, and the scales; false when the matrix
// is not positive.
func (m matrix) factor() (l matrix, d []float64, ok bool) {
	l, d = m.scaled()
	if !linalg.Cholesky(l.v, l.n) {
		return l, d, false
	}
	for i := range l.n {
		if x := l.at(i, i); !(x*x > leastPivot) {
			return l, d, false
		}
	}
	return l, d, true
}

// solved replaces b by m⁻¹b, by factor and scales of m.
func (l matrix) solved(d, b []float64) {
	for i := range b {
		b[i] *= d[i]
	}
	linalg.Forward(l.v, l.n, b)
	linalg.Backward(l.v, l.n, b)
	for i := range b {
		b[i] *= d[i]
	}
}

// solve is m⁻¹b.
func (m matrix) solve(b []float64) ([]float64, bool) {
	l, d, ok := m.factor()
	if !ok {
		return nil, false
	}
	x := append([]float64(nil), b...)
	l.solved(d, x)
	return x, true
}

func (m matrix) inverse() (matrix, bool) {
	out := newMatrix(m.n)
	l, d, ok := m.factor()
	if !ok {
		return out, false
	}
	e := make([]float64, m.n)
	for j := range m.n {
		clear(e)
		e[j] = 1
		l.solved(d, e)
		for i := range e {
			out.v[i*m.n+j] = e[i]
		}
	}
	return out, true
}

// quad is gᵀ m g.
func (m matrix) quad(g []float64) float64 {
	s := 0.0
	for i := range m.n {
		for j := range m.n {
			s += g[i] * m.at(i, j) * g[j]
		}
	}
	return s
}
