package heading_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"example.org/halfdrop/meter/foreign/heading"
)

// What the lines above a table say of a titration; of two that differ neither is taken.
func TestHeading(t *testing.T) {
	k, notes := heading.From([]string{"Titrant: 0.1042 mol/L NaOH", "sample volume 25.00 mL"})
	assert.Empty(t, notes)
	assert.InDelta(t, 0.1042, k.Molar, 1e-9)
	assert.InDelta(t, 25, k.SampleML, 1e-9)
	assert.Equal(t, "a sample of 25 mL, a titrant of 0.1042 mol/L", k.Words())
	assert.Len(t, k.From, 2)

	k, notes = heading.From([]string{"sample volume 25.00 mL", "sample volume 50.00 mL"})
	assert.Zero(t, k.SampleML)
	assert.NotEmpty(t, notes)
}
