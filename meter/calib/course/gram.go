package course

import (
	"math"
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

// solve is the regression of a cell. It is false, and not carried through, when
// the logarithm of its weight is below the least that counts.
func (g *gram) solve(dips []Dip, late float64, c *cellFit, least float64) bool {
	n, share := len(dips), c.share
	size := 2 * n
	var a [most]vector
	var rhs vector
	var lacks [MaxDips]vector // what the late part lacks at the start of each dip, in the unknowns
	var stand vector          // where it stands
	stand[n] = 1
	for i := range dips {
		if i > 0 {
			f := math.Exp(-dips[i].Gap / late)
			for j := range size {
				stand[j] *= f
			}
			stand[n+i] += 1 - f
		}
		row := &lacks[i]
		for j := range size {
			row[j] = share * stand[j]
		}
		row[i] -= share
		f := math.Exp(-dips[i].Lasts() / late)
		for j := range size {
			stand[j] *= f
		}
		stand[i] += 1 - f

		x := &g.xx[i]
		for u := range size {
			end := 0.0
			if u == i {
				end = 1
			}
			if row[u] == 0 && end == 0 {
				continue
			}
			rhs[u] += end*g.xy[i][0] + row[u]*g.xy[i][1]
			for v := 0; v <= u; v++ {
				endV := 0.0
				if v == i {
					endV = 1
				}
				a[u][v] += end*endV*x[0][0] + (end*row[v]+endV*row[u])*x[0][1] + row[u]*row[v]*x[1][1]
			}
		}
	}
	for i := range size {
		sd := wide
		if i > n {
			sd = rinseSD
		}
		a[i][i] += noiseGuess * noiseGuess / (sd * sd) // the same in all cells, so that its weight is left out
	}
	logDet := g.logDet - cholesky(&a, size)
	x := solved(&a, rhs, size)
	rss := g.yy
	for i := range size {
		rss -= x[i] * rhs[i]
	}
	shape := noiseFirm + g.n/2
	scale := noiseFirm*noiseGuess*noiseGuess + max(rss, 0)/2
	c.noise, c.logW = scale/shape, c.prior+tempered*(logDet/2-shape*math.Log(scale))
	if c.logW < least {
		return false
	}
	for i := range n {
		var unit vector
		unit[i] = 1
		z := solved(&a, unit, size)
		for j := range n {
			c.cov[i][j] = c.noise * z[j]
		}
		c.mv[i] = x[i]
		for j := range size {
			c.left[i] += lacks[i][j] * x[j]
		}
		c.left[i] *= math.Exp(-dips[i].Lasts() / late)
	}
	return true
}

// cholesky replaces the lower half of a by its factor and gives the logarithm
// of the determinant.
func cholesky(a *[most]vector, n int) (logDet float64) {
	det := 1.0
	for i := range n {
		for j := 0; j <= i; j++ {
			s := a[i][j]
			for k := range j {
				s -= a[i][k] * a[j][k]
			}
			if i == j {
				a[i][i] = math.Sqrt(max(s, 1e-12))
				if det *= a[i][i]; i%3 == 2 { // no more at a time, lest it run over
					logDet, det = logDet+2*math.Log(det), 1
				}
			} else {
				a[i][j] = s / a[j][j]
			}
		}
	}
	return logDet + 2*math.Log(det)
}

// solved is the solution of a system with the factor l.
func solved(l *[most]vector, b vector, n int) vector {
	for i := range n {
		for k := range i {
			b[i] -= l[i][k] * b[k]
		}
		b[i] /= l[i][i]
	}
	for i := n - 1; i >= 0; i-- {
		for k := i + 1; k < n; k++ {
			b[i] -= l[k][i] * b[k]
		}
		b[i] /= l[i][i]
	}
	return b
}
