package chem_test

import (
	"encoding/csv"
	"fmt"
	"maps"
	"math"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/table"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// miss is a published figure beside the computed one.
type miss struct {
	family, name string
	strength     float64 // mol/kg
	err, spread  float64
	own          float64 // uncertainty of the figure itself, one standard deviation
	round        bool    // from a table for round pH that contradicts others: never without that uncertainty
}

func (x miss) covered() bool { return math.Abs(x.err) <= 2*math.Hypot(x.spread, x.own) }

// recipeRow is one of testdata/published/whole_recipes.csv.
type recipeRow struct {
	name, mmol       string
	temp             chem.Celsius
	ph, own, gas     float64
	source, seenOrBy string
}

func readRecipes(t testing.TB) []recipeRow {
	f, err := os.Open("../testdata/published/whole_recipes.csv")
	require.NoError(t, err)
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	var out []recipeRow
	for _, r := range rows[1:] {
		num := func(i int) float64 {
			if r[i] == "" {
				return 0
			}
			v, err := strconv.ParseFloat(r[i], 64)
			require.NoError(t, err)
			return v
		}
		require.NotEmpty(t, r[6], "a row without a source")
		out = append(out, recipeRow{r[0], r[1], chem.Celsius(num(2)), num(3), num(4), num(5), r[6], r[7]})
	}
	return out
}

// solution of "NaCl 150; MgCl2 1": mmol in a litre.
func (r recipeRow) solution(t testing.TB) chem.Solution {
	s := chem.Solution{Volume: chem.Litre, Temp: r.temp}
	for item := range strings.SplitSeq(r.mmol, "; ") {
		i := strings.LastIndexByte(item, ' ')
		n, err := strconv.ParseFloat(item[i+1:], 64)
		require.NoError(t, err)
		x, err := table.ByAmount(item[:i])
		require.NoError(t, err, item)
		s = chem.Mix(s, x.Dissolved(chem.Amount(n)*chem.Millimole).At(r.temp))
	}
	return s
}

// family is what a row belongs to.
func (p published) family() string {
	switch {
	case p.set == "temperature" || p.set == "technical":
		return p.set
	case strings.Contains(p.name, "borax") || strings.Contains(p.name, "H3BO3"):
		return "borate"
	}
	return p.set + ": " + p.name
}

// own is one standard deviation of the published figure itself: of rounding;
// of mixtures on the scale of before 1930 and put together from recipes
// (offsets of 0.04 and scatter, as the reference says); of tables of practical
// pK that do not say their strength; of hydrochloric acid on the scale of 1955;
// of alkaline tables for round pH, which contradict others of the same
// laboratory by that much and more: at pH 8 borax with HCl and boric acid in KCl
// with NaOH, of the same boron, are 0.09 apart in any model, and above pH 10 borax,
// bicarbonate and phosphate with NaOH are all 0.03 to 0.1 above what agrees with the
// standards and with KCl/NaOH of the same table (our own judgement).
func (p published) own() float64 {
	switch {
	case p.set == "older":
		return 0.05
	case p.set == "temperature":
		return 0.06
	case p.name == "borax/HCl" && p.ph < 8.15:
		return 0.06
	case p.set == "alkaline" && p.ph > 10 && p.name != "KCl/NaOH":
		return 0.05
	case p.set == "alkaline":
		return 0.03
	case p.name == "KCl/HCl":
		return 0.02
	case p.coarse:
		return 0.003
	}
	return 0
}

// misses are all published rows.
func misses(t testing.TB) []miss {
	var out []miss
	for _, p := range readPublished(t) {
		r, err := chem.Describe(p.solution(t))
		require.NoError(t, err)
		x := miss{family: p.family(), name: fmt.Sprintf("%s %g °C %.2f", p.name, float64(p.temp), p.ph), strength: r.Strength, err: r.PH - p.ph, spread: r.Spread}
		x.own, x.round = p.own(), p.set == "alkaline"
		out = append(out, x)
	}
	for _, r := range readStrong(t) {
		if x, ok := r.miss(t); ok {
			out = append(out, x)
		}
	}
	for _, r := range readRecipes(t) {
		var opts []chem.Option
		if r.gas > 0 {
			opts = append(opts, chem.OpenToAir(r.gas))
		}
		res, err := chem.Describe(r.solution(t), opts...)
		require.NoError(t, err, r.name)
		out = append(out, miss{family: "recipe", name: r.name, strength: res.Strength, err: res.PH - r.ph, spread: res.Spread, own: r.own})
	}
	return out
}

// The spreads are true: by family, at least nine in ten published figures lie
// within two of them, their own uncertainty counted, and no spread is a
// cheap one: that of a standard without carbonate is 0.028 at most. Families of fewer than eight rows may
// have one outside.
func TestTheSpreadCoversTheErrors(t *testing.T) {
	by := map[string][]miss{}
	for _, x := range misses(t) {
		by[x.family] = append(by[x.family], x)
	}
	in, bare, all := 0, 0, 0
	for _, f := range slices.Sorted(maps.Keys(by)) {
		mean, spread, inside, without, strict := 0.0, 0.0, 0, 0, 0.0
		n := len(by[f])
		for _, x := range by[f] {
			mean += math.Abs(x.err) / float64(n)
			spread += x.spread / float64(n)
			if x.covered() {
				inside++
			} else {
				t.Logf("    outside: %-44.44s I %.2f %+.3f ± %.3f (own %.3f)", x.name, x.strength, x.err, x.spread, x.own)
			}
			if math.Abs(x.err) <= 2*x.spread {
				without++
			}
			if !x.round && math.Abs(x.err) > 2*x.spread {
				strict++
			}
		}
		t.Logf("%-30s %3d rows, mean |error| %.3f, mean spread %.3f, inside two: %.0f %% (%.0f %% without the uncertainty of the rows)",
			f, n, mean, spread, 100*float64(inside)/float64(n), 100*float64(without)/float64(n))
		if strings.HasPrefix(f, "standard") && f != "standard: carbonate" {
			assert.LessOrEqual(t, spread, 0.028, f)
		}
		// Of what was measured in our time it holds without that uncertainty too.
		if f != "recipe" && f != "temperature" && !strings.HasPrefix(f, "older") {
			assert.LessOrEqual(t, strict, 0.1*float64(n-rounds(by[f])), f)
		}
		in, bare, all = in+inside, bare+without, all+n
		if n >= 8 {
			assert.GreaterOrEqual(t, float64(inside), 0.9*float64(n), f)
		} else {
			assert.GreaterOrEqual(t, inside, n-1, f)
		}
	}
	t.Logf("all: %d of %d, %d without the uncertainty of the rows", in, all, bare)
	assert.GreaterOrEqual(t, float64(in), 0.90*float64(all))
}

// rounds is how many rows are from tables for round pH.
func rounds(list []miss) (n int) {
	for _, x := range list {
		if x.round {
			n++
		}
	}
	return n
}

// Strong buffers: the mean miss of the rows that are a pH or a pK is at most
// 0.06, of those below an ionic strength of 1.2 at most 0.05. The largest is that
// of tenfold phosphate-buffered saline, which makers say reads 6.8: isopiestic
// data (Scharge 2015) and cells without a junction (Hershey 1989) both give 7.0 to 7.1.
func TestStrongBuffers(t *testing.T) {
	sum, n, low, nLow := 0.0, 0.0, 0.0, 0.0
	for _, x := range misses(t) {
		if !strings.HasPrefix(x.family, "strong") {
			continue
		}
		t.Logf("%-60.60s I %.2f %+.3f ± %.3f", x.name, x.strength, x.err, x.spread)
		e := math.Abs(x.err)
		sum, n = sum+e, n+1
		if x.strength < 1.2 {
			low, nLow = low+e, nLow+1
		}
	}
	t.Logf("mean %.4f of %.0f, below 1.2 %.4f of %.0f", sum/n, n, low/nLow, nLow)
	assert.LessOrEqual(t, sum/n, 0.06)
	assert.LessOrEqual(t, low/nLow, 0.05)
	assert.Greater(t, nLow, 30.0)
}
