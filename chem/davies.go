package chem

import "math"

// daviesLimit is the ionic strength, mol/kg, above which the Davies term is
// held at its value there: the equation turns over at 0.395 and would make
// every ion more active than in pure water above 1.9.
const daviesLimit = 0.5

// davies is √I/(1+√I) − 0.3 I, held above daviesLimit: C. W. Davies, Ion
// Association (Butterworths, 1962), with his later 0.3.
func davies(strength float64) float64 {
	i := math.Min(math.Max(strength, 0), daviesLimit)
	r := math.Sqrt(i)
	return r/(1+r) - 0.3*i
}

// daviesLnG is ln γ of an ion of one charge at an ionic strength in mol/kg;
// one of charge z has z² times as much.
func (m *Model) daviesLnG(strength float64) float64 {
	return -math.Ln10 * m.a * davies(strength)
}
