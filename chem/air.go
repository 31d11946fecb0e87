package chem

import (
	"math"

	"example.org/halfdrop/chem/pitzer"
	"example.org/halfdrop/chem/thermo"
)

// AmbientCO2 is the partial pressure of carbon dioxide in outdoor air, in atm:
// 420 ppm of dry air, the global mean of 2023 from memory. Rooms hold more.
const AmbientCO2 = 4.2e-4

// OpenToAir holds the solution in equilibrium with air of the given partial
// pressure of carbon dioxide in atm. Carbonate put into the solution then
// counts only through its counter-ions: the gas decides how much stays.
func OpenToAir(pco2 float64) Option {
	return func(m *Model) { m.pco2 = pco2 }
}

// air is what the gas fixes: a(HCO₃⁻) = a1 a(H₂O)/h and a(CO₃²⁻) = a2 a(H₂O)/h².
type air struct {
	a1, a2    float64
	hco3, co3 int // in the activity model
}

// carbonate is the name of the system that air exchanges.
const carbonate = "carbonate"

// open prepares the gas phase and takes a carbonate system out of the balance.
func (m *Model) open() {
	if !(m.pco2 > 0) {
		return
	}
	T := m.temp.Kelvin()
	k := func(step int) float64 { return math.Pow(10, -thermo.Law{Fit: thermo.CarbonicLaw(step)}.At(T)) }
	m.air.a1 = m.pco2 * math.Pow(10, -thermo.HenryPK(T)) * k(1)
	m.air.a2 = m.air.a1 * k(2)
	m.air.hco3, m.air.co3 = m.act.Local(pitzer.Ions().ByName["HCO3"]), m.act.Local(pitzer.Ions().ByName["CO3"])
	for i, s := range m.sys {
		m.row[i].gas = s.Name == carbonate
	}
}
