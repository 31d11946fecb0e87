package chem_test

import (
	"strconv"
	"testing"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/table"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestWaterAndCarbonicAcidAgainstPublishedTables(t *testing.T) {
	rows := rowsOf(t, "water.csv")
	carbonate, err := table.System("carbonate")
	require.NoError(t, err)
	for _, r := range rows {
		temp, err := strconv.ParseFloat(r[1], 64)
		require.NoError(t, err)
		want, err := strconv.ParseFloat(r[2], 64)
		require.NoError(t, err)
		at := chem.Celsius(temp)
		got, tol := 0.0, 0.0
		switch r[0] {
		case "pkw":
			got, tol = chem.WaterPK(at), 0.0032
		case "density":
			got, tol = 1000*chem.WaterDensity(at), 0.03
		case "permittivity":
			got, tol = chem.Permittivity(at), 0.0051
		case "dh_a":
			got, tol = chem.DebyeHuckelA(at), 0.00011
		case "pkh":
			got, tol = chem.HenryPK(at), 0.0001
		case "pk1_carbonic":
			got, tol = carbonate.Steps[0].PKAt(at), 0.0001
		case "pk2_carbonic":
			got, tol = carbonate.Steps[1].PKAt(at), 0.0001
		default:
			t.Fatalf("no such quantity %q", r[0])
		}
		assert.InDelta(t, want, got, tol, "%s at %s °C (%s)", r[0], r[1], r[3])
	}
}
