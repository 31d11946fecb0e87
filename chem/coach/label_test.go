package coach_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/coach"
)

// Where the readings say that the acid is a base, no bottle leads down: that is asked, and not
// whether there is an acid, which stands there. Who has looked at its label goes on with it.
func TestABottleThatIsSaidToBeAnother(t *testing.T) {
	b := planOf(t, "Tris", 20, 8)
	dose := coach.Addition{Volume: 2 * chem.Millilitre, Drops: 40}
	h := coach.History{Additions: []coach.Addition{dose, dose}, Observations: []coach.Observation{{PH: b.Forecast().Start, SD: 0.01}, {After: 1, PH: 12.05, SD: 0.01}}}
	r := atRest(h, 12.35) // as 2 mmol of base in 160 mL lead, and 4: 12.5 mmol/L of OH⁻ at pKw 14.0, and 25
	a := b.Advise(r)
	require.Equal(t, coach.Mistaken, a.Reason)
	assert.Contains(t, a.Codes(), "kind:HCl 1 M")
	asked := 0
	for ; a.Do == coach.Check && asked < 4; asked++ { // whatever else it may be
		require.NotEqual(t, coach.NoTitrant, a.Reason)
		r.Confirmed, r.History.Looked = append(r.Confirmed, a.Codes()...), append(r.History.Looked, a.Codes()...)
		a = b.Advise(r)
	}
	require.Equal(t, coach.Add, a.Do, a.Reason.String())
	assert.Equal(t, 0, a.Stock, "the acid, by its label")
}

// The wrong bottle leads further away, and was never past the aim: what follows is no way back,
// with its caution and its salt.
func TestTheWrongBottleIsNoOvershoot(t *testing.T) {
	b := planOf(t, "Tris", 20, 8)
	start := b.Forecast().Start
	h := coach.History{Additions: []coach.Addition{{Stock: 1, Volume: 0.5 * chem.Millilitre, Drops: 10}}, Observations: []coach.Observation{{PH: start, SD: 0.02}}}
	wrong := b.Advise(atRest(h, start+0.45))
	require.Equal(t, coach.Add, wrong.Do, wrong.Reason.String())
	assert.NotEqual(t, coach.Past, wrong.Reason)
	assert.Zero(t, wrong.Salt)

	over := coach.History{Additions: []coach.Addition{{Volume: 13.2 * chem.Millilitre, Drops: 264}}, Observations: []coach.Observation{{PH: start, SD: 0.02}}}
	a := b.Advise(atRest(over, 7.8))
	require.Equal(t, coach.Past, a.Reason, a.Do.String())
	assert.InEpsilon(t, a.Volume.Litres(), a.Salt, 0.2, "as much as goes back, 1 M")
}
