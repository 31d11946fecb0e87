package thermo

import "math"

// water is the ionization of water, molal scale.
//
// pK 13.995 at 25 °C from the table after Marshall & Franck, J. Phys. Chem.
// Ref. Data 10, 295 (1981); ΔH 55.815 kJ/mol from memory (Goldberg, Kishore &
// Lennen 2002) and ΔCp −224 J/(mol K) fitted to that table, which the three
// reproduce within 0.003 from 0 to 60 °C.
var water = Law{PK: 13.995, DH: 55.815, DCp: -224}

// WaterPK is pKw on the molal scale and zero ionic strength.
func WaterPK(kelvin float64) float64 { return water.At(kelvin) }

// WaterDensity is the density of air-free water in kg/L.
//
// Form of Tanaka et al., Metrologia 38, 301 (2001), coefficients from memory;
// within 0.004 kg/m³ of handbook values from 0 to 30 °C and 0.02 low at 60 °C.
func WaterDensity(kelvin float64) float64 {
	x := kelvin - Zero
	d := x - 3.983035
	return 0.99997495 * (1 - d*d*(x+301.797)/(522528.9*(x+69.34881)))
}

// permittivity is the relative permittivity of water at 1 bar.
//
// D. J. Bradley & K. S. Pitzer, J. Phys. Chem. 83, 1599 (1979), their nine
// coefficients from memory; a table computed from a seen copy of them is met
// to its last digit (the tests), and the fit rests on more measurements, and
// holds over more temperatures, than the polynomial of Malmberg & Maryott
// (1956) or the older table of Manov et al. With it A is 0.5100 at 25 °C; the
// other two give 0.5108 and 0.5085, which shifts no primary standard by 0.002.
func permittivity(T float64) float64 {
	d1000 := 3.4279e2 * math.Exp(-5.0866e-3*T+9.4690e-7*T*T)
	c := -2.0525 + 3.1159e3/(T-1.8289e2)
	b := -8.0325e3 + 4.2142e6/T + 2.1417*T
	return d1000 + c*math.Log((b+1)/(b+1000))
}

// DebyeHuckelA is the limiting slope A for log10 γ, in kg^½ mol^−½:
// A = 1.8248e6 ρ^½ (εT)^−1.5 with ρ in kg/L.
func DebyeHuckelA(kelvin float64) float64 {
	return 1.8248e6 * math.Sqrt(WaterDensity(kelvin)) / math.Pow(permittivity(kelvin)*kelvin, 1.5)
}

// henryLaw is log10 of Henry's constant of CO₂ in mol/(kg atm): Plummer &
// Busenberg, Geochim. Cosmochim. Acta 46, 1011 (1982), 0–90 °C.
var henryLaw = Law{Fit: &[5]float64{108.3865, 0.01985076, -6919.53, -40.45154, 669365}}

// HenryPK is −log10 of Henry's constant of CO₂, in mol/(kg atm).
func HenryPK(kelvin float64) float64 { return henryLaw.At(kelvin) }

// carbonicLaws are log10 K₁ and log10 K₂ of carbonic acid: L. N. Plummer &
// E. Busenberg, Geochim. Cosmochim. Acta 46, 1011 (1982), 0–90 °C, preferred to
// a constant ΔCp, which is 0.007 off at 0 and at 60 °C.
var carbonicLaws = [2][5]float64{
	{-356.3094, -0.06091964, 21834.37, 126.8339, -1684915},
	{-107.8871, -0.03252849, 5151.79, 38.92561, -563713.9},
}

// CarbonicLaw are the coefficients of the first or second step of carbonic acid, for
// Law.Fit; step is 1 or 2.
func CarbonicLaw(step int) *[5]float64 {
	c := carbonicLaws[step-1]
	return &c
}
