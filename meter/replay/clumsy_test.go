package replay_test

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter/hands"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/replay"
	"example.org/halfdrop/meter/run/keep"
	"example.org/halfdrop/meter/run/recorded"
	"example.org/halfdrop/meter/run/runtest"
	"example.org/halfdrop/meter/run/view"
	"example.org/halfdrop/meter/sim"
	"example.org/halfdrop/meter/trial"
)

// The bottles of a trial bench.
const (
	coarse   = 0
	weak     = 1
	opposite = 2
)

var dawn = time.Date(2031, 5, 4, 6, 0, 0, 0, time.UTC)

func wall(t float64) time.Time { return dawn.Add(time.Duration(t * float64(time.Second))) }

// clumsy is a person who makes one kind of mistake, and what came of it.
type clumsy struct {
	t     *testing.T
	r     *rand.Rand
	bench *trial.Bench
	sim   *sim.Bench
	log   *runtest.Log
	keep  *keep.Keeper
	plan  *coach.Bench
	hands *hands.Hands
	sec   float64
	dir   float64
	worst float64 // how far beyond the aim the beaker ever settled, made up
	comp  chem.Composition
}

func newClumsy(t *testing.T, b *trial.Bench, seed uint64, kind hands.Kind) *clumsy {
	t.Helper()
	s, err := sim.New(b.Setup, b.Truth)
	require.NoError(t, err)
	plan, err := json.Marshal(b.Plan)
	require.NoError(t, err)
	c := &clumsy{t: t, r: rand.New(rand.NewPCG(seed, 77)), hands: hands.New(kind, seed), bench: b, sim: s, log: &runtest.Log{}, worst: math.Inf(-1), dir: 1}
	first := journal.Event{At: dawn, Kind: journal.Started, Start: &journal.Start{Format: journal.Format, Program: "test", Plan: plan}}
	require.NoError(t, c.log.Append(&first))
	c.keep, err = keep.NewKeeper(first, c.log, wall)
	require.NoError(t, err)
	c.plan = c.keep.State.Bench()
	c.comp = c.plan.Water.Plus(1, c.plan.Weighed)
	if s.MadeUp() > b.Setup.Target {
		c.dir = -1
	}
	return c
}

// wait lets seconds pass and gives the last view.
func (c *clumsy) wait(n int) (v view.View) {
	for range n {
		c.sec++
		c.sim.Advance(c.sec)
		require.NoError(c.t, c.keep.Take(journal.Event{T: c.sec, Kind: journal.Read, Reading: recorded.Reading(c.sim.Sample())}))
		v = c.keep.Look(c.sec)
	}
	return v
}

// settle waits until the reading is settled, or for three minutes.
func (c *clumsy) settle() (v view.View) {
	for v = c.wait(6); v.Settling.State.String() != "settled" && v.Settling.State.String() != "drifting"; v = c.wait(2) {
	}
	return v
}

// hidden lets drops fall that nobody records.
func (c *clumsy) hidden(stock int, drops float64) {
	st := c.bench.Setup.Stocks[stock]
	c.fall(st.Name, 0, drops*st.Drop.Millilitres(), drops, false)
}

// fall lets something fall as hands do it, and waits until it is put on record
// when it will be.
func (c *clumsy) fall(name string, drops, ml, count float64, recorded bool) {
	p, err := c.sim.Begin(name, drops, chem.Volume(ml)*chem.Millilitre)
	require.NoError(c.t, err)
	g := c.hands.Give(c.sec, hands.Drops(math.Ceil(count)))
	for {
		for _, f := range g.Due(c.sec) {
			c.sim.Advance(f.T)
			p.Fall(f.Share)
		}
		if g.Over(c.sec) || len(g.Falls) == 0 && !recorded {
			break
		}
		c.wait(1)
	}
	c.worst = math.Max(c.worst, c.past())
}

func (c *clumsy) past() float64 { return c.dir * (c.sim.MadeUp() - c.bench.Setup.Target) }

func (c *clumsy) give(stock int, drops float64) {
	drops = math.Max(1, math.Round(drops))
	name := c.bench.Setup.Stocks[stock].Name
	a, err := c.keep.State.Addition(name, drops, 0)
	require.NoError(c.t, err)
	c.fall(name, drops, 0, drops, true)
	require.NoError(c.t, c.keep.Take(journal.Event{T: c.sec, Kind: journal.Added, Added: &a}))
	c.comp = c.comp.Plus(a.ML*1e-3, c.plan.Stocks[stock].PerLitre)
}

// need is how many drops of a stock lead from a reading to the aim, by the labels.
func (c *clumsy) need(stock int, ph float64) float64 {
	aim := c.keep.State.Forecast().Aim
	at := func(ph float64) float64 { return c.plan.Model.ChargeAt(chem.PH(ph), 0.1, &c.comp).Charge }
	per := c.plan.LabelledCharge(coach.Addition{Stock: stock, Volume: c.plan.Stocks[stock].Drop})
	return (at(ph) - at(aim)) / per
}

func (c *clumsy) end() { // looks once more, and closes the run
	c.settle()
	c.wait(30)
	require.NoError(c.t, c.keep.Take(journal.Event{T: c.sec, Kind: journal.Ended, End: &journal.End{Outcome: "over"}}))
}

