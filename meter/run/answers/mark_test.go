package answers_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/run/answers"
	"example.org/halfdrop/meter/run/runtest"
)

// A plan of 160 mL to the mark of 200 mL that still needs 40 mL: with a third to spare 212 mL,
// which is 215 mL in steps of a twentieth of 100. Twice the mark is the most that is
// proposed, and five times the most that is taken.
func TestMark(t *testing.T) {
	p := runtest.Tris()
	p.Beaker.StartML, p.Beaker.FinalML = runtest.Num(160), runtest.Num(200)
	setup, err := recipe.Compile(p)
	require.NoError(t, err)
	m := answers.MarkOf(p, setup)
	for _, tt := range []struct{ in, need, mark float64 }{
		{160, 40, 215}, {160, 1, 205}, {160, 150, 355}, {160, 400, 400}, {160, math.Inf(1), 205},
	} {
		assert.InDelta(t, tt.mark, m.Roomier(chem.Volume(tt.in)*chem.Millilitre, tt.need), 1e-9, "%g mL needed", tt.need)
	}
	for ml, wrong := range map[float64]bool{199: true, 200: true, 205: false, 1000: false, 1001: true} {
		assert.Equal(t, wrong, m.Check(ml) != nil, "%g mL", ml)
	}
	// What was agreed to once is the mark now; it is measured by the one that was meant.
	p.Beaker.FinalML = runtest.Num(400)
	now, err := recipe.Compile(p)
	require.NoError(t, err)
	p.Beaker.FinalML = runtest.Num(200)
	assert.Zero(t, answers.MarkOf(p, now).Roomier(160*chem.Millilitre, 400))
}
