package run_test

import (
	"path/filepath"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/run/view"
	"example.org/halfdrop/meter/spot"
)

// The run is begun while the electrode stands in the standard of pH 7 still. Nothing is
// ordered on that, and nobody is asked about a crack before there was time to put it in.
func TestTheElectrodeIsNotInTheBeakerYet(t *testing.T) {
	b, _ := record(t, filepath.Join(t.TempDir(), "run.jsonl"), 6)
	still := b.shown(7.01, 0.002, 40)
	for i, v := range still {
		assert.Equal(t, coach.Wait, v.Advice.Do, "%d s: %s", i, v.Sentence())
	}
	assert.Contains(t, still[39].Why(), "press i when the electrode is in the beaker")
	in := b.shown(10.4, 0.002, 40) // Tris base, from then on
	assert.Equal(t, 0, dos(in)[coach.Check], in[39].Sentence())
	assert.NotZero(t, dos(in)[coach.Add])
}

// Nothing is ordered on the reading at which it is put in either: it is not believed yet, and
// the question about the one before was left out for that, so that an order came that rested
// on the standard.
func TestNothingIsOrderedAsItIsPutIn(t *testing.T) {
	for at := 21; at < 40; at++ {
		b, _ := record(t, filepath.Join(t.TempDir(), "run.jsonl"), 6)
		b.shown(7.01, 0.002, at)
		for i, v := range b.shown(9.2, 0.002, 3) {
			assert.NotEqual(t, coach.Add, v.Advice.Do, "%d s, %d: %s", at, i, v.Sentence())
		}
	}
}

// Nor is anybody told after some seconds, by the pH of the standard, that the other form was
// weighed in.
func TestTheStandardAccusesNobody(t *testing.T) {
	p := tris()
	p.Target = recipe.Target{PH: num(5.12), Tolerance: num(0.1)}
	p.Beaker = recipe.Beaker{StartML: num(350), FinalML: num(500), TempC: num(22.8)}
	p.Weighed = []recipe.Weighed{{Reagent: "acetic acid", MMol: num(7.52)}}
	p.Titrants = []recipe.Titrant{{Name: "NaOH 1 M", Reagent: "NaOH", Molar: num(1), DropUL: num(50)}, {Name: "HCl 1 M", Reagent: "HCl", Molar: num(1), DropUL: num(50)}}
	b := planned(t, p)
	var out []view.View
	for _, ph := range []float64{3.243, 5.946, 6.57, 6.722, 6.769, 6.79, 6.804, 6.815, 6.825, 6.835} { // it goes back into the standard
		out = append(out, b.shown(ph, 1e-6, 1)...)
	}
	out = append(out, b.shown(7.01, 0.002, 30)...)
	for i, v := range out {
		assert.NotEqual(t, coach.Mistaken, v.Advice.Reason, "%d s: %s", i, v.Sentence())
		assert.NotEqual(t, coach.Add, v.Advice.Do, "%d s: %s", i, v.Sentence())
	}
}

// A beaker that starts at 7 by its plan is ordered on all the same, after the twenty seconds
// that somebody needs to put an electrode in (a choice of this project).
func TestABeakerThatStandsAtSeven(t *testing.T) {
	p := tris()
	p.Target = recipe.Target{PH: num(8.5), Tolerance: num(0.02)}
	p.Beaker = recipe.Beaker{StartML: num(200), FinalML: num(250), TempC: num(22)}
	p.Weighed = []recipe.Weighed{{Reagent: "HEPES", MMol: num(10)}, {Reagent: "sodium hydroxide", MMol: num(2.2)}}
	p.Titrants = []recipe.Titrant{{Name: "NaOH 1 M", Reagent: "NaOH", Molar: num(1), DropUL: num(50)}}
	b := planned(t, p)
	views := b.shown(6.97, 0.001, 44)
	at := slices.IndexFunc(views, func(v view.View) bool { return v.Advice.Do == coach.Add })
	require.GreaterOrEqual(t, at, 0, views[43].Sentence())
	assert.InDelta(t, 25, at, 5)
}

