package report_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/meter/journal"
)

// A temperature within 1 °C is that of use; what the pH is at another one is said where it
// differs by more than half of a last digit.
func TestTheTemperatureOfUse(t *testing.T) {
	of := func(off float64) (wanted, target float64, label string) {
		temp := 30 - off
		rec := after(t, eventfulRun(t, limpet), journal.Event{Kind: journal.MadeUp, MadeUp: &journal.Making{PH: 7.21, TempC: &temp}})
		require.NotNil(t, rec.Finished)
		wanted, target = rec.Finished.Wanted, rec.Target
		rec.Finished.Wanted = target + 0.0044*off
		return wanted, target, strings.Join(rec.LabelLines(), "\n")
	}
	wanted, target, label := of(0.9)
	assert.Equal(t, target, wanted)
	assert.NotContains(t, label, "7.20 at 30.0 °C is")
	wanted, target, label = of(1.15)
	assert.NotEqual(t, target, wanted)
	assert.Contains(t, label, "7.20 at 30.0 °C is")
}
