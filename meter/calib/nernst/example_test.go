package nernst_test

import (
	"fmt"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/meter/calib/nernst"
)

// The Nernst slope, k = ln 10 · R · T / F. By hand, with the constants of CODATA 2018
// (exact since the SI of 2019):
//
//	2.302585 · 8.314463 J/(mol K) · 298.15 K / 96485.33 C/mol = 0.059160 V
//
// USP <791> has the same as 0.05916 + 0.000198 · (t − 25) V (from memory).
func ExampleSlope() {
	for _, t := range []chem.Celsius{20, 25, 37} {
		usp := 59.16 + 0.198*(float64(t)-25)
		fmt.Printf("at %.0f °C %.2f mV per pH, by the pharmacopoeia %.2f\n", t, nernst.Slope(t), usp)
	}
	// An ideal electrode in the standard 4.01 has to show 59.16 · (7 − 4.01) mV.
	fmt.Printf("%.1f mV\n", nernst.MV(4.01, 25))
	// Output:
	// at 20 °C 58.17 mV per pH, by the pharmacopoeia 58.17
	// at 25 °C 59.16 mV per pH, by the pharmacopoeia 59.16
	// at 37 °C 61.54 mV per pH, by the pharmacopoeia 61.54
	// 176.9 mV
}
