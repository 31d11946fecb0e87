package solved_test

import (
	"math"
	"testing"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/solved"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Tables of Gomori (Methods Enzymol. 1, 138 (1955)) are 0.15 to 0.35 off, and a second
// family of measurements settles three of them against him, all from memory:
//   - AMPD: pK 8.801 at 25 °C of H. B. Hetzer & R. G. Bates, J. Phys. Chem. 66, 308 (1962), cells
//     without a junction; half neutralised, 25 mmol/L of its ion, 0.066 more by Davies.
//   - barbital: L. Michaelis, J. Biol. Chem. 87, 33 (1930): mL of 0.1 M sodium salt in 10 with
//     0.1 M HCl, 25 °C, on the scale of Sørensen (0.04 low).
//   - succinate: pK 4.00 and 5.24 as concentrations at I = 0.1 and 25 °C (A. E. Martell & R. M.
//     Smith, Critical Stability Constants); −log γ(H⁺) 0.11 on top.
//
// A fourth, of boric acid and borax, contradicts itself: borax alone reads 9.18 (NBS), with
// boric acid it cannot read the 9.2 of his last row. A fifth, of citric acid and its trisodium
// salt, is 0.3 off every model, and so off the primary standard of citrate.
func TestGomorisTablesBesideASecondFamily(t *testing.T) {
	for _, tc := range []struct {
		mmol                   string
		temp                   chem.Celsius
		gomori, second, within float64
	}{
		{"AMPD 50; HCl 25", 25, 8.72, 8.867, 0.02},
		{"barbital sodium 58.1; HCl 41.9", 25, 7.27, 7.44, 0.05},
		{"barbital sodium 66.2; HCl 33.8", 25, 7.68, 7.84, 0.05},
		{"barbital sodium 76.9; HCl 23.1", 25, 8.10, 8.24, 0.05},
		{"barbital sodium 87.1; HCl 12.9", 25, 8.51, 8.64, 0.05},
		{"succinic acid 5; NaOH 5; NaCl 100", 25, 4.9, 4.73, 0.06},
		{"succinic acid 5; NaOH 7.5; NaCl 93", 25, 5.6, 5.36, 0.06},
	} {
		r, err := solved.Describe(mixed(t, chem.Solution{Volume: chem.Litre, Temp: tc.temp}, tc.mmol))
		require.NoError(t, err)
		assert.InDelta(t, tc.second, r.PH, tc.within, tc.mmol)
		assert.Greater(t, math.Abs(tc.gomori-r.PH), 2*tc.within, tc.mmol)
	}
}

// Approximate pH of acids and bases by their normality at 25 °C (CRC Handbook, from memory),
// printed to 0.1: a further dozen substances, none of which a constant here was taken from.
func TestApproximatePHOfAHandbook(t *testing.T) {
	for mmol, want := range map[string]float64{
		"HCl 100": 1.1, "HCl 10": 2.0, "sulfuric acid 500": 0.3, "sulfuric acid 50": 1.2, "sulfuric acid 5": 2.1, "oxalic acid 50": 1.6,
		"tartaric acid 50": 2.2, "formic acid 100": 2.3, "lactic acid 100": 2.4, "acetic acid 1000": 2.4, "acetic acid 100": 2.9, "acetic acid 10": 3.4,
		"benzoic acid 10": 3.1, "NaOH 10": 12.0, "trisodium phosphate 33.3": 12.0, "ammonia 1000": 11.6, "ammonia 100": 11.1, "ammonia 10": 10.6, "borax 50": 9.2,
	} {
		r, err := solved.Describe(mixed(t, chem.Solution{Volume: chem.Litre, Temp: 25}, mmol))
		require.NoError(t, err, mmol)
		assert.InDelta(t, want, r.PH, 0.1, mmol)
	}
}
