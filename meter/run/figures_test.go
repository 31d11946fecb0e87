package run

import (
	"encoding/json"
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/probe"
	"example.org/halfdrop/meter/run/view"
)

// stood is an invented Tris buffer that has read 9.000 for two minutes, on a meter with
// three decimals, with six drops of acid ordered at 120 s: the reading is to go down.
func stood(t *testing.T) State {
	t.Helper()
	n := func(x float64) *float64 { return &x }
	plan, err := json.Marshal(recipe.Plan{
		Name: "Tris, invented", Target: recipe.Target{PH: n(8.2), Tolerance: n(0.02)},
		Beaker:   recipe.Beaker{StartML: n(160), FinalML: n(200), TempC: n(22)},
		Weighed:  []recipe.Weighed{{Reagent: "Tris", MMol: n(20)}},
		Titrants: []recipe.Titrant{{Name: "acid", Reagent: "HCl", Molar: n(2), DropUL: n(50)}},
	})
	require.NoError(t, err)
	s, err := Open(journal.Event{Seq: 1, At: time.Date(2031, 5, 4, 6, 0, 0, 0, time.UTC), Kind: journal.Started,
		Start: &journal.Start{Format: journal.Format, Program: "test", Plan: plan}})
	require.NoError(t, err)
	for i := 1; i <= 120; i++ {
		s = reads(t, s, float64(i), 9)
	}
	a := journal.Advice{Do: coach.Add.String(), Reason: coach.Near.String(), Titrant: "acid", Drops: 6, ML: 0.3, Aim: 8.2}
	s = s.advised(journal.Event{T: 120, Kind: journal.Advised, Advice: &a})
	require.NotNil(t, s.order.Advice)
	require.Equal(t, -1.0, s.pull(s.order.Stock), "acid leads down")
	return s
}

// reads is the state after one more reading.
func reads(t *testing.T, s State, at, ph float64) State {
	t.Helper()
	next, err := Step(s, journal.Event{Seq: s.Seq + 1, T: at, Kind: journal.Read, Reading: &journal.Reading{PH: &ph, Decimals: 3}})
	require.NoError(t, err)
	return next
}

// moved is that beaker with the reading on its way up, which the order does not explain,
// and the level that it has left.
func moved(t *testing.T) (State, probe.Estimate) {
	t.Helper()
	s := stood(t)
	for i := 1; len(s.track.Moves()) == 0; i++ {
		require.Less(t, i, 20, "a movement is seen")
		s = reads(t, s, 125+float64(i), 9+0.1*float64(i))
	}
	return s, s.track.Moves()[0].Before
}

// A reading that stands elsewhere by itself is asked about from three spreads on, of both
// readings together; from less nobody can tell.
func TestAReadingElsewhereIsAskedAbout(t *testing.T) {
	s, before := moved(t)
	both := math.Hypot(0.05, before.SD)
	for spreads, asked := range map[float64]bool{1.7: false, 2.8: false, 3.2: true, 5.5: true} {
		est := probe.Estimate{State: probe.Settled, End: before.End + spreads*both, SD: 0.05}
		assert.Equal(t, asked, s.unexplained(est), "%g spreads", spreads)
	}
	// Who has answered is not asked again within a minute: what makes an electrode wander lasts.
	from := s.track.Moves()[0].From
	for after, asked := range map[float64]bool{20: false, 45: false, 58: false, 62: true, 100: true} {
		s.wentAt = from - after
		assert.Equal(t, asked, s.unexplained(probe.Estimate{State: probe.Settled, End: before.End + 0.5, SD: 0.05}), "%g s after an answer", after)
	}
}

// Hands off is taken back when the reading will end one and a half spreads outside the
// tolerance, not at its very edge.
func TestHandsOffIsTakenBack(t *testing.T) {
	s := stood(t)
	s.advice = &journal.Advice{Do: coach.Wait.String(), Reason: coach.HandsOff.String(), Aim: 8.2}
	tol := s.bench.Tolerance
	for spreads, stays := range map[float64]bool{0.5: true, 1.4: true, 1.6: false, 2.8: false} {
		est := probe.Estimate{State: probe.Settling, End: 8.2 + tol + spreads*0.004, SD: 0.004}
		assert.Equal(t, stays, s.keepsOff(est), "%g spreads outside", spreads)
	}
}