func (c *clumsy) over() bool { return c.worst > c.bench.Setup.Tolerance+0.005 }

func (c *clumsy) between(a, b float64) float64 { return a + (b-a)*c.r.Float64() }

// tooMuch gives about all that the plan says at once.
func (c *clumsy) tooMuch() {
	c.settle()
	c.give(coarse, c.need(coarse, c.keep.Look(c.sec).Settling.End)*c.between(0.9, 1.2))
	if v := c.settle(); !c.over() {
		c.give(coarse, math.Max(c.need(coarse, v.Settling.End), 1)*c.between(1, 1.3))
		c.settle()
	}
}

// hasty does not wait: what is on the display counts.
func (c *clumsy) hasty() {
	c.settle()
	shown := c.keep.Look(c.sec).PH
	for n := 0; n < 30 && c.dir*(shown-c.keep.State.Forecast().Aim) < 0; n++ {
		c.give(coarse, c.need(coarse, shown)*c.between(0.4, 0.7))
		shown = c.wait(1 + c.r.IntN(4)).PH
	}
}

// trusting believes a label that is wrong.
func (c *clumsy) trusting() {
	if v := c.settle(); c.r.IntN(2) == 0 {
		c.give(coarse, c.need(coarse, v.Settling.End)*c.between(0.15, 0.3))
	}
	for n := 0; n < 4 && !c.over(); n++ {
		left := c.need(coarse, c.settle().Settling.End)
		if left < 1 {
			break
		}
		c.give(coarse, left*c.between(0.6, 0.8))
	}
}

// coached does as the coach says until n additions were made or it says stop.
func (c *clumsy) coached(n int) (v view.View, more bool) {
	for range 1200 {
		v = c.wait(1)
		switch v.Advice.Do {
		case coach.Stop:
			return v, false
		case coach.Check:
			require.NoError(c.t, c.keep.Take(journal.Event{T: c.sec, Kind: journal.Confirmed}))
		case coach.Add:
			if n == 0 {
				return v, true
			}
			c.give(v.Advice.Stock, v.Advice.Drops)
			n--
		}
	}
	return v, false
}

// forgetful does as the coach says but lets something fall unrecorded.
func (c *clumsy) forgetful() {
	v, more := c.coached(1)
	aside := c.r.IntN(2) == 0
	if !more { // there already: once more, unrecorded
		c.wait(40)
		c.hidden(coarse, c.between(2, 6))
		return
	}
	left := math.Max(c.need(coarse, v.Settling.End), 2)
	if aside {
		c.settle()
		c.wait(30)
		c.hidden(coarse, left*c.between(1.3, 2.2))
		c.wait(60)
		return
	}
	stock, drops := v.Advice.Stock, v.Advice.Drops
	c.give(stock, drops)
	c.hidden(coarse, left*c.between(0.9, 1.8))
}

// drifting leaves a finished buffer that takes something up, slowly.
func (c *clumsy) drifting() {
	c.coached(30)
	c.wait(60)
	c.comp = c.keep.State.Bench().Water.Plus(1, c.keep.State.Bench().Weighed)
	total, seconds := c.between(0.08, 0.2), c.between(300, 1200)
	// So much of the weak stock as moves the reading that far by the plan.
	aim := c.keep.State.Forecast().Aim
	at := func(ph float64) float64 { return c.plan.Model.ChargeAt(chem.PH(ph), 0.1, &c.comp).Charge }
	per := c.plan.LabelledCharge(coach.Addition{Stock: weak, Volume: c.plan.Stocks[weak].Drop})
	drops := (at(aim) - at(aim+c.dir*total)) / per
	st := c.bench.Setup.Stocks[weak]
	for s := 0.0; s < seconds; s += 5 { // no hand does this
		require.NoError(c.t, c.sim.Dispense(st.Name, 0, chem.Volume(drops*5/seconds)*st.Drop))
		c.worst = math.Max(c.worst, c.past())
		c.wait(5)
	}
}

// overdone is a run that went past its aim, with what made it do so.
type overdone struct {
	*clumsy
	cause replay.Cause
	seed  uint64
}

// play has one clumsy person at the bench of a seed; nil when nothing went wrong.
func play(t *testing.T, seed uint64, kind hands.Kind) *overdone {
	t.Helper()
	b, err := trial.Draw(trial.Ordinary, seed)
	require.NoError(t, err)
	causes := []replay.Cause{replay.TooLarge, replay.Unsettled, replay.Stronger, replay.Unlogged, replay.Drift}
	cause := causes[seed%uint64(len(causes))]
	r := rand.New(rand.NewPCG(seed, 5))
	if cause == replay.Stronger {
		b.Truth.LnStrength[coarse] += math.Log(1.6 + 0.9*r.Float64())
	}
	c := newClumsy(t, b, seed, kind)
	switch cause {
	case replay.TooLarge:
		c.tooMuch()
	case replay.Unsettled:
		c.hasty()
	case replay.Stronger:
		c.trusting()
	case replay.Unlogged:
		c.forgetful()
	case replay.Drift:
		c.drifting()
	}
	c.end()
	if !c.over() {
		return nil
	}
	return &overdone{clumsy: c, cause: cause, seed: seed}
}
