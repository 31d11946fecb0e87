package run_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/run/propose"
	"example.org/halfdrop/meter/run/view"
)

// creep lets an electrode with a late part of share over tau s stand in a pH that it came
// to from before, until what is shown is what is wanted, or for some seconds.
func (w *walker) creep(before, ph, share, tau float64, seconds int, until func(view.View) bool) (v view.View) {
	w.t.Helper()
	for k := range seconds {
		w.sec++
		x := ph + (before-ph)*((1-share)*math.Exp(-float64(k)/5)+share*math.Exp(-float64(k)/tau))
		x = math.Round((x+0.012*w.r.NormFloat64())*1000) / 1000
		require.NoError(w.t, w.keep.Take(journal.Event{T: w.sec, Kind: journal.Read, Reading: &journal.Reading{PH: &x, TempC: num(25), Decimals: 3}}))
		if v = w.keep.Look(w.sec); until(v) {
			return v
		}
	}
	return v
}

// nearly is a buffer in which little is wanting: both forms of MOPS, at pH 7.1.
func nearly(t *testing.T) *walker {
	return walkingIn(t, recipe.Plan{
		Target: recipe.Target{PH: num(7.25)}, Beaker: recipe.Beaker{StartML: num(200), FinalML: num(250), TempC: num(25)},
		Weighed:  []recipe.Weighed{{Reagent: "MOPS", MMol: num(2.6)}, {Reagent: "MOPS sodium salt", MMol: num(2.4)}},
		Titrants: []recipe.Titrant{{Name: "NaOH 1 M", Reagent: "NaOH", Molar: num(1)}, {Name: "NaOH 0.1 M", Reagent: "NaOH", Molar: num(0.1)}},
	})
}

// TestWhatIsSafeIsOffered: a wait for a better reading says how long it takes at most
// and what may be done instead, and that is then what is ordered. The word of the person
// holds for this composition only.
func TestWhatIsSafeIsOffered(t *testing.T) {
	w := nearly(t)
	v := w.creep(6.2, 7.1, 0.08, 200, 44, func(view.View) bool { return false })
	require.Equal(t, coach.Settling, v.Advice.Reason, "%s: %s", v.Sentence(), v.Why())
	assert.Nil(t, v.Offer, "so soon a spread is not to be trusted")
	_, err := propose.Urging(w.keep.State, w.sec)
	require.ErrorIs(t, err, propose.ErrNothingHeld)

	v = w.creep(7.04, 7.1, 1, 200, 6, func(v view.View) bool { return v.Offer != nil })
	require.NotNil(t, v.Offer, "%s: %s", v.Sentence(), v.Why())
	assert.Equal(t, coach.Wait, v.Advice.Do)
	assert.Positive(t, v.Offer.Drops)
	assert.Contains(t, v.Why(), "; up to 4 min for a better one. g: go ahead with "+view.Amount(v.Offer.Drops, v.Offer.Volume)+" of "+v.Offer.Titrant)

	e, err := propose.Urging(w.keep.State, w.sec)
	require.NoError(t, err)
	require.NoError(t, w.keep.Take(e))
	next := w.keep.Look(w.sec)
	require.Equal(t, coach.Add, next.Advice.Do, next.Sentence())
	assert.Equal(t, v.Offer.Volume, next.Advice.Volume)
	assert.Equal(t, v.Offer.Titrant, next.Titrant)
	assert.Less(t, next.Advice.Chance, 0.02, "it is as safe as any other")

	a, err := w.keep.State.Addition(next.Titrant, next.Advice.Drops, 0)
	require.NoError(t, err)
	require.NoError(t, w.keep.Take(journal.Event{T: w.sec, Kind: journal.Added, Added: &a}))
	v = w.creep(6.9, 7.18, 0.3, 200, 120, func(v view.View) bool { return v.Advice.Do != coach.Wait || v.Offer != nil })
	assert.NotNil(t, v.Offer, "after another addition it waits again: %s", v.Sentence())
}

// TestNothingSafeIsSaid: where not one drop of the only bottle is safe on a vague reading,
// the wait says so, and who does not want to wait gets a drop or the question about one.
func TestNothingSafeIsSaid(t *testing.T) {
	w := walkingIn(t, recipe.Plan{
		Target: recipe.Target{PH: num(7.25)}, Beaker: recipe.Beaker{StartML: num(200), FinalML: num(250), TempC: num(25)},
		Weighed:  []recipe.Weighed{{Reagent: "MOPS", MMol: num(2.6)}, {Reagent: "MOPS sodium salt", MMol: num(2.4)}},
		Titrants: []recipe.Titrant{{Name: "NaOH 10 M", Reagent: "NaOH", Molar: num(10)}},
	})
	w.creep(6.2, 7.09, 0.08, 200, 44, func(view.View) bool { return false })
	v := w.creep(7.12, 7.18, 1, 200, 90, func(v view.View) bool { return v.Offer != nil && v.Offer.Unsafe })
	require.NotNil(t, v.Offer, "%s: %s", v.Sentence(), v.Why())
	require.True(t, v.Offer.Unsafe, "%s: %s", v.Sentence(), v.Why())
	assert.True(t, v.Offer.Asks)
	assert.Contains(t, v.Why(), " min for a better one; not one drop is safe yet. g: go by this one")
	e, err := propose.Urging(w.keep.State, w.sec)
	require.NoError(t, err)
	require.NoError(t, w.keep.Take(e))
	next := w.keep.Look(w.sec)
	assert.NotEqual(t, coach.Wait, next.Advice.Do, "%s: %s", next.Sentence(), next.Why())
	if next.Advice.Do == coach.Add {
		assert.LessOrEqual(t, next.Advice.Drops, 1.0)
		assert.LessOrEqual(t, next.Advice.Chance, 0.10)
	}
}
