package solved_test

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/solved"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// miss is a published figure beside the computed one.
type miss struct {
	family, name string
	strength     float64 // mol/kg
	err, spread  float64
	own          float64 // uncertainty of the figure itself, one standard deviation
	parts        []solved.Part
}

// recipeRow is one of testdata/published/whole_recipes.csv.
type recipeRow struct {
	name, mmol       string
	temp             chem.Celsius
	ph, own, gas     float64
	source, seenOrBy string
	room             bool // no temperature is printed: 25 °C is taken
}

// roomSD is what "room temperature" leaves open: 20 to 25 °C, one standard deviation.
const roomSD = 5 / 1.732

func readRecipes(t testing.TB) []recipeRow {
	rows := rowsOf(t, "whole_recipes.csv")
	var out []recipeRow
	for _, r := range rows {
		num := func(i int) float64 {
			if r[i] == "" {
				return 0
			}
			v, err := strconv.ParseFloat(r[i], 64)
			require.NoError(t, err)
			return v
		}
		require.NotEmpty(t, r[6], "a row without a source")
		out = append(out, recipeRow{r[0], r[1], chem.Celsius(num(2)), num(3), num(4), num(5), r[6], r[7], r[8] == "yes"})
	}
	return out
}

// solution of "NaCl 150; MgCl2 1": mmol in a litre.
func (r recipeRow) solution(t testing.TB) chem.Solution {
	return mixed(t, chem.Solution{Volume: chem.Litre, Temp: r.temp}, r.mmol)
}

// halfNeutralised ends the names of rows that are a practical pK.
const halfNeutralised = "half neutralised"

// family is what a row belongs to.
func (p published) family() string {
	switch {
	case strings.HasSuffix(p.name, halfNeutralised):
		return "practical pK"
	case p.set == "temperature" || p.set == "technical":
		return p.set
	case strings.Contains(p.name, "borax") || strings.Contains(p.name, "H3BO3"):
		return "borate"
	}
	return p.set + ": " + p.name
}

// uncertainty is a row of testdata/published/uncertainty.csv: how exact the
// figures of a table are by what their source says of them, or by how many
// digits it prints. What a figure misses in the model is no reason to doubt it.
type uncertainty struct {
	set, name string
	ph, mmol  float64 // one standard deviation of the pH, and of the last amount of the mixture, mmol/L
}

// fits reports whether a row is about a table: by its name, its end, or any.
func (u uncertainty) fits(name string) bool {
	end, pattern := strings.CutPrefix(u.name, "*")
	return u.name == name || pattern && strings.HasSuffix(name, end)
}

func readUncertainties(t testing.TB) (out []uncertainty) {
	rows := rowsOf(t, "uncertainty.csv")
	for _, r := range rows {
		ph, err := strconv.ParseFloat(r[2], 64)
		require.NoError(t, err)
		mmol, err := strconv.ParseFloat(r[3], 64)
		require.NoError(t, err)
		require.NotEmpty(t, r[5], "a row without a source")
		out = append(out, uncertainty{r[0], r[1], ph, mmol})
	}
	return out
}

// own is one standard deviation of the published figure itself.
func (p published) own(t testing.TB, list []uncertainty) float64 {
	var u uncertainty
	for _, x := range list {
		if x.set == p.set && x.fits(p.name) && len(x.name) > len(u.name) { // the name before the pattern, that before any
			u = x
		}
	}
	require.NotEmpty(t, u.set, p.set)
	out := u.ph
	if u.mmol > 0 {
		i := strings.LastIndexByte(p.mmol, ' ')
		n, err := strconv.ParseFloat(p.mmol[i+1:], 64)
		require.NoError(t, err)
		q := p
		q.mmol = fmt.Sprintf("%s %g", p.mmol[:i], n+u.mmol)
		out = math.Hypot(out, q.errorOf(t)-p.errorOf(t))
	}
	if p.coarse {
		out = math.Hypot(out, 0.0029)
	}
	return out
}

// without is the spread that is left where some causes do not count.
func without(d solved.Doubts, causes ...solved.Cause) float64 {
	sum := 0.0
	for _, p := range d.Parts {
		if !slices.Contains(causes, p.Cause) {
			sum += p.PH * p.PH
		}
	}
	return math.Sqrt(sum)
}

// asStandard is the spread of a pH that is one by definition, of a solution that met no air:
// without what a scale and an electrode are off, and without what an open vessel does.
func asStandard(d solved.Doubts) float64 { return without(d, solved.OfScale, solved.OfCarbonAcid) }

// partsOfStandard are what asStandard is made of.
func partsOfStandard(d solved.Doubts) []solved.Part {
	return slices.DeleteFunc(slices.Clone(d.Parts), func(p solved.Part) bool { return p.Cause == solved.OfScale || p.Cause == solved.OfCarbonAcid })
}

