package chem

import "math"

// water is the ionization of water, molal scale.
//
// pK 13.995 at 25 °C from the table after Marshall & Franck, J. Phys. Chem.
// Ref. Data 10, 295 (1981); ΔH 55.815 kJ/mol from memory (Goldberg, Kishore &
// Lennen 2002) and ΔCp −224 J/(mol K) fitted to that table, which the three
// reproduce within 0.003 from 0 to 60 °C.
var water = Step{PK: 13.995, DH: 55.815, DCp: -224}

// WaterPK is pKw at t on the molal scale and zero ionic strength, 0–60 °C.
func WaterPK(t Celsius) float64 { return water.PKAt(t) }

// waterDensity is the density of air-free water in kg/L.
//
// Form of Tanaka et al., Metrologia 38, 301 (2001), coefficients from memory;
// within 0.004 kg/m³ of handbook values from 0 to 30 °C and 0.02 low at 60 °C.
func waterDensity(t Celsius) float64 {
	x := float64(t)
	d := x - 3.983035
	return 0.99997495 * (1 - d*d*(x+301.797)/(522528.9*(x+69.34881)))
}

// DebyeHuckelA is the limiting slope A for log10 γ, in kg^½ mol^−½, at t.
//
// A = 1.8248e6 ρ^½ (εT)^−1.5 with the relative permittivity of water after
// Malmberg & Maryott, J. Res. NBS 56, 1 (1956) (coefficients from memory).
func DebyeHuckelA(t Celsius) float64 {
	x := float64(t)
	eps := 87.740 - 0.40008*x + 9.398e-4*x*x - 1.410e-6*x*x*x
	return 1.8248e6 * math.Sqrt(waterDensity(t)) / math.Pow(eps*t.Kelvin(), 1.5)
}