// Nor is anything ordered on a liquid that is no standard and far from where the beaker starts,
// until somebody says that it is the beaker: base was ordered on 6.1 in a plan that starts at
// 9.3, given, and led to 10.2.
func TestTheElectrodeStandsInAnotherLiquid(t *testing.T) {
	for _, answer := range []journal.Kind{journal.Confirmed, journal.Immersed} {
		b, _ := record(t, filepath.Join(t.TempDir(), "run.jsonl"), 6)
		b.shown(5.6, 0.002, 6) // it comes from elsewhere, too
		waits := b.shown(6.1, 0.002, 34)
		assert.Zero(t, dos(waits)[coach.Check]+dos(waits)[coach.Add])
		assert.Contains(t, waits[33].Why(), "press i when the electrode is in the beaker")
		asked := b.shown(6.1, 0.002, 20)
		v := asked[19]
		require.Equal(t, coach.Check, v.Advice.Do, v.Sentence())
		assert.Contains(t, v.Why(), "i when the electrode is in the beaker")
		assert.Equal(t, "CHECK whether the electrode is in the beaker", v.Sentence())
		require.NoError(t, b.keep.Take(journal.Event{T: b.sec, Kind: answer}))
		for i, v := range b.shown(6.1, 0.002, 60) {
			assert.False(t, v.Advice.Do == coach.Check && v.Advice.Reason == coach.Faulty, "%s, %d s: asked again: %s", answer, i, v.Why())
		}
	}
	b, _ := record(t, filepath.Join(t.TempDir(), "run.jsonl"), 6)
	b.shown(5.6, 0.002, 6)
	b.shown(6.1, 0.002, 60)
	in := b.shown(10.4, 0.002, 40)
	assert.NotZero(t, dos(in)[coach.Add], "%s", in[39].Sentence())
	assert.Equal(t, coach.Add, in[39].Advice.Do)
}

// Who says that something was given already is accused of nothing by the start, and led on from
// there: of 7.52 mmol of acetate 96 % are base at pH 6.2 and half of it at 4.76 (pKa 4.756,
// Harned & Ehlers 1932, from memory), 3.5 mmol or 69 drops of 0.05. The answer agrees to nothing
// that was not asked: too weak an acid is asked about next.
func TestSomethingWasGivenAlready(t *testing.T) {
	for molar, drops := range map[float64]float64{1: 69, 0.03: 0} {
		p := tris()
		p.Target = recipe.Target{PH: num(4.76), Tolerance: num(0.05)}
		p.Beaker = recipe.Beaker{StartML: num(350), FinalML: num(500), TempC: num(22.8)}
		p.Weighed = []recipe.Weighed{{Reagent: "acetic acid", MMol: num(7.52)}}
		p.Titrants = []recipe.Titrant{{Name: "NaOH", Reagent: "NaOH", Molar: num(molar), DropUL: num(50)}, {Name: "HCl", Reagent: "HCl", Molar: num(molar), DropUL: num(50)}}
		b := planned(t, p)
		b.shown(7.01, 0.002, 5)
		v := b.shown(6.2, 0.002, 60)[59]
		require.Equal(t, coach.Faulty, v.Advice.Reason, v.Sentence())
		require.NoError(t, b.keep.Take(journal.Event{T: b.sec, Kind: journal.Confirmed}))
		assert.True(t, b.keep.State.History().Begun)
		v = b.shown(6.2, 0.002, 40)[39]
		if drops == 0 {
			assert.Equal(t, coach.ManyDrops, v.Advice.Reason, v.Sentence())
			continue
		}
		require.Equal(t, coach.Add, v.Advice.Do, v.Sentence())
		assert.Equal(t, 1, v.Advice.Stock)
		assert.Greater(t, v.Advice.Drops, drops/10)
		assert.Less(t, v.Advice.Drops, drops)
	}
}

// Less than a unit beside the plan is a buffer that somebody has begun with, or weighed badly:
// of that the readings will tell.
func TestANearStartIsTheBeaker(t *testing.T) {
	for ph, asks := range map[float64]bool{9.05: false, 8.2: true} { // Tris base, from 10.0 by its plan on
		b, _ := record(t, filepath.Join(t.TempDir(), "run.jsonl"), 6)
		b.shown(5.6, 0.002, 6)
		v := b.shown(ph, 0.002, 60)[59]
		far := slices.ContainsFunc(v.Spotted, func(f spot.Finding) bool { return f.Outside })
		assert.Equal(t, asks, far, "%g: %s | %s", ph, v.Sentence(), v.Why())
	}
}

