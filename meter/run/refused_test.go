package run_test

import (
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/run/brought"
	"example.org/halfdrop/meter/run/view"
)

// A bottle that is empty: nothing of it is given, and said so, twice. It is not ordered from
// a third time; the others go on, and where none of them leads another bottle is asked for.
func TestABottleThatIsEmpty(t *testing.T) {
	untilOrder := func(b *stand) (v view.View) {
		for range 120 {
			if v = b.second(); v.Advice.Do != coach.Wait {
				return v
			}
		}
		return v
	}
	empty := func(b *stand, v view.View) view.View {
		require.Equal(t, coach.Add, v.Advice.Do, v.Sentence())
		require.NoError(t, b.keep.Take(journal.Event{T: b.sec, Kind: journal.Declined}))
		return untilOrder(b)
	}
	none := func(*stand, int, view.View) bool { return true }

	two := bottles(phosphate(), "base", "weak base")
	b := newStand(t, two, nil)
	b.hands = none
	v := untilOrder(b)
	require.Equal(t, "base", v.Titrant)
	v = empty(b, v)
	require.Equal(t, "base", v.Titrant, "once is no more than a slip")
	v = empty(b, v)
	assert.Equal(t, "weak base", v.Titrants[v.Advice.Stock], v.Sentence())
	assert.Contains(t, v.Note, "nothing of base was given, twice")
	b.add("base", 3) // a new one of the same name
	v = untilOrder(b)
	assert.Equal(t, "base", v.Titrant, v.Sentence())

	// One of the same label that is brought takes its place at once, under a name of its own.
	fresh := two.Titrants[0]
	fresh.Bottle = "B8"
	for _, name := range []string{"base, B8", "base (2)"} {
		fresh = brought.Named(fresh, b.keep.State.Setup.Stocks)
		require.Equal(t, name, fresh.Name)
		e, err := brought.Event(b.sec, fresh)
		require.NoError(t, err)
		require.NoError(t, b.keep.Take(e))
		v = untilOrder(b)
		assert.Equal(t, name, v.Titrants[v.Advice.Stock], v.Sentence())
		assert.Contains(t, v.Note, name+" is used in place of base")
		fresh.Name, fresh.Bottle = "base", ""
	}

	one := bottles(phosphate(), "base")
	b = newStand(t, one, nil)
	b.hands = none
	v = empty(b, empty(b, untilOrder(b)))
	require.Equal(t, coach.NoTitrant, v.Advice.Reason, v.Sentence())
	assert.Contains(t, v.Sentence(), "nothing of it was given, twice")
	require.NoError(t, b.keep.Take(journal.Event{T: b.sec, Kind: journal.Confirmed}))
	assert.Equal(t, coach.Add, untilOrder(b).Advice.Do, "there is some of it after all")
}

// Who is asked whether an order was given, and has not got round to it yet, refuses nothing: after
// two honest answers the bottle was said to be set aside.
func TestAnOrderThatIsNotGivenYetIsNoRefusal(t *testing.T) {
	b, _ := record(t, filepath.Join(t.TempDir(), "run.jsonl"), 6)
	was := b.order()
	end := was.Settling.End
	for range 2 {
		asked := false
		for i := 0; i < 240 && !asked; i++ { // it creeps on, and nobody has moved
			end -= 0.0002
			v := b.shown(end, 0.0005, 1)[0]
			if asked = v.Advice.Reason == coach.Unsaid; asked {
				require.Contains(t, v.Why(), "hardly moved")
			}
		}
		require.True(t, asked)
		require.NoError(t, b.keep.Take(journal.Event{T: b.sec, Kind: journal.Declined}))
	}
	var v view.View
	for range 60 {
		if v = b.shown(end, 0.0005, 1)[0]; v.Advice.Do == coach.Add {
			break
		}
	}
	assert.Equal(t, was.Titrant, v.Titrant, v.Sentence())
	assert.NotContains(t, v.Note, "left aside")
}
