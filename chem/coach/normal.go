package coach

import "math"

// phi is the standard normal distribution function.
func phi(z float64) float64 { return 0.5 * math.Erfc(-z/math.Sqrt2) }

// nearPhi is phi to 2e-9, for sums over many z: a cubic between points at which value and
// slope are known (Hermite). Beyond the last point it is 0 or 1, 1e-11 off.
func nearPhi(z float64) float64 {
	x := (z + phiReach) * phiPerUnit
	switch {
	case x >= phiPoints-1:
		return 1
	case !(x > 0):
		return 0
	}
	i := int(x)
	a, b, t := &phiTable[i], &phiTable[i+1], x-float64(i)
	rise := b.value - a.value
	return a.value + t*(a.step+t*(3*rise-2*a.step-b.step+t*(a.step+b.step-2*rise)))
}

// The table of nearPhi: how far it reaches to both sides, and its points.
const (
	phiReach   = 6.75
	phiPerUnit = 32
	phiPoints  = 2*phiReach*phiPerUnit + 1
)

// phiPoint is the function at a point, and its slope by the way to the next.
type phiPoint struct{ value, step float64 }

var phiTable = func() (table [phiPoints]phiPoint) {
	for i := range table {
		z := float64(i)/phiPerUnit - phiReach
		table[i] = phiPoint{phi(z), math.Exp(-z*z/2) / math.Sqrt(2*math.Pi) / phiPerUnit}
	}
	return table
}()
