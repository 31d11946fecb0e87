package chem

import "math"

// daviesLimit is the ionic strength, mol/kg, above which the Davies term is
// held at its value there. The equation turns over at 0.395 and would make
// every ion more active than in pure water above 1.9; nothing of that is
// measured, so beyond its range the model keeps the last value and says so
// with a flag and a wider spread.
const daviesLimit = 0.5

// daviesLast is the Davies term at daviesLimit.
var daviesLast = math.Sqrt(daviesLimit)/(1+math.Sqrt(daviesLimit)) - 0.3*daviesLimit

// davies is √I/(1+√I) − 0.3 I, held above daviesLimit, and its derivative:
// C. W. Davies, Ion Association (Butterworths, 1962), with his later 0.3.
func davies(strength float64) (value, slope float64) {
	switch {
	case strength > daviesLimit:
		return daviesLast, 0
	case !(strength > 1e-12):
		strength = 1e-12 // the derivative is infinite at zero
	}
	r := math.Sqrt(strength)
	q := 1 / (1 + r)
	return r*q - 0.3*strength, 0.5*q*q/r - 0.3
}

// activity is ln G and d ln G/dI, where the activity coefficient of an ion of
// charge z is G^(−z²), so that ln G = ln(10)·A·(Davies term). Neutral species
// and zwitterions (z = 0) have a coefficient of 1.
func (m *Model) activity(strength float64) (lnG, slope float64) {
	if m.ideal {
		return 0, 0
	}
	v, d := davies(strength)
	k := math.Ln10 * m.a
	return k * v, k * d
}

// medium is an ionic strength with what follows from it.
type medium struct {
	strength   float64 // mol/kg
	lnG, slope float64 // of activity
	g          float64
}

func (m *Model) medium(strength float64) medium {
	lnG, slope := m.activity(strength)
	return medium{strength, lnG, slope, math.Exp(lnG)}
}

// Gamma is the activity coefficient of an ion of the given charge number at
// an ionic strength in mol/kg.
func (m *Model) Gamma(charge int, strength float64) float64 {
	lnG, _ := m.activity(strength)
	return math.Exp(-lnG * float64(charge*charge))
}