// After a word that the first drop falls, and with nothing that moves, it is asked after
// half a minute whether it was given.
func TestAToldDropIsAskedAbout(t *testing.T) {
	s := stood(t).dose(journal.Event{T: 125, Kind: journal.Dosing})
	asked := 0.0
	for now := 121.0; asked == 0; now++ {
		require.Less(t, now, 260.0, "it is asked")
		s = reads(t, s, now, 9)
		if f, ok := s.order.Falling(s.beaker(s.track.Estimate(now), now)); ok && f.Asks {
			asked = now - 125
		}
	}
	assert.InDelta(t, 30, asked, 2)
}

// A reading that came to rest and is still on its way to its end is asked about 40 s later:
// until then more drops may be falling.
func TestOnItsWayItIsAskedLater(t *testing.T) {
	s := stood(t)
	now := 126.0
	for ph := 9.0; ; now++ {
		require.Less(t, now, 200.0, "it comes to rest")
		if ph = ph - 0.1; ph < 8.6 {
			ph = 8.6
		}
		s = reads(t, s, now, ph)
		if m := s.track.Moves(); len(m) > 0 && !math.IsNaN(m[0].To) {
			break
		}
	}
	m := s.track.Moves()[0]
	est := probe.Estimate{State: probe.Settling, End: 8.2, Now: 8.6}
	for after, asked := range map[float64]bool{21: false, 39: false, 41: true, 79: true} {
		f, ok := s.order.Falling(s.beaker(est, m.Rested+after))
		require.True(t, ok && f.Rest)
		assert.Equal(t, asked, f.Asks, "%g s at rest", after)
	}
}

// What was read at done stays where the electrode left within 5 s before it was said: the
// first readings of a movement are known for one after some more.
func TestDoneStaysWhenTheElectrodeHadJustLeft(t *testing.T) {
	s, _ := moved(t)
	from := s.track.Moves()[0].From
	v := view.View{Advice: coach.Advice{Do: coach.Wait, Reason: coach.Settling}}
	for later, stays := range map[float64]bool{-60: true, 2.6: true, 4.9: true, 5.1: false, 9.9: false} {
		s.done = &done{Value: view.Value{PH: 9, T: from + later}}
		assert.Equal(t, stays, s.reached(&v), "done said %g s after it", later)
	}
}

// A reading is old after three intervals of the meter, and not before 3 s.
func TestWhenAReadingIsOld(t *testing.T) {
	for every, old := range map[float64]float64{0.5: 3, 1: 3, 2: 6, 5: 15} {
		s := stood(t)
		for i := 1.0; i <= 60; i++ {
			s = reads(t, s, 120+i*every, 9)
		}
		assert.InDelta(t, old, s.staleAfter(), 0.3, "one reading in %g s", every)
	}
}

// A reading that ends outside the tolerance by less than one and a half spreads is no
// longer left alone when that has held for twenty seconds, and its spread is under half of
// the tolerance: what is 0.3 tolerances outside was kept for six minutes. One reading that
// ends inside begins the time anew.
func TestHandsOffIsTakenBackInTime(t *testing.T) {
	for _, tt := range []struct {
		what   string
		beyond float64 // tolerances that the reading ends from the aim
		spread float64 // tolerances
		odd    bool    // it ends inside for a moment after 12 s
		kept   float64 // s that it is left alone, of a minute
	}{
		{"outside", 1.15, 0.3, false, 20},
		{"and for a moment inside", 1.15, 0.3, true, 33},
		{"nobody knows that well", 1.15, 0.6, false, 60},
		{"inside", 0.9, 0.3, false, 60},
	} {
		s := stood(t)
		tol, kept := s.bench.Tolerance, 0.0
		for i := range 60 {
			at := tt.beyond
			if tt.odd && i == 12 {
				at = 0.9
			}
			now := 121 + float64(i)
			s = s.asIf(9 - at*tol)
			s.T = now
			s.edge(now, probe.Estimate{State: probe.Settling, Now: 9, End: 9, SD: tt.spread * tol})
			if s.keepsOff(probe.Estimate{State: probe.Settling, End: 9, SD: tt.spread * tol}) {
				kept++
			}
		}
		assert.InDelta(t, tt.kept, kept, 1, tt.what)
	}
}

