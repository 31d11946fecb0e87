package trial

import (
	"fmt"
	"io"
	"math"
	"math/rand/v2"

	"example.org/halfdrop/meter/hands"
	"example.org/halfdrop/meter/sim"
)

// Outcome is what became of one bench in the hands of one strategy.
type Outcome struct {
	Seed      uint64
	System    string
	Gross     Gross
	Stopped   bool // the strategy said that it was done
	In        bool // and it was: made up to the mark, within the tolerance
	Over      bool // settled past aim and tolerance between additions
	Back      bool // titrated back with the opposite stock
	Additions int
	Seconds   float64 // until it stopped
	Final     float64 // pH shown when made up
	Target    float64
	Worst     float64    // how far past the aim it ever was, pH
	Named     [][]string // what each check named, the likeliest first
	Checks    []string   // the reason of each CHECK, in order
	Noted     []string   // the faults at the bench that were spoken of
	Right     bool       // a mistake was named, and the likeliest was right every time
	Among     bool       // what is wrong was among the names
	Brought   float64    // times what the plan says a drop did, as said in the end; 0 for nothing said
	Stuck     string     // why it gave up; empty when it did not
	Typed     int        // values that the person has typed
	Asked     int        // of them, those that were asked about before they were taken
}

// slack is how far the meter may be off before a tolerance counts as missed.
const slack = 0.005

// limits end a hopeless run.
type limits struct {
	additions int
	seconds   float64
}

// game is a bench being played: the person's hands and eyes.
type game struct {
	bench  *Bench
	sim    *sim.Bench
	t      float64
	dir    float64 // +1 when the truth leads up to the aim at the start, -1 down
	aim    float64 // as the strategy has it now
	moved  bool    // since the last look between additions
	limits limits
	out    Outcome
	story  io.Writer

	hands   *hands.Hands
	giving  *giving // what is being given; nil when nothing is
	pausing float64 // s, until when the meter pauses
	pauses  *rand.Rand
}

// giving is an addition on its way from the hands into the beaker.
type giving struct {
	hands.Giving
	pour *sim.Pour
}

func newGame(b *Bench, aim float64, l limits, story io.Writer) (*game, error) {
	s, err := sim.New(b.Setup, b.Truth)
	if err != nil {
		return nil, fmt.Errorf("trial: seed %d: %w", b.Seed, err)
	}
	kind := b.Tier.hands()
	if b.AtOnce {
		kind = hands.AtOnce
	}
	g := &game{bench: b, sim: s, aim: aim, limits: l, story: story, dir: 1,
		hands: hands.New(kind, b.Seed), pauses: rand.New(rand.NewPCG(b.Seed, 0x6761))}
	if aim < s.True() {
		g.dir = -1
	}
	g.out = Outcome{Seed: b.Seed, System: b.System, Gross: b.Gross, Target: b.Setup.Target, Worst: math.Inf(-1)}
	return g, nil
}

// second lets one second pass, with the drops that fall in it.
func (g *game) second() {
	g.t++
	if g.giving != nil {
		for _, f := range g.giving.Due(g.t) {
			g.sim.Advance(f.T)
			g.giving.pour.Fall(f.Share)
		}
	}
	g.sim.Advance(g.t)
}

// sends reports whether the meter sends a reading this second: some pause now
// and then, for 5 s to a minute.
func (g *game) sends() bool {
	if g.t < g.pausing {
		return false
	}
	if p := g.bench.Truth.Gaps; p > 0 && g.pauses.Float64() < p/10 {
		g.pausing = g.t + 5 + 55*math.Pow(g.pauses.Float64(), 4)
	}
	return true
}

// over reports whether the run must be given up.
func (g *game) over() bool {
	switch {
	case g.t >= g.limits.seconds:
		g.out.Stuck = "time"
	case g.out.Additions >= g.limits.additions:
		g.out.Stuck = "additions"
	}
	return g.out.Stuck != ""
}

// between looks, behind the person's back, where the beaker stands before it
// is touched again.
func (g *game) between() {
	if !g.moved {
		return
	}
	g.moved = false
	past := g.dir * (g.sim.True() - g.aim)
	g.out.Worst = math.Max(g.out.Worst, past)
	g.out.Over = g.out.Over || past > g.bench.Setup.Tolerance+slack
}

// add begins to give; what the hands of nobody do falls at once.
func (g *game) add(stock int, drops float64) error {
	g.between()
	up := (stock != opposite) == g.bench.Up
	if up != (g.dir > 0) {
		g.out.Back = true
	}
	p, err := g.sim.Begin(g.bench.Setup.Stocks[stock].Name, drops, 0)
	if err != nil {
		return fmt.Errorf("trial: seed %d: %w", g.bench.Seed, err)
	}
	g.giving = &giving{g.hands.Give(g.t, hands.Drops(drops)), p}
	for _, f := range g.giving.Due(g.t) {
		p.Fall(f.Share)
	}
	g.out.Additions++
	g.moved = true
	if g.story != nil {
		fmt.Fprintf(g.story, "%5.0f s  >>> %g drops of %s start to fall; truly %.3f, made up %.3f, aim %.3f\n",
			g.t, drops, g.bench.Setup.Stocks[stock].Name, g.sim.True(), g.sim.MadeUp(), g.aim)
	}
	return nil
}

// pour is add with all of it falling at once, for strategies that watch no screen.
func (g *game) pour(stock int, drops float64) error {
	if err := g.add(stock, drops); err != nil {
		return err
	}
	for _, f := range g.giving.Falls {
		g.giving.pour.Fall(f.Share)
	}
	g.giving = nil
	return nil
}

// end closes the run.
func (g *game) end() Outcome {
	g.between()
	g.out.Seconds, g.out.Final = g.t, g.sim.MadeUp()
	if g.bench.AsItStands {
		g.out.Final = g.sim.True()
	}
	g.out.In = g.out.Stopped && math.Abs(g.out.Final-g.out.Target) <= g.bench.Setup.Tolerance+slack
	return g.out
}
