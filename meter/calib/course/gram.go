package course

import (
	"math"

	"example.org/halfdrop/chem/linalg"
)

// gram is what is left of the sums of products of each dip when its own columns
// are integrated out.
type gram struct {
	xx     [MaxDips][2][2]float64 // of end value and late part
	xy     [MaxDips][2]float64
	yy     float64
	n      float64 // bins
	logDet float64
}

// decays are the exponentials of a time constant at all bins, dip after dip.
func decays(dips []Dip, tau float64) (out []float64) {
	for i := range dips {
		for _, b := range dips[i].Bins {
			out = append(out, math.Exp(-b.T/tau))
		}
	}
	return out
}

func gramOf(dips []Dip, fast float64, quick, film, late []float64) (g gram) {
	at := 0
	for i := range dips {
		var a [columns + 1][columns + 1]float64 // the last row is that of the readings
		for _, b := range dips[i].Bins {
			row := [columns + 1]float64{quick[at], b.T / fast * quick[at], film[at], 1, late[at], b.Y}
			at++
			for j := range row {
				for k := 0; k <= j; k++ {
					a[j][k] += b.N * row[j] * row[k]
				}
			}
			g.n++ // what comes within a second is not independent
		}
		way := dips[i].Came() + 1
		for j, sd := range [own]float64{wide, bent * way, filmPart * way} {
			a[j][j] += noiseGuess * noiseGuess / (sd * sd) // its weight is the same in all cells as well
		}
		det := 1.0
		for j := range own { // Schur complement, a column at a time
			det *= a[j][j]
			for k := j + 1; k <= columns; k++ {
				f := a[k][j] / a[j][j]
				for l := j + 1; l <= k; l++ {
					a[k][l] -= f * a[l][j]
				}
			}
		}
		g.logDet -= math.Log(det)
		g.xx[i] = [2][2]float64{{a[colEnd][colEnd], a[colLate][colEnd]}, {a[colLate][colEnd], a[colLate][colLate]}}
		g.xy[i] = [2]float64{a[columns][colEnd], a[columns][colLate]}
		g.yy += a[columns][columns]
	}
	return g
}

// cellFit is the regression of one cell.
type cellFit struct {
	prior, logW float64
	fast, share float64
	noise       float64 // mV²
	mv, left    [MaxDips]float64
	cov         [MaxDips][MaxDips]float64
}

// most is the number of unknowns that are bound to each other: the end values,
// where the late part stood at first, and what the electrode met before each
// further dip.
const most = 2 * MaxDips

type vector [most]float64

// bound is the normal equation of a cell.
type bound struct {
	size  int
	a     [most * most]float64 // row by row, the lower triangle
	rhs   vector
	lacks [MaxDips]vector // what the late part lacks at the start of each dip, in the unknowns
}

// bind ties the dips to each other by the late part, a share with a time constant.
func (g *gram) bind(dips []Dip, late, share float64) (s bound) {
	n := len(dips)
	s.size = 2 * n
	var stand vector // where the late part stands
	stand[n] = 1
	goOn := func(lasts float64, to int) { // what it comes nearer to for so long
		f := math.Exp(-lasts / late)
		for j := range s.size {
			stand[j] *= f
		}
		stand[to] += 1 - f
	}
	for i := range dips {
		if i > 0 {
			goOn(dips[i].Gap, n+i)
		}
		row := &s.lacks[i]
		for j := range s.size {
			row[j] = share * stand[j]
		}
		row[i] -= share
		goOn(dips[i].lasts(), i)
		s.add(i, g.xx[i], g.xy[i])
	}
	for i := range s.size {
		sd := wide
		if i > n {
			sd = rinseSD
		}
		s.a[i*s.size+i] += noiseGuess * noiseGuess / (sd * sd) // the same in all cells, so that its weight is left out
	}
	return s
}

// add adds the sums of products of a dip.
func (s *bound) add(i int, xx [2][2]float64, xy [2]float64) {
	row := &s.lacks[i]
	for u := range s.size {
		end := 0.0
		if u == i {
			end = 1
		}
		if row[u] == 0 && end == 0 {
			continue
		}
		s.rhs[u] += end*xy[0] + row[u]*xy[1]
		for v := 0; v <= u; v++ {
			endV := 0.0
			if v == i {
				endV = 1
			}
			s.a[u*s.size+v] += end*endV*xx[0][0] + (end*row[v]+endV*row[u])*xx[0][1] + row[u]*row[v]*xx[1][1]
		}
	}
}

// solve is the regression of a cell. It is false, and not carried through, when
// the logarithm of its weight is below the least that counts.
func (g *gram) solve(dips []Dip, late float64, c *cellFit, least float64) bool {
	s := g.bind(dips, late, c.share)
	l := s.a[:s.size*s.size]
	if !linalg.Cholesky(l, s.size) {
		return false
	}
	solved := func(b vector) vector {
		linalg.Forward(l, s.size, b[:s.size])
		linalg.Backward(l, s.size, b[:s.size])
		return b
	}
	x := solved(s.rhs)
	rss := g.yy - linalg.Dot(x[:s.size], s.rhs[:s.size])
	shape := noiseFirm + g.n/2
	scale := noiseFirm*noiseGuess*noiseGuess + max(rss, 0)/2
	c.noise, c.logW = scale/shape, c.prior+tempered*((g.logDet-logDet(l, s.size))/2-shape*math.Log(scale))
	if c.logW < least {
		return false
	}
	for i := range dips {
		var unit vector
		unit[i] = 1
		z := solved(unit)
		for j := range dips {
			c.cov[i][j] = c.noise * z[j]
		}
		c.mv[i] = x[i]
		c.left[i] = linalg.Dot(s.lacks[i][:s.size], x[:s.size]) * math.Exp(-dips[i].lasts()/late)
	}
	return true
}

// logDet is the logarithm of the determinant of a matrix by its Cholesky factor.
func logDet(l []float64, n int) (sum float64) {
	det := 1.0
	for i := range n {
		if det *= l[i*n+i]; i%3 == 2 { // no more at a time, lest it run over
			sum, det = sum+2*math.Log(det), 1
		}
	}
	return sum + 2*math.Log(det)
}
