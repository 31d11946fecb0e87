package calib

import (
	"math"

	"example.org/halfdrop/chem/linalg"
)

// Account is what is thought of slope and offset of an electrode: a normal
// distribution of both, and how likely the account is among others.
type Account struct {
	weight           float64
	slope, slopeSD   float64 // share of the ideal
	offset, offsetSD float64 // mV
}

// Unseen are accounts of an electrode of which nothing is known: most are sound,
// some are worn, few are poor. A choice of this project on figures of guides: a
// new one has more than 95 % and ±12 mV, one is to be replaced below 85 to 91 % or
// beyond ±20 to ±30 mV (seen).
var Unseen = []Account{
	{0.62, 0.985, 0.013, 0, 9},
	{0.30, 0.940, 0.030, 0, 18},
	{0.08, 0.850, 0.080, 0, 35},
}

// Itself are accounts of a meter that sends pH and calibrates itself.
var Itself = []Account{
	{0.80, 1.000, 0.010, 0, 2.5},
	{0.20, 1.000, 0.040, 0, 12},
}

// Foretold is the potential, mV, that an electrode should have in a liquid, and
// its spread, seen from what it showed in others: the mean over the accounts.
func Foretold(accounts []Account, points []Point, x float64) (mv, sd float64) {
	most := math.Inf(-1)
	type one struct{ w, mv, v float64 }
	var all []one
	for _, a := range accounts {
		w, m, v := a.foretell(points, x)
		all = append(all, one{w, m, v})
		most = math.Max(most, w)
	}
	sum, square := 0.0, 0.0
	for _, o := range all {
		w := math.Exp(o.w - most)
		sum, mv, square = sum+w, mv+w*o.mv, square+w*(o.v+o.mv*o.mv)
	}
	mv /= sum
	return mv, math.Sqrt(math.Max(square/sum-mv*mv, 0))
}

// foretell is the same for one account, with the logarithm of its weight.
func (a Account) foretell(points []Point, x float64) (logW, mv, variance float64) {
	n := len(points)
	c := covariance(points)
	cross := make([]float64, n)
	r := make([]float64, n)
	vs, vo := a.slopeSD*a.slopeSD, a.offsetSD*a.offsetSD
	for i, p := range points {
		xi, yi := p.coordinates()
		r[i] = yi - a.offset - a.slope*xi
		cross[i] = vo + vs*x*xi
		for j, q := range points {
			xj, _ := q.coordinates()
			c[i][j] += vo + vs*xi*xj
		}
	}
	mv, variance = a.offset+a.slope*x, vo+vs*x*x
	logW = math.Log(a.weight)
	if n == 0 {
		return logW, mv, variance
	}
	w, lnDet := inverse(c)
	mv += linalg.Form(cross, w, r)
	variance -= linalg.Form(cross, w, cross)
	return logW - (lnDet+linalg.Form(r, w, r))/2, mv, math.Max(variance, 0)
}
