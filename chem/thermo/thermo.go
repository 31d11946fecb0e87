// Package thermo is how constants go with temperature: those of any reaction by its heat, and
// those of water and of carbon dioxide in it. Temperatures are in kelvin, meant for 0–60 °C.
package thermo

import "math"

// GasConstant is R in J/(mol K), exact by the 2019 definition of the SI.
const GasConstant = 8.31446261815324

// Ref is 25 °C in kelvin, the temperature at which constants are tabulated.
const Ref = 298.15

// Zero is 0 °C in kelvin.
const Zero = 273.15

// Law is −log10 of a constant and how it goes with temperature: by ΔG = ΔH − TΔS with a
// constant ΔCp, or by the coefficients of a fit.
type Law struct {
	PK  float64 // at 25 °C
	DH  float64 // kJ/mol, there
	DCp float64 // J/(mol K)
	// Fit, when set, replaces them: a..e of log10 K = a + bT + c/T + d log10 T + e/T².
	Fit *[5]float64
}

// At is −log10 of the constant.
func (l Law) At(kelvin float64) float64 {
	if c := l.Fit; c != nil {
		return -(c[0] + c[1]*kelvin + c[2]/kelvin + c[3]*math.Log10(kelvin) + c[4]/(kelvin*kelvin))
	}
	lnRatio := -l.DH * 1000 / GasConstant * (1/kelvin - 1/Ref)
	lnRatio += l.DCp / GasConstant * (Ref/kelvin - 1 + math.Log(kelvin/Ref))
	return l.PK - lnRatio/math.Ln10
}

// Ln is ln of the constant.
func (l Law) Ln(kelvin float64) float64 { return -math.Ln10 * l.At(kelvin) }
