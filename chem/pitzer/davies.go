package pitzer

import "math"

// DaviesLimit is the ionic strength, mol/kg, above which the Davies term is
// held at its value there: the equation turns over at 0.395 and would make
// every ion more active than in pure water above 1.9.
const DaviesLimit = 0.5

// Davies is √I/(1+√I) − 0.3 I, held above DaviesLimit: C. W. Davies, Ion
// Association (Butterworths, 1962), with his later 0.3.
func Davies(strength float64) float64 {
	i := math.Min(math.Max(strength, 0), DaviesLimit)
	r := math.Sqrt(i)
	return r/(1+r) - 0.3*i
}
