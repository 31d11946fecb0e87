package foreign_test

import (
	"encoding/json"
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/fit"
	"example.org/halfdrop/meter/foreign"
)

// acetate is the pH of 25 mL of 0.1 M acetic acid with a volume of 0.1 M NaOH: the balance of
// charge with pK 4.76 and pKw 14, activities left out, by bisection. Made up for this test.
func acetate(ml float64) float64 {
	lo, hi := 0.0, 14.0
	for range 60 {
		mid := (lo + hi) / 2
		h := math.Pow(10, -mid)
		ka := math.Pow(10, -4.76)
		if h-1e-14/h+0.1*ml/(25+ml)-0.1*25/(25+ml)*ka/(ka+h) > 0 {
			lo = mid
		} else {
			hi = mid
		}
	}
	return lo
}

// stepped is a log of 40 s at each volume, the electrode on its way by a time constant of 5 s.
func stepped(volumes []float64, comma bool) string {
	var b strings.Builder
	b.WriteString("Zeit [s];pH;Volumen [ml]\n")
	ph, s := acetate(0), 0
	for _, v := range volumes {
		for range 40 {
			ph += (acetate(v) - ph) * (1 - math.Exp(-1/5.0))
			s++
			fmt.Fprintf(&b, "%d;%.2f;%.2f\n", s, ph, v)
		}
	}
	if comma {
		return strings.ReplaceAll(b.String(), ".", ",")
	}
	return b.String()
}

func passed(t *testing.T, text string, aim, tolerance float64) *foreign.Passed {
	t.Helper()
	l, err := foreign.ReadLog(strings.NewReader(text), foreign.LogOptions{})
	require.NoError(t, err)
	p := l.Passes(chem.PH(aim), tolerance, l.Review(fit.Options{}).Fit)
	_, err = json.Marshal(p)
	require.NoError(t, err)
	return p
}

// A log of another program does not know its aim; asked for one, the addition that went past
// it is named, with what would have been enough.
func TestTheAdditionThatPassedAnAimIsNamed(t *testing.T) {
	text := stepped([]float64{0, 5, 9, 12, 14, 15, 24, 24.2}, true)
	p := passed(t, text, 5, 0.05)
	assert.True(t, p.Over)
	assert.Equal(t, 6, p.Addition)
	assert.Equal(t, 242, p.Line, "the first row of 24 mL, below a header and 240 rows")
	assert.InDelta(t, acetate(24)-5, p.Past, 0.02)
	assert.InDelta(t, 15.87, p.AimML, 0.15, "pH 5.00 is 25 mL times K/(K + h)")
	assert.Contains(t, p.Words, "from 15.00 to 24.00 mL")

	for aim, over := range map[float64]bool{acetate(24.2): false, 7.5: false, acetate(15): true, 2: true} {
		p := passed(t, text, aim, 0.1)
		assert.Equal(t, over && aim != 2, p.Over, "aim %.2f: %s", aim, p.Words)
	}
	p = passed(t, text, acetate(0)+0.05, 0.1)
	assert.False(t, p.Over)
	assert.Contains(t, p.Words, "The log began within")

	back := passed(t, stepped([]float64{0, 9, 14, 20}, false)+"161;5.01;20.00\n"+strings.Repeat("162;5.01;20.10\n", 6), 5, 0.05)
	assert.Equal(t, 3, back.Addition)
	assert.Contains(t, back.Words, "is within the tolerance again")
}

// A single reading beyond the aim at a volume that ends short of it is a spike.
func TestASpikeIsNoOvershoot(t *testing.T) {
	text := strings.Replace(stepped([]float64{0, 9, 14, 15}, false), "\n150;4.9", "\n150;7.9", 1)
	assert.Contains(t, text, ";7.9")
	assert.False(t, passed(t, text, 5, 0.05).Over)
	last := strings.Replace(text, "\n160;4.9", "\n160;8.9", 1)
	assert.Contains(t, last, ";8.9")
	assert.False(t, passed(t, last, 5, 0.05).Over, "nor is the last one")
}

// Without volumes the moment is named, and how far it went.
func TestAnAimPassedWithoutVolumes(t *testing.T) {
	var b strings.Builder
	b.WriteString("t_s,pH\n")
	for i := range 200 {
		fmt.Fprintf(&b, "%d,%.2f\n", i, 4+0.02*float64(i))
	}
	p := passed(t, b.String(), 6, 0.05)
	assert.True(t, p.Over)
	assert.Zero(t, p.Addition)
	assert.InDelta(t, 104, p.Line, 2, "6.05 is passed in the 103rd second, line 105 of the file")
	assert.InDelta(t, 7.98, p.After, 0.05)
	assert.Contains(t, p.Words, "the log has no volumes")
}
