package thermo_test

import (
	"math"
	"os"
	"strconv"
	"testing"

	"example.org/halfdrop/chem/csvrows"
	"example.org/halfdrop/chem/thermo"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// readRows are those of the published table of water and carbonic acid.
func readRows(t *testing.T) [][]string {
	text, err := os.ReadFile("../../testdata/published/water.csv")
	require.NoError(t, err)
	rows, err := csvrows.Read(text, 0)
	require.NoError(t, err)
	return rows
}

func TestWaterAndCarbonicAcidAgainstPublishedTables(t *testing.T) {
	rows := readRows(t)
	for _, r := range rows {
		temp, err := strconv.ParseFloat(r[1], 64)
		require.NoError(t, err)
		want, err := strconv.ParseFloat(r[2], 64)
		require.NoError(t, err)
		at := temp + thermo.Zero
		got, tol := 0.0, 0.0
		switch r[0] {
		case "pkw":
			got, tol = thermo.WaterPK(at), 0.0032
		case "density":
			got, tol = 1000*thermo.WaterDensity(at), 0.03
		case "permittivity":
			got, tol = thermo.Permittivity(at), 0.0051
		case "dh_a":
			got, tol = thermo.DebyeHuckelA(at), 0.00011
		case "pkh":
			got, tol = thermo.HenryPK(at), 0.0001
		case "pk1_carbonic":
			got, tol = thermo.Law{Fit: thermo.CarbonicLaw(1)}.At(at), 0.0001
		case "pk2_carbonic":
			got, tol = thermo.Law{Fit: thermo.CarbonicLaw(2)}.At(at), 0.0001
		default:
			t.Fatalf("no such quantity %q", r[0])
		}
		assert.InDelta(t, want, got, tol, "%s at %s °C (%s)", r[0], r[1], r[3])
	}
}

// Tris by hand: 8.072 at 25 °C and 47.45 kJ/mol (Bates & Hetzer 1961; Goldberg, Kishore & Lennen
// 2002) give d pK/dT = −47450/(R ln 10 · 298.15²) = −0.0279 per °C there, and by van 't Hoff's
// law 8.072 + 47450/(R ln 10) · (1/278.15 − 1/298.15) = 8.670 at 5 °C.
func TestAConstantGoesWithTemperatureByItsHeat(t *testing.T) {
	tris := thermo.Law{PK: 8.072, DH: 47.45}
	assert.InDelta(t, 8.072, tris.At(thermo.Ref), 1e-12)
	assert.InDelta(t, 8.670, tris.At(278.15), 0.001)
	assert.InDelta(t, -0.0279, tris.At(thermo.Ref+0.5)-tris.At(thermo.Ref-0.5), 1e-4)
	// ln K of what takes up heat rises: by ΔH/R · (1/T₀ − 1/T).
	assert.InDelta(t, 47450/thermo.GasConstant*(1/thermo.Ref-1/310.15), tris.Ln(310.15)-tris.Ln(thermo.Ref), 1e-9)
	assert.InDelta(t, -8.072*math.Ln10, tris.Ln(thermo.Ref), 1e-9)
}
