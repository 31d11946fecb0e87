package belief

import (
	"math"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/coach/account"
)

// common is what the fits of all accounts share.
type common struct {
	media []chem.Medium // at the readings, to start from
	alike []float64     // how alike the curve's errors are at two readings, n×n
}

func newCommon(obs []account.Observation) *common {
	n := len(obs)
	c := &common{media: make([]chem.Medium, n), alike: make([]float64, n*n)}
	for i := range obs {
		for j := range i + 1 {
			c.alike[i*n+j] = alike(obs[i].PH, obs[j].PH)
		}
	}
	return c
}

// alike falls from 1 with the distance of two pH.
func alike(a, b float64) float64 {
	d := (a - b) / bendLength
	return math.Exp(-d * d / 2)
}

// Spreads of what a meter shows away from the aim (design figures, a choice of this project).
const (
	slopeSD    = 0.012 // pH per pH away from the aim: meter slope
	bendSD     = 0.008 // pH, error of the curve's shape far from the aim
	bendLength = 0.8   // pH, over which that error is the same
)

// bend is the covariance of the errors of the pH scale at two readings,
// relative to its error at the aim: slope of the meter and shape of the curve.
type bend struct {
	com   *common
	off   []float64 // readings minus aim
	toAim []float64
}

func newBend(obs []account.Observation, com *common, aim float64) bend {
	b := bend{com: com, off: make([]float64, len(obs)), toAim: make([]float64, len(obs))}
	b.see(obs, aim)
	return b
}

func (b *bend) see(obs []account.Observation, aim float64) {
	for i, o := range obs {
		b.off[i], b.toAim[i] = o.PH-aim, alike(o.PH, aim)
	}
}

// at is the covariance for readings i and j ≤ i.
func (b *bend) at(i, j int) float64 {
	return slopeSD*slopeSD*b.off[i]*b.off[j] +
		bendSD*bendSD*(b.com.alike[i*len(b.off)+j]-b.toAim[i]-b.toAim[j]+1)
}
