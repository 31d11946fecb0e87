package pitzer

import (
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What the class of an ion says in place of a pair's own parameters is off by what chem/solved
// counts for it, in log10 γ per mol/kg beyond the 0.1 to which a pK was led down: classSingle
// 0.10, classDouble 0.12, classMany 0.35. Every measured pair is taken out of the table in turn,
// and its own parameters are compared with those that its class then gives. Of a normal
// distribution 32 in a hundred are beyond one spread and 5 beyond two; some pairs are far off,
// for a complex holds in another place of the tables what attracts them (magnesium sulfate).
// The figure of two charges was chosen by every second pair; before, it was 0.20, which 4 in 36
// exceeded. Of three charges there are too few for halves: five pairs, of which none is a copy.
func TestClassesMissAsMuchAsIsCounted(t *testing.T) {
	ions, full := Ions(), allParameters()
	lines := strings.Split(activityCSV, "\n")
	g := func(x float64) float64 { return 2 * (1 - (1+x)*math.Exp(-x)) / (x * x) }
	at := func(x pairLaw, i float64) float64 {
		const room = 298.15
		return i * 2 * (x.b0.at(room) + x.b1.at(room)*g(2*math.Sqrt(i)) + i*x.c.at(room)) / math.Ln10
	}
	counted := []float64{1: 0.10, 2: 0.12, 3: 0.35}
	misses := make(map[[2]int][]float64) // by the larger charge, and the half
	n := 0
	for k, l := range lines {
		f := strings.Split(l, ",")
		if f[0] != "ca" {
			continue
		}
		i, j := ions.ByName[f[1]], ions.ByName[f[2]]
		rest, err := readParameters(strings.Join(slices.Delete(slices.Clone(lines), k, k+1), "\n"), ions)
		require.NoError(t, err)
		own, class := full.pair[i][j], rest.pair[i][j]
		d := (at(own, 1) - at(class, 1) - (at(own, 0.1) - at(class, 0.1))) / 0.9
		if class.from != OfClass || math.Abs(d) < 1e-6 {
			continue // a class of its own, or a copy
		}
		z := min(3, int(max(ions.Rows[i].Charge, -ions.Rows[j].Charge)))
		half := n % 2
		if n++; z == 3 {
			half = 0
		}
		misses[[2]int{z, half}] = append(misses[[2]int{z, half}], math.Abs(d)/counted[z])
	}
	require.Len(t, misses, 5)
	for what, list := range misses {
		beyond := func(spreads float64) float64 {
			in := slices.DeleteFunc(slices.Clone(list), func(x float64) bool { return x <= spreads })
			return float64(len(in)) / float64(len(list))
		}
		t.Logf("%d charges, half %d: %d pairs, %.0f %% beyond one spread, %.0f %% beyond two", what[0], what[1], len(list), 100*beyond(1), 100*beyond(2))
		if what[0] == 3 {
			assert.Len(t, list, 5)
			assert.InDelta(t, 0.4, beyond(1), 0.01)
			assert.Zero(t, beyond(2))
			assert.Greater(t, slices.Max(list), 1.2)
			continue
		}
		assert.InDelta(t, 0.35, beyond(1), 0.17, "%v", what)
		assert.LessOrEqual(t, beyond(2), 0.13, "%v", what)
	}
}
