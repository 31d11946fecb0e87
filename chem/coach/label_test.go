package coach_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/coach/coachtest"
)

// Where the readings say that the acid is a base, no bottle leads down: that is asked, and not
// whether there is an acid, which stands there. Who has looked at its label goes on with it.
func TestABottleThatIsSaidToBeAnother(t *testing.T) {
	b := coachtest.PlanOf("Tris", 20, 8)
	looked := func(first, second float64, up ...float64) coach.Advice {
		h := coach.History{Additions: []coach.Addition{{Volume: chem.Volume(first) * chem.Millilitre, Drops: 20 * first}, {Volume: chem.Volume(second) * chem.Millilitre, Drops: 20 * second}},
			Observations: []coach.Observation{{PH: b.Forecast().Start, SD: 0.01}, {After: 1, PH: up[0], SD: 0.01}}}
		r := coachtest.AtRest(h, up[1])
		a := b.Advise(r)
		require.Equal(t, coach.Mistaken, a.Reason)
		assert.Contains(t, a.Codes(), "kind:HCl 1 M")
		for n := 0; a.Reason == coach.Mistaken && n < 4; n++ { // whatever else it may be
			r.Confirmed, r.History.Looked = append(r.Confirmed, a.Codes()...), append(r.History.Looked, a.Codes()...)
			a = b.Advise(r)
		}
		return a
	}
	// Each mL brings 6.25 mmol/L of OH⁻, at pKw 14.0. The second addition is next to nothing.
	a := looked(2, 0.05, 12.05, 12.06)
	require.Equal(t, coach.Add, a.Do, a.Reason.String())
	assert.Equal(t, 0, a.Stock, "the acid, by its label")
	a = looked(2, 0.5, 12.05, 12.11) // nor is 0.06
	assert.NotEqual(t, coach.NoTitrant, a.Reason)
	a = looked(2, 0.8, 12.05, 12.19)
	assert.Equal(t, coach.NoTitrant, a.Reason, "0.14 the other way is")
	a = looked(2, 2, 12.05, 12.35)
	assert.Equal(t, coach.NoTitrant, a.Reason, "it has led the other way twice, whatever its label says")
}

// The wrong bottle leads further away, and was never past the aim: what follows is no way back,
// with its caution and its salt.
func TestTheWrongBottleIsNoOvershoot(t *testing.T) {
	b := coachtest.PlanOf("Tris", 20, 8)
	start := b.Forecast().Start
	h := coach.History{Additions: []coach.Addition{{Stock: 1, Volume: 0.5 * chem.Millilitre, Drops: 10}}, Observations: []coach.Observation{{PH: start, SD: 0.02}}}
	wrong := b.Advise(coachtest.AtRest(h, start+0.45))
	require.Equal(t, coach.Add, wrong.Do, wrong.Reason.String())
	assert.NotEqual(t, coach.Past, wrong.Reason)
	assert.Zero(t, wrong.Salt)

	over := coach.History{Additions: []coach.Addition{{Volume: 13.2 * chem.Millilitre, Drops: 264}}, Observations: []coach.Observation{{PH: start, SD: 0.02}}}
	a := b.Advise(coachtest.AtRest(over, 7.8))
	require.Equal(t, coach.Past, a.Reason, a.Do.String())
	assert.InEpsilon(t, a.Volume.Litres(), a.Salt, 0.2, "as much as goes back, 1 M")
}
