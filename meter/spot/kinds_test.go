package spot

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"example.org/halfdrop/meter/sim"
)

// Every fault has a row, its name is one of the simulated bench, and every fault of that
// bench which readings can show can be named.
func TestFaultsAreThoseOfTheBench(t *testing.T) {
	for f, k := range kinds {
		s, err := sim.FaultOf(string(f))
		assert.NoError(t, err)
		assert.NotEmpty(t, k.try, f)
		assert.Equal(t, string(f), s.Name)
	}
	for _, s := range sim.Faults() {
		_, row := kinds[Fault(s.Name)]
		assert.True(t, row || !s.Seen, "meter/spot has no row for the fault %q, which readings can show", s.Name)
	}
}
