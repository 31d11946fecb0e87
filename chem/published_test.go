package chem_test

import (
	"encoding/csv"
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

// published is one row of testdata/published/mixtures.csv: a mixture of known
// pH with its source.
type published struct {
	set, name string
	temp      chem.Celsius
	ph        float64
	perKg     bool
	mmol      string
	source    string
}

func readPublished(t testing.TB) []published {
	f, err := os.Open("../testdata/published/mixtures.csv")
	require.NoError(t, err)
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	var out []published
	for _, r := range rows[1:] {
		temp, err := strconv.ParseFloat(r[2], 64)
		require.NoError(t, err)
		ph, err := strconv.ParseFloat(r[3], 64)
		require.NoError(t, err)
		require.NotEmpty(t, r[6], "a row without a source")
		require.Contains(t, []string{"seen", "memory"}, r[7])
		out = append(out, published{r[0], r[1], chem.Celsius(temp), ph, r[4] == "kg", r[5], r[6]})
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
	for item := range strings.SplitSeq(p.mmol, "; ") {
		i := strings.LastIndexByte(item, ' ')
		n, err := strconv.ParseFloat(item[i+1:], 64)
		require.NoError(t, err)
		r, err := table.ByAmount(item[:i])
		require.NoError(t, err)
		s = chem.Mix(s, r.Dissolved(chem.Amount(n)*chem.Millimole))
	}
	if !p.perKg {
		s.Water = s.WaterMass()
	}
	return s.At(p.temp)
}

func (p published) errorOf(t testing.TB) float64 {
	ph, err := s0(p.solution(t))
	require.NoError(t, err, p.name)
	return ph - p.ph
}

func s0(s chem.Solution) (float64, error) {
	var sys []*chem.System
	for _, t := range s.Systems {
		sys = append(sys, t.System)
	}
	m, err := chem.NewModel(s.Temp, sys)
	if err != nil {
		return 0, err
	}
	c, err := m.Compose(s)
	if err != nil {
		return 0, err
	}
	e, err := m.Solve(&c)
	return e.PH, err
}

func TestZZTable(t *testing.T) {
	type key struct {
		set, name string
	}
	worst := map[key]map[float64]float64{}
	var order []key
	sum := map[key][]float64{}
	for _, p := range readPublished(t) {
		k := key{p.set, p.name}
		if worst[k] == nil {
			worst[k] = map[float64]float64{}
			order = append(order, k)
		}
		e := p.errorOf(t)
		if math.Abs(e) > math.Abs(worst[k][float64(p.temp)]) {
			worst[k][float64(p.temp)] = e
		}
		sum[k] = append(sum[k], e)
	}
	for _, k := range order {
		var temps []float64
		for x := range worst[k] {
			temps = append(temps, x)
		}
		slices.Sort(temps)
		line := k.set + " " + k.name + ":"
		for _, x := range temps {
			line += " " + strconv.FormatFloat(x, 'f', 0, 64) + ":" + strconv.FormatFloat(worst[k][x], 'f', 3, 64)
		}
		m, n := 0.0, 0.0
		for _, e := range sum[k] {
			m += math.Abs(e)
			n += e
		}
		t.Log(line, "mean|e|", math.Round(m/float64(len(sum[k]))*1000)/1000, "bias", math.Round(n/float64(len(sum[k]))*1000)/1000)
	}
	assert.NotEmpty(t, order)
}