// misses are all published rows.
func misses(t testing.TB) []miss {
	var out []miss
	known := readUncertainties(t)
	for _, p := range readPublished(t) {
		r, err := solved.Describe(p.solution(t))
		require.NoError(t, err)
		x := miss{family: p.family(), name: fmt.Sprintf("%s %g °C %.2f", p.name, float64(p.temp), p.ph), strength: r.Strength, err: r.PH - p.ph, spread: r.Spread}
		x.own, x.parts = p.own(t, known), r.Doubts.Parts
		if p.set == "standard" || p.set == "technical" {
			x.spread, x.parts = asStandard(r.Doubts), partsOfStandard(r.Doubts)
		}
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
		res, err := solved.Describe(r.solution(t), opts...)
		require.NoError(t, err, r.name)
		x := miss{family: "recipe", name: r.name, strength: res.Strength, err: res.PH - r.ph, spread: res.Spread, own: r.own / math.Sqrt(3), parts: res.Doubts.Parts} // they say from where to where
		if r.room {
			x.own = math.Hypot(x.own, roomSD*res.DPHDT)
		}
		out = append(out, x)
	}
	return out
}

// The spreads are true: of all published figures that are no standards 90 to 97 in a hundred
// lie within two of them, a third beyond one, and the root mean square of error by spread is
// one, as of errors that are as large as they say; those of every family of eight rows and more
// lie there in nine tenths, the uncertainty of a figure counted as its source gives it. No
// spread is a cheap one: that of a standard is 0.028 at most.
//
// The standards tell little: their constants were measured on the same solutions, and led
// to by them (Constant.Shift), so that they miss by less than the same constants do elsewhere
// (15 in a hundred beyond one spread, none beyond two). With them 97.3 in a hundred lie inside.
func TestTheSpreadCoversTheErrors(t *testing.T) {
	by := map[string][]miss{}
	for _, x := range misses(t) {
		by[x.family] = append(by[x.family], x)
	}
	in, bare, all, inOther, other, squares := 0, 0, 0, 0, 0, 0.0
	far := 0                      // beyond one spread, of those that are no standards
	exact, exactSquares := 0, 0.0 // of rows that are no standards, and whose own uncertainty hides no spread
	for _, f := range slices.Sorted(maps.Keys(by)) {
		mean, spread, square, inside, without := 0.0, 0.0, 0.0, 0, 0
		n := len(by[f])
		for _, x := range by[f] {
			mean += math.Abs(x.err) / float64(n)
			spread += x.spread / float64(n)
			z := x.err / math.Hypot(x.spread, x.own)
			square += z * z / float64(n)
			if x.own <= x.spread && !strings.HasPrefix(f, "standard") {
				exact, exactSquares = exact+1, exactSquares+z*z
			}
			if math.Abs(z) > 1 && !strings.HasPrefix(f, "standard") {
				far++
			}
			if math.Abs(z) <= 2 {
				inside++
			} else {
				t.Logf("    outside: %-44.44s I %.2f %+.3f ± %.3f (own %.3f)", x.name, x.strength, x.err, x.spread, x.own)
			}
			if math.Abs(x.err) <= 2*x.spread {
				without++
			}
		}
		t.Logf("%-38s %3d rows, mean |error| %.3f, mean spread %.3f, inside two: %3.0f %% (%3.0f %% without the uncertainty of the rows), root mean square of error by spread %.2f",
			f, n, mean, spread, 100*float64(inside)/float64(n), 100*float64(without)/float64(n), math.Sqrt(square))
		standard := strings.HasPrefix(f, "standard")
		if standard {
			assert.LessOrEqual(t, spread, 0.028, f)
		}
		if n >= 8 {
			assert.GreaterOrEqual(t, float64(inside), 0.9*float64(n), f)
		} else {
			assert.GreaterOrEqual(t, inside, n-1, f)
		}
		in, bare, all = in+inside, bare+without, all+n
		if !standard {
			inOther, other, squares = inOther+inside, other+n, squares+square*float64(n)
		}
	}
	t.Logf("all: %d of %d (%.1f %%), %d without the uncertainty of the rows; %d of the %d that are no standards (%.1f %%), root mean square of error by spread %.2f",
		in, all, 100*float64(in)/float64(all), bare, inOther, other, 100*float64(inOther)/float64(other), math.Sqrt(squares/float64(other)))
	t.Logf("no standards: %.1f %% beyond one spread", 100*float64(far)/float64(other))
	assert.GreaterOrEqual(t, float64(in)/float64(all), 0.90)
	assert.LessOrEqual(t, float64(in)/float64(all), 0.98)
	assert.GreaterOrEqual(t, float64(inOther)/float64(other), 0.90)
	assert.LessOrEqual(t, float64(inOther)/float64(other), 0.97)
	assert.InDelta(t, 0.32, float64(far)/float64(other), 0.06) // of a normal distribution
	// True spreads are neither too narrow nor too wide: errors are as large as they say.
	assert.InDelta(t, 1, math.Sqrt(squares/float64(other)), 0.1)
	t.Logf("%d rows that are exact enough to tell: root mean square of error by spread %.2f", exact, math.Sqrt(exactSquares/float64(exact)))
	assert.InDelta(t, 1, math.Sqrt(exactSquares/float64(exact)), 0.12)
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
