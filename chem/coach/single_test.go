package coach_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/coach/coachtest"
)

// TestFullBeakerTakesConsent: what does not fit under the mark is asked about,
// and given beyond it once a person has agreed to a larger volume.
func TestFullBeakerTakesConsent(t *testing.T) {
	b, y := coachtest.LargeDrop(0.6)
	b.Final = b.Start + 0.1*chem.Millilitre // two drops; it takes about 23
	r := coach.Request{Now: coach.Present{PH: y, Shown: y, SD: 0.001, FinalSD: 0.001, Settled: true, Age: 300}}
	r.History.Additions = []coach.Addition{{Stock: 0, Volume: 0.05 * chem.Millilitre, Drops: 1}, {Stock: 0, Volume: 0.05 * chem.Millilitre, Drops: 1}}
	r.History.Observations = nil
	a := b.Advise(r)
	require.Equal(t, coach.Check, a.Do, "%+v", a)
	require.Equal(t, coach.NoRoom, a.Reason)
	r.Confirmed = a.Codes()
	a = b.Advise(r)
	require.Equal(t, coach.Add, a.Do, "%+v", a)
	require.Greater(t, a.Drops, 2.0)
}
