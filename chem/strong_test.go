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
	"github.com/stretchr/testify/require"
)

// strongRow is one row of testdata/published/strong_buffers.csv: a figure of a
// strong buffer or of an acid in a salt, with its source.
type strongRow struct {
	id, family, composition, quantity string
	temp                              chem.Celsius
	value, uncertainty                float64
}

func readStrong(t testing.TB) []strongRow {
	f, err := os.Open("../testdata/published/strong_buffers.csv")
	require.NoError(t, err)
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	var out []strongRow
	for _, r := range rows[1:] {
		num := func(i int) float64 {
			v, err := strconv.ParseFloat(r[i], 64)
			require.NoError(t, err)
			return v
		}
		require.NotEmpty(t, r[8], "a row without a source")
		out = append(out, strongRow{r[0], r[1], r[2], r[4], chem.Celsius(num(3)), num(5), num(6)})
	}
	return out
}

// ofElement are the ions and systems that a composition names otherwise than
// the tables do.
var ofElement = map[string]string{
	"Na": "Na+", "K": "K+", "Mg": "Mg2+", "Ca": "Ca2+", "Cl": "Cl-",
}

// solutionOf is the solution of "Na2HPO4=0.1 M; KH2PO4=0.018 M" or "NaCl=1.0 m":
// per litre or per kilogram of water. Traces are 1e-9.
func solutionOf(t testing.TB, text string, temp chem.Celsius) chem.Solution {
	s := chem.Solution{Volume: chem.Litre, Temp: temp}
	for item := range strings.SplitSeq(text, ";") {
		item = strings.TrimPrefix(strings.TrimSpace(item), "medium ")
		name, amount, ok := strings.Cut(item, "=")
		n := 1e-9
		if ok {
			num, unit, _ := strings.Cut(amount, " ")
			var err error
			n, err = strconv.ParseFloat(num, 64)
			require.NoError(t, err)
			if unit == "m" {
				s.Water = chem.Kilogram
			}
		} else {
			name = strings.TrimSuffix(item, " trace")
		}
		s = add(t, s, name, n)
	}
	return s
}

// add puts n mol of a reagent, an ion or a form into a solution.
func add(t testing.TB, s chem.Solution, name string, n float64) chem.Solution {
	a := chem.Amount(n)
	sys := func(name string, charge int) {
		x, err := table.System(name)
		require.NoError(t, err)
		s = chem.Mix(s, chem.Solution{Systems: []chem.SystemTotal{{System: x, Amount: a}}})
		_ = charge
	}
	switch name {
	case "Na", "K", "Cl":
		z := 1
		if name == "Cl" {
			z = -1
		}
		return chem.Mix(s, chem.Solution{Ions: []chem.IonTotal{{Ion: chem.Ion{Name: ofElement[name], Charge: z}, Amount: a}}})
	case "Mg", "Ca":
		sys(map[string]string{"Mg": "magnesium", "Ca": "calcium"}[name], 2)
	case "SO4":
		sys("sulfate", -2)
	case "TrisH", "Tris":
		sys("Tris", 0)
	case "HPO4", "H2PO4":
		sys("phosphate", 0)
	case "CO3", "HCO3":
		sys("carbonate", 0)
	case "borate", "acetate", "imidazole":
		sys(name, 0)
	default:
		r, err := table.ByAmount(strings.NewReplacer("NaOAc", "sodium acetate", "KOAc", "potassium acetate").Replace(name))
		require.NoError(t, err, name)
		return chem.Mix(s, r.Dissolved(a))
	}
	return s
}

func TestStrongDebug(t *testing.T) {
	byFamily := map[string][]string{}
	sum := map[string][2]float64{}
	for _, r := range readStrong(t) {
		if r.quantity != "pH" {
			continue
		}
		res, err := chem.Describe(solutionOf(t, r.composition, r.temp))
		require.NoError(t, err)
		e := res.PH - r.value
		byFamily[r.family] = append(byFamily[r.family], fmt.Sprintf("%s I %.2f %.2f: %+.3f ± %.3f (%.2f)", r.id, res.Strength, r.value, e, res.Spread, r.uncertainty))
		x := sum[r.family]
		sum[r.family] = [2]float64{x[0] + math.Abs(e), x[1] + 1}
	}
	for _, f := range slices.Sorted(maps.Keys(byFamily)) {
		t.Logf("%s mean %.3f", f, sum[f][0]/sum[f][1])
		for _, l := range byFamily[f] {
			t.Log("   ", l)
		}
	}
}