// Who leaves it where it is, is asked in the end.
func TestTheElectrodeIsNeverPutIn(t *testing.T) {
	b, _ := record(t, filepath.Join(t.TempDir(), "run.jsonl"), 6)
	still := b.shown(7.01, 0.002, 70)
	assert.Zero(t, dos(still)[coach.Add])
	assert.Equal(t, coach.Check, still[69].Advice.Do)
	assert.Contains(t, still[69].Why(), "i when the electrode is in the beaker")
}

// The electrode is rinsed while the drops of an order are counted, and somebody says that it is in
// the beaker again. That says something of readings and nothing of the order, which went
// under the hand: the next one was for a tenth, and what was given was refused as senseless.
func TestTheElectrodeIsRinsedWhileDropsFall(t *testing.T) {
	rinsed(t, 0)
}

// The same, and whoever counts stands about for a while before the other half: what moved then was
// called "nothing on record" in the moment it was put on record.
func TestTheElectrodeIsRinsedAndTheRestFallsLater(t *testing.T) {
	rinsed(t, 15)
}

// rinsed is an order of which half falls before the electrode is rinsed, and half so many seconds
// after somebody has said that it is in again.
func rinsed(t *testing.T, later int) {
	t.Helper()
	b, _ := record(t, filepath.Join(t.TempDir(), "run.jsonl"), 6)
	was := b.order()
	drops := was.Advice.Drops
	require.NoError(t, b.keep.Take(journal.Event{T: b.sec, Kind: journal.Dosing}))
	for range int(drops) / 2 {
		require.NoError(t, b.sim.Dispense(was.Titrant, 1, 0))
		b.second()
	}
	v := b.seconds(3)
	require.NotNil(t, v.Falling, v.Sentence())
	b.shown(6.2, 0.002, 8)
	require.NoError(t, b.keep.Take(journal.Event{T: b.sec, Kind: journal.Immersed}))
	b.seconds(later)
	for range int(drops) - int(drops)/2 {
		require.NoError(t, b.sim.Dispense(was.Titrant, 1, 0))
		v = b.second()
		require.Contains(t, []coach.Reason{coach.Dosing, coach.Unsaid}, v.Advice.Reason, v.Sentence())
		require.InDelta(t, drops, v.Advice.Drops, 0.1)
	}
	b.seconds(3)
	a, err := b.keep.State.Addition(was.Titrant, drops, 0)
	require.NoError(t, err)
	require.Nil(t, b.keep.State.Doubt(a, nil))
	require.NoError(t, b.keep.Take(journal.Event{T: b.sec, Kind: journal.Added, Added: &a}))
	assert.InDelta(t, was.Settling.End, b.keep.Look(b.sec).Entries[0].Before.End, 0.02, "what is known of before is what it was ordered on")
	for range 20 {
		v = b.second()
		require.NotEqual(t, coach.Moved, v.Advice.Reason)
		require.NotContains(t, v.Why(), "nothing on record")
	}
	next := b.order()
	assert.InDelta(t, was.Advice.After, next.Settling.End, 0.35)
	assert.Equal(t, was.Titrant, next.Titrant)
}

// The electrode was out while an order stood, nobody said what became of the order, and then that
// the electrode is in: what was given is asked about where the reading stands nearer than before,
// and where it does not nothing is. The order was forgotten, and given twice.
func TestTheElectrodeWasOutAndNobodySaidWhatFell(t *testing.T) {
	for _, fell := range []bool{true, false} {
		b, _ := record(t, filepath.Join(t.TempDir(), "run.jsonl"), 6)
		was := b.order()
		if fell {
			for range int(was.Advice.Drops) {
				require.NoError(t, b.sim.Dispense(was.Titrant, 1, 0))
				b.second()
			}
		}
		b.shown(was.Settling.End-0.3, 0.01, 10)
		require.NotNil(t, b.keep.Look(b.sec).Falling, "it looks like drops")
		require.NoError(t, b.keep.Take(journal.Event{T: b.sec, Kind: journal.Immersed}))
		asked, ordered := false, 0.0
		for range 60 {
			v := b.second()
			asked = asked || v.Advice.Reason == coach.Unsaid
			if asked || v.Advice.Do == coach.Add {
				ordered = v.Advice.Drops
				break
			}
		}
		assert.Equal(t, fell, asked)
		assert.InEpsilon(t, was.Advice.Drops, ordered, 0.15)
	}
}
