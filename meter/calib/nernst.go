package calib

import (
	"math"

	"example.org/halfdrop/chem"
)

// Constants of CODATA 2018, exact since the SI of 2019: J/(mol K) and C/mol.
const (
	gasConstant     = 8.314462618
	faradayConstant = 96485.33212
	ln10            = 2.302585092994046
	kelvin          = 273.15
)

// NernstSlope is the slope of an ideal electrode, mV per pH: ln10·RT/F,
// 59.16 mV at 25 °C and 0.1984 mV more for each °C (USP <791>).
func NernstSlope(t chem.Celsius) float64 {
	return 1e3 * ln10 * gasConstant * (float64(t) + kelvin) / faradayConstant
}

// IdealPH is the pH that an ideal electrode would have at a potential, mV.
func IdealPH(mv float64, t chem.Celsius) float64 { return 7 - mv/NernstSlope(t) }

// IdealMV is the potential of an ideal electrode, mV.
func IdealMV(ph float64, t chem.Celsius) float64 { return -NernstSlope(t) * (ph - 7) }

// UncalibratedPH is the pH of mV from a meter that nobody calibrated: IdealPH, at 25 °C
// where the temperature is not known (NaN).
func UncalibratedPH(mv float64, t chem.Celsius) float64 {
	if math.IsNaN(float64(t)) {
		t = 25
	}
	return IdealPH(mv, t)
}