// asIf is the state in which hands off was said for an aim.
func (s State) asIf(aim float64) State {
	s.advice = &journal.Advice{Do: coach.Wait.String(), Reason: coach.HandsOff.String(), Aim: aim}
	return s
}

// Done stays, where nothing was touched, on a reading that is inside and may end there: of a
// hundred beakers that stood inside, nine were given an order within two minutes of it.
func TestDoneIsNotTakenBackByAHair(t *testing.T) {
	s := stood(t)
	s.advice = &journal.Advice{Do: coach.Stop.String(), Reason: coach.InTolerance.String(), Aim: 8.2}
	tol, sd := s.bench.Tolerance, 0.004
	for _, c := range []struct {
		now, end float64 // beyond the tolerance, the end in spreads
		stays    bool
	}{
		{-0.002, -1, true}, {-0.002, 0.5, true}, {-0.002, 1.4, true}, {-0.002, 1.6, false}, {-0.002, 2.9, false}, {0.002, 0.5, false},
	} {
		est := probe.Estimate{State: probe.Settled, Now: 8.2 + tol + c.now, End: 8.2 + tol + c.end*sd, SD: sd}
		for _, do := range [...]coach.Action{coach.Add, coach.Wait} {
			a := s.kept(coach.Advice{Do: do, Reason: coach.Far, Aim: 8.2, Tolerance: tol, Drops: 3}, coach.Advice{}, est)
			assert.Equal(t, c.stays, a.Do == coach.Stop, "%v: %+v", do, c)
			assert.False(t, c.stays && a.Drops > 0)
		}
	}
}

// What is offered instead of a wait is no more than would be ordered: of what no hand counts
// it is asked first, and given in portions to whoever counts it all the same. 464 drops were
// offered, and 250 ordered of whom took them.
func TestAnOfferIsNoMoreThanAnOrder(t *testing.T) {
	s := stood(t)
	s.begun, s.T = 0, 120
	est := s.track.Estimate(120)
	held := func(drops float64) coach.Advice {
		return coach.Advice{Do: coach.Wait, Reason: coach.Settling, Drops: drops, Volume: chem.Volume(drops) * s.bench.Stocks[0].Drop}
	}
	o := s.held(held(240), est)
	require.NotNil(t, o)
	assert.False(t, o.Asks)
	o = s.held(held(464), est)
	require.NotNil(t, o)
	assert.True(t, o.Asks, "the bottle is asked about first")
	s.said = s.said.Agree(coach.ManyDrops.String())
	o = s.held(held(464), est)
	require.NotNil(t, o)
	assert.False(t, o.Asks)
	assert.InDelta(t, 250, o.Drops, 1e-9)
	assert.InDelta(t, 12.5, o.Volume.Millilitres(), 1e-9)
}

// A reading that repeats one number to the last digit after an addition is asked about from
// 18 s on: no meter shows so seldom, and no beaker answers so little.
func TestHowLongAReadingMayStandStill(t *testing.T) {
	s := stood(t)
	s, err := Step(s, journal.Event{Seq: s.Seq + 1, T: 121, Kind: journal.Added, Added: &journal.Addition{Titrant: "acid", Drops: 30, ML: 1.5}})
	require.NoError(t, err)
	for at := 122.0; at <= 150; at++ {
		s = reads(t, s, at, 9)
		switch since := at - 121; {
		case since < 17:
			assert.False(t, s.unmoved(), "%g s", since)
		case since > 20:
			assert.True(t, s.unmoved(), "%g s", since)
		}
	}
}

// One that stops dead in the middle of a move is asked about from 10 s on.
func TestHowSoonAMoveThatStopsIsAskedAbout(t *testing.T) {
	s, _ := moved(t)
	from := s.T
	for at := from + 1; at <= from+25; at++ {
		s = reads(t, s, at, s.last.ph)
		switch since := at - from; {
		case since < 9:
			assert.False(t, s.stopped(), "%g s", since)
		case since > 11:
			assert.True(t, s.stopped(), "%g s", since)
		}
	}
}
