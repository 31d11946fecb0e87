package fit

import "math"

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

// cholesky is the lower factor; false when the matrix is not positive.
func (m matrix) cholesky() (matrix, bool) {
	l := newMatrix(m.n)
	for i := range m.n {
		for j := 0; j <= i; j++ {
			s := m.at(i, j)
			for k := range j {
				s -= l.at(i, k) * l.at(j, k)
			}
			if i != j {
				l.v[i*m.n+j] = s / l.at(j, j)
				continue
			}
			if !(s > 1e-14) {
				return l, false
			}
			l.v[i*m.n+i] = math.Sqrt(s)
		}
	}
	return l, true
}

// solve is m⁻¹b.
func (m matrix) solve(b []float64) ([]float64, bool) {
	s, d := m.scaled()
	l, ok := s.cholesky()
	if !ok {
		return nil, false
	}
	x := make([]float64, m.n)
	for i := range x {
		x[i] = b[i] * d[i]
		for k := range i {
			x[i] -= l.at(i, k) * x[k]
		}
		x[i] /= l.at(i, i)
	}
	for i := m.n - 1; i >= 0; i-- {
		for k := i + 1; k < m.n; k++ {
			x[i] -= l.at(k, i) * x[k]
		}
		x[i] /= l.at(i, i)
	}
	for i := range x {
		x[i] *= d[i]
	}
	return x, true
}

func (m matrix) inverse() (matrix, bool) {
	out := newMatrix(m.n)
	for j := range m.n {
		e := make([]float64, m.n)
		e[j] = 1
		x, ok := m.solve(e)
		if !ok {
			return out, false
		}
		for i := range x {
			out.v[i*m.n+j] = x[i]
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
