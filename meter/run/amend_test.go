package run_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/run"
	"example.org/halfdrop/meter/run/answers"
	"example.org/halfdrop/meter/run/brought"
	"example.org/halfdrop/meter/run/keep"
	"example.org/halfdrop/meter/run/propose"
	"example.org/halfdrop/meter/run/typed"
	"example.org/halfdrop/meter/sim"
)

// folded is a log that keeps what is written, to be folded again.
type folded struct {
	keep.Discard
	events []journal.Event
}

func (f *folded) Append(e *journal.Event) error {
	err := f.Discard.Append(e)
	e.Seq++ // the start is not written here
	f.events = append(f.events, *e)
	return err
}

// again folds what was written.
func (f *folded) again(t *testing.T, p recipe.Plan) run.State {
	t.Helper()
	s, err := run.Open(first(p))
	require.NoError(t, err)
	for _, e := range f.events {
		s, err = run.Step(s, e)
		require.NoError(t, err)
	}
	return s
}

// TestAnAmendmentIsAnEvent: belief, aim and record go by the plan as amended, a fold of
// the journal does too, and a withdrawal leaves nothing of it.
func TestAnAmendmentIsAnEvent(t *testing.T) {
	b := newStand(t, phosphate(), func(_ *recipe.Setup, tr *sim.Truth) { tr.LnAmount = math.Log(0.5) })
	log := &folded{}
	k, err := keep.NewKeeper(first(phosphate()), log, wall)
	require.NoError(t, err)
	b.keep = k
	b.until("amount")
	before := b.keep.State
	e, says, err := propose.Confirming(before, b.sec, "amount:0.5")
	require.NoError(t, err)
	require.Equal(t, "the plan is amended: half of the buffer in the beaker", says)
	require.NoError(t, k.Take(e))
	s := k.State
	assert.InDelta(t, 5, s.Setup.Weighed[0].Amount.Millimoles(), 1e-9)
	assert.InDelta(t, 10, *s.Planned().Weighed[0].MMol, 1e-9)
	assert.InEpsilon(t, before.Bench().Buffer/2, s.Bench().Buffer, 1e-9)
	assert.NotEqual(t, before.Forecast().Aim, s.Forecast().Aim)
	v := s.Look(b.sec)
	assert.Equal(t, []string{"half of the buffer in the beaker"}, v.Amended)
	assert.InDelta(t, 0.5, v.Aimed/before.Look(b.sec).Aimed, 0.05, "about half as much leads to the aim of a thinner buffer")

	bottle, err := typed.Bottle("KOH 0.2 M")
	require.NoError(t, err)
	e, err = brought.Event(b.sec, bottle)
	require.NoError(t, err)
	require.NoError(t, k.Take(e))
	require.Len(t, k.State.Setup.Stocks, 4)
	assert.InDelta(t, 5, k.State.Setup.Weighed[0].Amount.Millimoles(), 1e-9, "a bottle takes no amendment back")
	assert.Equal(t, k.State.Look(b.sec).Advice, log.again(t, phosphate()).Look(b.sec).Advice)

	e, _, err = k.State.Unamending(b.sec, "amount:0.5")
	require.NoError(t, err)
	require.NoError(t, k.Take(e))
	require.Len(t, k.State.Setup.Stocks, 4, "and its withdrawal no bottle")
	assert.InDelta(t, 10, k.State.Setup.Weighed[0].Amount.Millimoles(), 1e-9)
	assert.Empty(t, k.State.Amendments())
	assert.Equal(t, before.Forecast().Aim, k.State.Forecast().Aim)
	_, _, err = k.State.Unamending(b.sec, "")
	require.ErrorIs(t, err, answers.ErrNotAmended)
	assert.Equal(t, k.State.Look(b.sec).Advice, log.again(t, phosphate()).Look(b.sec).Advice)
}

// TestWhatIsNoAmendment: answers that do not fit are refused with what would.
func TestWhatIsNoAmendment(t *testing.T) {
	b := newStand(t, phosphate(), nil)
	b.second()
	_, _, err := propose.Confirming(b.keep.State, b.sec, "amount:0.5")
	require.ErrorIs(t, err, propose.ErrNoCheck)
	_, _, err = propose.Passing(b.keep.State, b.sec, 250)
	require.ErrorContains(t, err, "only where there is no room")
	for name, a := range map[string]journal.Amendment{
		"nothing to withdraw": {Code: "amount:2", Back: true},
		"no reagent":          {Code: "x", Name: "x", Weighed: []byte(`[{"reagent":"unobtainium","mmol":5}]`)},
		"no JSON":             {Code: "x", Name: "x", Weighed: []byte(`7`)},
		"below the beaker":    {Code: "no_room", Name: "x", FinalML: 100},
	} {
		_, err := run.Step(b.keep.State, journal.Event{T: b.sec, Kind: journal.Amended, Amend: &a})
		require.Error(t, err, name)
	}
	tight := phosphate()
	tight.Beaker.FinalML = num(167)
	b = newStand(t, tight, func(_ *recipe.Setup, tr *sim.Truth) { tr.LnStrength[0] = math.Log(0.75) })
	v := b.until("no_room")
	require.Greater(t, v.Mark, 167.0)
	for _, ml := range []float64{-1, 150, 167, 1e6, math.NaN()} {
		_, _, err := propose.Passing(b.keep.State, b.sec, ml)
		require.ErrorContains(t, err, "the new mark", "%g", ml)
	}
	e, _, err := propose.Passing(b.keep.State, b.sec, 190)
	require.NoError(t, err)
	require.NoError(t, b.keep.Take(e))
	require.InDelta(t, 190, b.keep.State.Setup.Final.Millilitres(), 1e-9)
}

// TestALookIsEvidence: what was looked for and not found weighs less than before, and
// nothing of it is asked again on the same composition.
func TestALookIsEvidence(t *testing.T) {
	b := newStand(t, phosphate(), func(_ *recipe.Setup, tr *sim.Truth) { tr.LnStrength[0] = math.Log(0.1) })
	v := b.until("stock")
	weight := func(looked ...string) float64 {
		r := coach.Request{History: b.keep.State.History(), Now: coach.Present{PH: v.Settling.End, SD: v.Settling.SD, FinalSD: v.Settling.SD, Shown: v.Settling.End, Settled: true, Age: 200}}
		r.History.Looked = looked
		a := b.keep.State.Bench().Advise(r)
		for _, m := range a.Mistakes {
			if m.Code == "stock:base:0.1" {
				return a.Weight
			}
		}
		return 0
	}
	none, once := weight(), weight("stock:base:0.1")
	require.Greater(t, none, 0.9)
	require.Less(t, once, none)
	require.Zero(t, weight("stock:base:0.1", "stock:base:0.1"), "who has looked twice is believed")
	require.InDelta(t, none, weight("amount:2"), 0.02, "another question")
}
