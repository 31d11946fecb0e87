package pitzer

import (
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	"example.org/halfdrop/chem/csvrows"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// How a set shares the salting out of a neutral species between the ions of a
// salt is its convention: with a constant moved from all anions to all cations
// every salt does what it did, those included whose ions have no λ of their own.
func TestSaltingOutIsThatOfSalts(t *testing.T) {
	const moved = 0.25
	tab := Ions()
	shifted := strings.Split(activityCSV, "\n")
	neutrals := map[int]bool{}
	for i, line := range shifted {
		f := strings.Split(line, ",")
		if f[0] != "lambda" || f[2] == "" || tab.Rows[tab.ByName[f[2]]].Charge == 0 {
			continue
		}
		neutrals[tab.ByName[f[1]]] = true
		v, err := strconv.ParseFloat(f[8], 64)
		require.NoError(t, err)
		f[8] = strconv.FormatFloat(v+moved*float64(tab.Rows[tab.ByName[f[2]]].Charge), 'g', -1, 64)
		shifted[i] = strings.Join(f, ",")
	}
	require.Len(t, neutrals, 6)
	p, err := readParameters(strings.Join(shifted, "\n"), tab)
	require.NoError(t, err)
	before := allParameters()
	for n := range neutrals {
		for c := range tab.Rows {
			for a := range tab.Rows {
				if tab.Rows[c].Charge != 1 || tab.Rows[a].Charge != -1 {
					continue
				}
				want := before.pair[n][c].b0.a1 + before.pair[n][a].b0.a1
				got := p.pair[n][c].b0.a1 + p.pair[n][a].b0.a1
				require.InDelta(t, want, got, 1e-12, "%s in %s%s", tab.Rows[n].Name, tab.Rows[c].Name, tab.Rows[a].Name)
			}
		}
	}
	assert.Equal(t, OfItself, before.pair[tab.ByName["B(OH)3"]][tab.ByName["Cl"]].from)
	assert.Equal(t, OfClass, before.pair[tab.ByName["B(OH)3"]][tab.ByName["ClO4"]].from, "said to be of a class")
}

// The mean coefficients of testdata/published/strong_buffers.csv, of salts and
// of a trace of HCl in a salt, within 0.01.
func TestPublishedMeanCoefficients(t *testing.T) {
	text, err := os.ReadFile("../../testdata/published/strong_buffers.csv")
	require.NoError(t, err)
	rows, err := csvrows.Read(text, 0)
	require.NoError(t, err)
	parts := map[string][2]string{
		"HCl": {"H", "Cl"}, "NaCl": {"Na", "Cl"}, "KCl": {"K", "Cl"}, "NaOH": {"Na", "OH"}, "NaH2PO4": {"Na", "H2PO4"},
		"KH2PO4": {"K", "H2PO4"}, "NaOAc": {"Na", "acetate"}, "KOAc": {"K", "acetate"},
	}
	n, worst := 0, 0.0
	for _, r := range rows {
		if !strings.HasPrefix(r[4], "log_gamma_pm") {
			continue
		}
		name, amount, _ := strings.Cut(strings.TrimSuffix(r[2], "; HCl trace"), "=")
		m, err := strconv.ParseFloat(strings.TrimSuffix(amount, " m"), 64)
		require.NoError(t, err)
		want, err := strconv.ParseFloat(r[5], 64)
		require.NoError(t, err)
		salt, ok := parts[name]
		require.True(t, ok, r[2])
		of := salt
		if r[4] == "log_gamma_pm HCl" {
			of = parts["HCl"]
		}
		got := meanIn(salt, of, m)
		t.Logf("%s %-22s %+.4f, published %+.4f (%+.4f)", r[0], r[2], got, want, got-want)
		assert.InDelta(t, want, got, 0.01, "%s %s", r[0], r[2])
		n, worst = n+1, math.Max(worst, math.Abs(got-want))
	}
	t.Logf("largest difference %.4f of %d", worst, n)
	assert.Greater(t, n, 15)
}

// meanIn is log10 of the mean coefficient at 25 °C of a salt in m mol/kg of one.
func meanIn(salt, of [2]string, m float64) float64 {
	tab := Ions()
	a := New(Water{298.15, slopeAt(25)}, []int{tab.ByName[salt[0]], tab.ByName[salt[1]], tab.ByName[of[0]], tab.ByName[of[1]]})
	var mol, ln [MaxLocal]float64
	var f Field
	a.salt(&mol, m, map[string]float64{salt[0]: 1, salt[1]: 1})
	a.Coefficients(&f, &mol, &ln, true)
	return (ln[a.Local(tab.ByName[of[0]])] + ln[a.Local(tab.ByName[of[1]])]) / 2 / math.Ln10
}

// What ammonia does to itself by S. L. Clegg & P. Brimblecombe, J. Phys. Chem. 93, 7237 (1989):
// λ = 0.033161 − 21.12816/T + 4665.1461/T² (from memory). Its slope with temperature is that of
// the file in which the law was seen, whose value at 25 °C, 0.04777, is three times this one:
// the buffer of pH 10 for hardness, 8.4 M of ammonia in 1.3 M of its chloride, read 10.8.
func TestAmmoniaBesideItself(t *testing.T) {
	tab := Ions()
	nh3 := tab.ByName["NH3"]
	for _, T := range []float64{283.15, 298.15, 313.15} {
		assert.InDelta(t, 0.033161-21.12816/T+4665.1461/T/T, allParameters().pair[nh3][nh3].b0.at(T), 5e-4, "%g K", T)
	}
}
