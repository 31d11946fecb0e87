package trial

import (
	"fmt"
	"io"
	"math"
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

// onesided is the normal quantile of half a per cent in one tail.
const onesided = 2.576

// known is the best dose: of the coarse stock when four drops or more are
// safe, else of the weaker one.
func (g *game) known() (stock int, drops float64) {
	dir := sign(g.bench.Setup.Target - g.sim.MadeUp())
	order := []int{coarse, weak}
	if (dir > 0) != g.bench.Up {
		order = []int{opposite}
	}
	for _, j := range order {
		if n := g.safe(j, dir); n >= 1 {
			stock, drops = j, n
		}
		if drops >= 4 {
			break
		}
	}
	return stock, drops
}

// safe is the largest number of drops whose mean does not pass the target and
// whose chance of passing the tolerance is half a per cent at most.
func (g *game) safe(j int, dir float64) float64 {
	st := g.bench.Setup.Stocks[j]
	mid := g.sim.Need(st.Name, g.bench.Setup.Target) / st.Drop.Litres()
	end := g.sim.Need(st.Name, g.bench.Setup.Target+dir*g.bench.Setup.Tolerance) / st.Drop.Litres()
	// n (1 + z s/√n) ≤ end is a square in √n.
	z := onesided * g.bench.Truth.Scatter
	root := (-z + math.Sqrt(z*z+4*end)) / 2
	return math.Floor(math.Min(mid+1e-9, root*root))
}

func sign(x float64) float64 {
	if x < 0 {
		return -1
	}
	return 1
}
