package run_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem/recipe"
	memory "example.org/halfdrop/meter/bench"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/run"
	"example.org/halfdrop/meter/run/brought"
	"example.org/halfdrop/meter/run/propose"
	"example.org/halfdrop/meter/run/typed"
)

// What is known of a bottle that is brought is in its event, so that resume and replay
// see the same, and the coach doses by it.
func TestABottleThatIsBroughtIsRemembered(t *testing.T) {
	book := memory.Book{}
	book.Put(memory.Run{At: dawn.AddDate(0, 0, -3), Plan: "x", SharedSDPct: 1.5,
		Drops: []memory.Drop{{Dropper: "blue", Bottle: "B7", Reagent: "sodium hydroxide", Molar: 0.5, DropUL: 50, Umol: 32.5, SDPct: 2}}})
	recall := func(s *recipe.Setup) memory.Taken { return book.Recall(s, "", dawn) }
	s, err := run.Open(first(bottles(phosphate(), "base")))
	require.NoError(t, err)
	bring := func(text string) (journal.Event, []string) {
		b, err := typed.Bottle(text)
		require.NoError(t, err)
		e, err := brought.Event(1, b)
		require.NoError(t, err)
		return propose.WithKnown(s, e, recall)
	}
	e, words := bring("NaOH 0.5 M, 50 µL, bottle B7, dropper blue")
	require.Len(t, words, 1)
	require.Contains(t, words[0], "1.2")
	next, err := run.Step(s, e)
	require.NoError(t, err)
	require.Len(t, next.Taken().Stocks, 1)
	require.InDelta(t, math.Log(1.3), next.Bench().Stocks[1].Learned.LnFactor, 0.05)
	require.Empty(t, s.Taken(), "the state before stays as it was")

	e, words = bring("NaOH 0.5 M, 50 µL, bottle B8")
	require.Empty(t, words)
	require.Empty(t, e.Known)
	next, err = run.Step(s, e)
	require.NoError(t, err)
	require.Nil(t, next.Bench().Stocks[1].Learned)

	e, _ = bring("NaOH 0.5 M, 50 µL, bottle B7, dropper blue")
	e.Known = []byte(`{"stocks":[{"titrant":"NaOH 0.5 M","factor":-1}]}`)
	_, err = run.Step(s, e)
	require.ErrorContains(t, err, "what is known of the bottle")
}
