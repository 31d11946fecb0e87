package chem

import (
	"math"

	"example.org/halfdrop/chem/pitzer"
)

// water is the ionization of water, molal scale.
//
// pK 13.995 at 25 °C from the table after Marshall & Franck, J. Phys. Chem.
// Ref. Data 10, 295 (1981); ΔH 55.815 kJ/mol from memory (Goldberg, Kishore &
// Lennen 2002) and ΔCp −224 J/(mol K) fitted to that table, which the three
// reproduce within 0.003 from 0 to 60 °C.
var water = Step{PK: 13.995, DH: 55.815, DCp: -224}

// WaterPK is pKw at t on the molal scale and zero ionic strength, 0–60 °C.
func WaterPK(t Celsius) float64 { return water.PKAt(t) }

// WaterDensity is the density of air-free water in kg/L, 0–60 °C.
//
// Form of Tanaka et al., Metrologia 38, 301 (2001), coefficients from memory;
// within 0.004 kg/m³ of handbook values from 0 to 30 °C and 0.02 low at 60 °C.
func WaterDensity(t Celsius) float64 {
	x := float64(t)
	d := x - 3.983035
	return 0.99997495 * (1 - d*d*(x+301.797)/(522528.9*(x+69.34881)))
}

// permittivity is the relative permittivity of water at 1 bar.
//
// D. J. Bradley & K. S. Pitzer, J. Phys. Chem. 83, 1599 (1979), their nine
// coefficients from memory; a table computed from a seen copy of them is met
// to its last digit (chem tests), and the fit rests on more measurements, and
// holds over more temperatures, than the polynomial of Malmberg & Maryott
// (1956) or the older table of Manov et al. With it A is 0.5100 at 25 °C; the
// other two give 0.5108 and 0.5085, which shifts no primary standard by 0.002.
func permittivity(t Celsius) float64 {
	T := t.Kelvin()
	d1000 := 3.4279e2 * math.Exp(-5.0866e-3*T+9.4690e-7*T*T)
	c := -2.0525 + 3.1159e3/(T-1.8289e2)
	b := -8.0325e3 + 4.2142e6/T + 2.1417*T
	return d1000 + c*math.Log((b+1)/(b+1000))
}

// DebyeHuckelA is the limiting slope A for log10 γ, in kg^½ mol^−½, at t:
// A = 1.8248e6 ρ^½ (εT)^−1.5 with ρ in kg/L.
func DebyeHuckelA(t Celsius) float64 {
	return 1.8248e6 * math.Sqrt(WaterDensity(t)) / math.Pow(permittivity(t)*t.Kelvin(), 1.5)
}

// henryLaw is log10 of Henry's constant of CO₂ in mol/(kg atm): Plummer &
// Busenberg, Geochim. Cosmochim. Acta 46, 1011 (1982), 0–90 °C.
var henryLaw = Step{Law: &[5]float64{108.3865, 0.01985076, -6919.53, -40.45154, 669365}}

// HenryPK is −log10 of Henry's constant of CO₂, in mol/(kg atm), at t.
func HenryPK(t Celsius) float64 { return henryLaw.PKAt(t) }

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

// carbonicLaws are log10 K₁ and log10 K₂ of carbonic acid: L. N. Plummer &
// E. Busenberg, Geochim. Cosmochim. Acta 46, 1011 (1982), 0–90 °C, preferred to
// a constant ΔCp, which is 0.007 off at 0 and at 60 °C.
var carbonicLaws = [2][5]float64{
	{-356.3094, -0.06091964, 21834.37, 126.8339, -1684915},
	{-107.8871, -0.03252849, 5151.79, 38.92561, -563713.9},
}

// CarbonicLaw is the law of the first or second step of carbonic acid, for
// Step.Law; step is 1 or 2.
func CarbonicLaw(step int) *[5]float64 {
	c := carbonicLaws[step-1]
	return &c
}

// carbonate is the name of the system that air exchanges.
const carbonate = "carbonate"

// open prepares the gas phase and takes a carbonate system out of the balance.
func (m *Model) open() {
	if !(m.pco2 > 0) {
		return
	}
	k := func(i int) float64 { return math.Pow(10, -Step{Law: &carbonicLaws[i]}.PKAt(m.temp)) }
	m.air.a1 = m.pco2 * math.Pow(10, -HenryPK(m.temp)) * k(0)
	m.air.a2 = m.air.a1 * k(1)
	m.air.hco3, m.air.co3 = m.act.Local(pitzer.Ions().ByName["HCO3"]), m.act.Local(pitzer.Ions().ByName["CO3"])
	for i, s := range m.sys {
		m.row[i].gas = s.Name == carbonate
	}
}
