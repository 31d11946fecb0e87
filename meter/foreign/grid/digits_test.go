package grid_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"example.org/halfdrop/meter/foreign/grid"
)

// Marks of thousands are taken for such only where the other mark is shown to be the decimal
// one: 1,250 alone may be one and a quarter.
func TestThousands(t *testing.T) {
	tab := found(t, "V/µL;pH\n1,250;4.10\n2,500;4.50\n3,750;5.00")
	assert.Equal(t, []float64{1250, 2500, 3750}, tab.Values(0), "4.10 shows that the point is the decimal mark")
	tab = found(t, "V/µL;pH\n1.250;4,10\n2.500;4,50\n3.750;5,00")
	assert.Equal(t, []float64{1250, 2500, 3750}, tab.Values(0))
	tab = found(t, "V/mL;pH\n1,250;4,100\n2,500;4,500\n3,750;5,000")
	assert.Equal(t, []float64{1.25, 2.5, 3.75}, tab.Values(0), "nothing shows it: they are decimals")
}

// The first thousand may come late: of a time in seconds at 4 Hz in line 4001.
func TestThousandsThatComeLate(t *testing.T) {
	var b strings.Builder
	b.WriteString("t/s;pH\n")
	for i := range 6000 {
		s := fmt.Sprintf("%.2f", float64(i)/4)
		if i >= 4000 {
			s = s[:1] + "," + s[1:]
		}
		fmt.Fprintf(&b, "%s;7.01\n", s)
	}
	times := found(t, b.String()).Values(0)
	assert.Len(t, times, 6000)
	assert.InDelta(t, 1499.75, times[5999], 1e-9)
}

// What stands in a cell beside its number: a spread, the mark of a meter, a unit, what keeps
// a spreadsheet from changing it.
func TestNumbersAreFreed(t *testing.T) {
	for cell, want := range map[string]float64{
		"7.02 ± 0.01": 7.02, "7.02+/-0.01": 7.02, "7.02 stable": 7.02, "7.02*": 7.02, "7.02 drift": 7.02, "25.0 mL": 25, "25.0mL": 25, "21.5 °C": 21.5, "7.02 pH": 7.02,
		"'7.02": 7.02, `="7.02"`: 7.02, "1\u00a0250": 1250, "1\u202f250.5": 1250.5, "1’250": 1250, "−5.5": -5.5, "+5.5": 5.5, "1.2e-3": 1.2e-3, ".5": 0.5,
		"": math.NaN(), "0x10": math.NaN(), "1_000": math.NaN(), "7.0.2": math.NaN(), "7apples": math.NaN(), "inf": math.NaN(), "NaN": math.NaN(), "1e999": math.NaN(),
	} {
		tab := found(t, "a\tb\tc\n1\t2\t"+cell+"\n2\t3\t4.0\n3\t4\t5.0\n4\t5\t6.0")
		got := tab.Values(2)[0]
		assert.True(t, got == want || math.IsNaN(want) && math.IsNaN(got), "%q is %g, not %g", cell, got, want)
	}
}

func TestCellUnit(t *testing.T) {
	tab := found(t, "a,b\n0.5 mL,7.0\n1.0 mL,7.1\n1.5 mL,7.2")
	u, ok := tab.CellUnit(0)
	assert.True(t, ok)
	assert.Equal(t, "mL", u)
	_, ok = tab.CellUnit(1)
	assert.False(t, ok)
}

func TestSpanPassesOverWhatIsMissing(t *testing.T) {
	low, high := grid.Span([]float64{math.NaN(), 3, -1, math.NaN()})
	assert.Equal(t, [2]float64{-1, 3}, [2]float64{low, high})
	low, high = grid.Span(nil)
	assert.Greater(t, low, high, "of nothing no range")
}
