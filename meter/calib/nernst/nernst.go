// Package nernst is the ideal electrode: its slope by the Nernst equation, and what it shows.
package nernst

import (
	"math"

	"example.org/halfdrop/chem"
)

// Constants of CODATA 2018, exact since the SI of 2019: J/(mol K) and C/mol.
const (
	gasConstant     = 8.314462618
	faradayConstant = 96485.33212
)

// Slope is the slope of an ideal electrode, mV per pH: ln10·RT/F,
// 59.16 mV at 25 °C and 0.1984 mV more for each °C (USP <791>).
func Slope(t chem.Celsius) float64 {
	return 1e3 * math.Ln10 * gasConstant * t.Kelvin() / faradayConstant
}

// PH is the pH that an ideal electrode would have at a potential, mV.
func PH(mv float64, t chem.Celsius) float64 { return 7 - mv/Slope(t) }

// MV is the potential of an ideal electrode, mV.
func MV(ph float64, t chem.Celsius) float64 { return -Slope(t) * (ph - 7) }

// UncalibratedPH is the pH of mV from a meter that nobody calibrated: IdealPH, at 25 °C
// where the temperature is not known (NaN).
func UncalibratedPH(mv float64, t chem.Celsius) float64 {
	if math.IsNaN(float64(t)) {
		t = 25
	}
	return PH(mv, t)
}
