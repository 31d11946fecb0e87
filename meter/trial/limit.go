package trial

import (
	"fmt"
	"io"
	"math"

	"example.org/halfdrop/chem"
)

// knowing plays with everything known but the scatter of drops: the least that
// any strategy can need. The first dose needs no reading; after each the
// electrode has to come close, to show what the drops were. A dose may pass
// the tolerance with half a per cent.
func knowing(b *Bench, story io.Writer) (Outcome, error) {
	g, err := newGame(b, b.Setup.Target, coachLimits, story)
	if err != nil {
		return Outcome{}, err
	}
	for !g.over() {
		g.second()
		// What the meter has to show now is known, too.
		g.aim = g.sim.True() + b.Setup.Target - g.sim.MadeUp()
		if g.out.Additions > 0 && math.Abs(g.sim.Shown()-g.sim.True()) > b.Setup.Tolerance/4 {
			continue
		}
		if math.Abs(g.sim.MadeUp()-b.Setup.Target) <= b.Setup.Tolerance {
			g.out.Stopped = true
			break
		}
		j, n := g.known()
		if n < 1 {
			g.out.Stuck = "no drop is safe"
			break
		}
		if err := g.pour(j, n); err != nil {
			return Outcome{}, fmt.Errorf("trial: %w", err)
		}
	}
	return g.end(), nil
}

// known is the best dose: of the coarse stock when four drops or more are
// safe, else of the weaker one.
func (g *game) known() (stock int, drops float64) {
	order := []int{coarse, weak}
	if (g.bench.Setup.Target >= g.sim.MadeUp()) != g.bench.Up {
		order = []int{opposite}
	}
	for _, j := range order {
		if n := g.sim.Safe(g.bench.Setup.Stocks[j].Name, chem.PH(g.bench.Setup.Target), chem.PH(g.bench.Setup.Tolerance)); n >= 1 {
			stock, drops = j, n
		}
		if drops >= 4 {
			break
		}
	}
	return stock, drops
}
