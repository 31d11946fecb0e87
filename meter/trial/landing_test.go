package trial_test

import (
	"bytes"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/meter/trial"
)

var ordered = regexp.MustCompile(`aim ([\d.]+)  add \w+: (\S+) drops of (\w+) .*, to ([\d.]+) \(.*chance ([\d.]+)`)

// TestNoOrderContradictsItself: an addition that is said to pass the tolerance with
// next to no chance is not expected to land beyond it. On the bench of this seed the
// additions had brought other amounts than their drops: one more was ordered to land
// 1.3 tolerances past the aim, at a chance of 0.0000.
func TestNoOrderContradictsItself(t *testing.T) {
	var text bytes.Buffer
	_, err := trial.Story(&text, trial.Harsh, false, 830093, strategies(t, "coach")[0])
	require.NoError(t, err)
	orders := 0
	for line := range strings.Lines(text.String()) {
		m := ordered.FindStringSubmatch(line)
		if m == nil {
			continue
		}
		orders++
		aim, lands := number(t, m[1]), number(t, m[4])
		past := lands - aim
		if m[3] == "HCl" {
			past = -past
		}
		if number(t, m[5]) < 0.02 {
			assert.Less(t, past, 0.005, line)
		}
	}
	require.Positive(t, orders)
}

func number(t *testing.T, s string) float64 {
	t.Helper()
	x, err := strconv.ParseFloat(s, 64)
	require.NoError(t, err)
	return x
}
