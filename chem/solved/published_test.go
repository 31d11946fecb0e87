package solved_test

import (
	"fmt"
	"maps"
	"math"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/csvrows"
	"example.org/halfdrop/chem/solved"
	"example.org/halfdrop/chem/table"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// published is one row of testdata/published/mixtures.csv: a mixture of known
// pH with its source.
type published struct {
	set, name string
	temp      chem.Celsius
	ph        float64
	perKg     bool
	mmol      string
	source    string
	coarse    bool // printed to 0.01
}

// rowsOf are the rows of a table of testdata/published, without its head.
func rowsOf(t testing.TB, file string) [][]string {
	t.Helper()
	text, err := os.ReadFile("../../testdata/published/" + file)
	require.NoError(t, err)
	rows, err := csvrows.Read(text, 0)
	require.NoError(t, err)
	return rows
}

// mixed puts "NaCl 150; MgCl2 1", in mmol, into a solution.
func mixed(t testing.TB, s chem.Solution, mmol string) chem.Solution {
	t.Helper()
	for item := range strings.SplitSeq(mmol, "; ") {
		i := strings.LastIndexByte(item, ' ')
		n, err := strconv.ParseFloat(item[i+1:], 64)
		require.NoError(t, err)
		r, err := table.ByAmount(item[:i])
		require.NoError(t, err, item)
		s = chem.Mix(s, r.Dissolved(chem.Amount(n)*chem.Millimole).At(s.Temp))
	}
	return s
}

func readPublished(t testing.TB) []published {
	rows := rowsOf(t, "mixtures.csv")
	var out []published
	for _, r := range rows {
		temp, err := strconv.ParseFloat(r[2], 64)
		require.NoError(t, err)
		ph, err := strconv.ParseFloat(r[3], 64)
		require.NoError(t, err)
		require.NotEmpty(t, r[6], "a row without a source")
		require.Contains(t, []string{"seen", "memory"}, r[7])
		out = append(out, published{r[0], r[1], chem.Celsius(temp), ph, r[4] == "kg", r[5], r[6], r[8] == "printed to 0.01"})
	}
	return out
}

// solution is the mixture in one litre, or one kilogram of water.
func (p published) solution(t testing.TB) chem.Solution {
	s := chem.Solution{Volume: chem.Litre, Temp: p.temp}
	if p.perKg {
		s.Water = chem.Kilogram
	} else {
		s.Temp = 25 // the flasks were filled near room temperature
	}
	s = mixed(t, s, p.mmol)
	if !p.perKg {
		s.Water = s.WaterMass()
	}
	return s.At(p.temp)
}

func (p published) errorOf(t testing.TB) float64 {
	r, err := solved.Describe(p.solution(t))
	require.NoError(t, err, p.name)
	return r.PH - p.ph
}

// The seven primary standards and the tartrate: at 25 °C within 0.012, from 0
// to 50 °C within 0.03. Rows printed to 0.01 get half a digit on top.
func TestPrimaryStandards(t *testing.T) {
	e := errorsOf(t, "standard")
	require.GreaterOrEqual(t, len(e), 7)
	for name, rows := range e {
		for _, r := range rows {
			limit := 0.03
			if r.temp == 25 {
				limit = 0.012
			}
			if r.temp > 50 {
				continue // outside the claim, listed in the log
			}
			assert.LessOrEqual(t, math.Abs(r.err), limit+r.rounding, "%s at %g °C: %+.3f (%s)", name, float64(r.temp), r.err, r.source)
		}
	}
}

// Mixtures with a round pH at 25 °C, a titration curve point by point: each
// within 0.04 and the mean of a system within 0.02. The borate series is from
// memory and starts in boric acid of 0.05 mol/L, whose polynuclear ions the
// model leaves out; it is held to 0.09. Hydrochloric acid in KCl was put on the
// scale of 1955, before the convention for chloride of 1960: at pH 1.00 its
// coefficient of H⁺ is 10^−0.128 where γ± of HCl (Robinson & Stokes, 0.767 at
// 0.15 mol/kg) and the convention give 10^−0.107; its mean is held to 0.025.
func TestPublishedTitrations(t *testing.T) {
	for name, rows := range errorsOf(t, "titration") {
		limit, mean := 0.04, 0.0
		if name == "H3BO3+KCl/NaOH" {
			limit = 0.09
		}
		if name == "KCl/HCl" {
			limit = 0.05
		}
		for _, r := range rows {
			assert.LessOrEqual(t, math.Abs(r.err), limit, "%s pH %.2f: %+.3f (%s)", name, r.ph, r.err, r.source)
			mean += math.Abs(r.err) / float64(len(rows))
		}
		assert.LessOrEqual(t, mean, limit/2, name)
	}
}

// offTheMark are makers' tables that the model misses by more than 0.05, with
// the miss that is accepted and what speaks for the model. The rest of the set
// is held to 0.05.
var offTheMark = map[string]struct {
	limit float64
	why   string
}{
	"Tris 0.05 M":            {0.098, "at 5 °C only; Bates & Hetzer's pK, and the pH(S) 7.699 of 0.05 m Tris·HCl + 0.01667 m Tris at 25 °C (Durst & Staples 1972, from memory), are met within 0.02"},
	"MES half neutralised":   {0.113, "the table's 6.10 is below pK 6.270 of Vega & Bates (1976) by more than activity explains"},
	"ADA half neutralised":   {0.209, "a doubly charged base with the parameters of its class only; the table's 6.59 stands for lower ionic strength"},
	"MOPS half neutralised":  {0.119, "the table's 7.20 is the pK at zero ionic strength, 7.184"},
	"TES half neutralised":   {0.086, "the table's 7.40 against pK 7.550 of Vega & Bates (1976)"},
	"Tris half neutralised":  {0.130, "the table's 8.06 is the pK at zero ionic strength, 8.072; the buffer itself is 0.09 above it"},
	"CHES half neutralised":  {0.324, "the table's −0.011 per °C against −0.023 from the measured heat of 39.55 kJ/mol"},
	"TAPS half neutralised":  {0.052, "at 20 °C only"},
	"CAPS half neutralised":  {0.058, "at 37 °C only"},
	"PIPES half neutralised": {0.055, "a doubly charged base with the parameters of its class only"},
}

func TestBuffersAgainstTemperature(t *testing.T) {
	for name, rows := range errorsOf(t, "temperature") {
		limit := 0.05
		if x, ok := offTheMark[name]; ok {
			limit = x.limit
		}
		worst := 0.0
		for _, r := range rows {
			assert.LessOrEqual(t, math.Abs(r.err), limit+1e-9, "%s at %g °C: %+.3f (%s)", name, float64(r.temp), r.err, r.source)
			worst = math.Max(worst, math.Abs(r.err))
		}
		if limit > 0.05 {
			assert.Greater(t, worst, 0.05, "%s is within 0.05 now: take it off the list", name)
		}
	}
}

// 0.05 m Tris·HCl with 0.01667 m Tris: R. A. Durst & B. R. Staples, Clin. Chem.
// 18, 206 (1972), values from memory.
func TestTrisStandard(t *testing.T) {
	for temp, want := range map[chem.Celsius]float64{0: 8.471, 5: 8.303, 10: 8.142, 15: 7.988, 20: 7.840, 25: 7.699, 30: 7.563, 37: 7.382, 40: 7.307, 50: 7.070} {
		s := chem.Solution{Volume: chem.Litre, Temp: temp, Water: chem.Kilogram}
		s = dissolve(t, dissolve(t, s, "Tris HCl", 0.05), "Tris", 0.01667)
		r, err := solved.Describe(s)
		require.NoError(t, err)
		assert.InDelta(t, want, r.PH, 0.03, "%g °C", float64(temp))
	}
}

// Calibration buffers and the older mixtures are shown, not required: the
// first are commercial, the second on an older scale.
func TestOtherTables(t *testing.T) {
	for _, set := range []string{"technical", "older"} {
		for name, rows := range errorsOf(t, set) {
			for _, r := range rows {
				assert.LessOrEqual(t, math.Abs(r.err), 0.2, "%s at %g °C pH %.2f", name, float64(r.temp), r.ph)
			}
		}
	}
}

// Alkaline solutions of round pH, a second family of measurements: R. G. Bates &
// V. E. Bower, Anal. Chem. 28, 1322 (1956), as handbooks reprint them, from
// memory. At both ends the borax tables want 1 to 4 % less boron than they say;
// the table of phosphate wants a third pK that is higher by 0.04 or ions of
// three charges that are less held back (ions.csv, PO4); that of carbonate has
// met the air.
func TestAlkalineSolutions(t *testing.T) {
	limits := map[string][2]float64{"KCl/NaOH": {0.02, 0.01}, "Tris/HCl": {0.045, 0.02}, "Na2HPO4/NaOH": {0.05, 0.04}, "NaHCO3/NaOH": {0.12, 0.075}, "borax/HCl": {0.125, 0.05}, "borax/NaOH": {0.1, 0.05}}
	all := errorsOf(t, "alkaline")
	require.Len(t, all, len(limits))
	for name, rows := range all {
		mean := 0.0
		for _, r := range rows {
			assert.LessOrEqual(t, math.Abs(r.err), limits[name][0], "%s pH %.2f: %+.3f (%s)", name, r.ph, r.err, r.source)
			mean += math.Abs(r.err) / float64(len(rows))
		}
		assert.LessOrEqual(t, mean, limits[name][1], name)
	}
}

type residual struct {
	published
	err, rounding float64
}

// errorsOf are model minus published of one set, by name; it logs the largest
// at each temperature and the mean.
func errorsOf(t *testing.T, set string) map[string][]residual {
	out := map[string][]residual{}
	for _, p := range readPublished(t) {
		if p.set != set {
			continue
		}
		r := residual{published: p, err: p.errorOf(t)}
		if p.coarse {
			r.rounding = 0.005
		}
		out[p.name] = append(out[p.name], r)
	}
	require.NotEmpty(t, out)
	for _, name := range slices.Sorted(maps.Keys(out)) {
		t.Log(summary(name, out[name]))
	}
	return out
}

func summary(name string, rows []residual) string {
	worst, mean := map[chem.Celsius]float64{}, 0.0
	for _, r := range rows {
		if math.Abs(r.err) >= math.Abs(worst[r.temp]) {
			worst[r.temp] = r.err
		}
		mean += math.Abs(r.err) / float64(len(rows))
	}
	line := fmt.Sprintf("%-30s mean |error| %.3f, largest by °C:", name, mean)
	for _, temp := range slices.Sorted(maps.Keys(worst)) {
		line += fmt.Sprintf(" %g:%+.3f", float64(temp), worst[temp])
	}
	return line
}
