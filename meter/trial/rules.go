package trial

import (
	"fmt"
	"io"
	"math"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/coach"
)

// Rules of thumb: strategies of people without a computer at the plate. All
// know the plan's aim and its dose, wait by a plain settling rule, and turn
// round with the opposite stock when they are past.

// ruleLimits are wide: a person who drips single drops has patience.
var ruleLimits = limits{additions: 1000, seconds: 8 * 3600}

// The plain settling rule: the slope over the last seconds is small.
const (
	ruleWindow = 12          // readings, one a second
	ruleSlope  = 0.02 / 60.0 // pH/s
	ruleMean   = 6           // readings of the window that are averaged
)

// person goes by a rule of thumb.
type person struct {
	*game
	plan   *coach.Bench
	need   float64 // drops of the coarse stock by the plan
	window []float64
	seen   []seen // settled readings, with what had been added
}

// seen is a settled reading.
type seen struct {
	charge float64 // labelled, mol
	ph     float64
}

// dose is what a rule wants to add; off is aim minus reading, want its direction.
type dose func(p *person, off float64) (stock int, drops float64)

func byRule(d dose) func(*Bench, io.Writer) (Outcome, error) {
	return func(b *Bench, story io.Writer) (Outcome, error) {
		plan, err := b.Setup.Bench(b.Setup.BenchTemp)
		if err != nil {
			return Outcome{}, fmt.Errorf("trial: seed %d: %w", b.Seed, err)
		}
		g, err := newGame(b, plan.Forecast().Aim, ruleLimits, story)
		if err != nil {
			return Outcome{}, err
		}
		p := &person{game: g, plan: plan, need: b.Drops}
		charge := 0.0
		for !g.over() {
			ph, ok := p.settled()
			if !ok {
				continue
			}
			p.seen = append(p.seen, seen{charge, ph})
			off := g.aim - ph
			if math.Abs(off) <= b.Setup.Tolerance {
				g.out.Stopped = true
				break
			}
			j, n := d(p, off)
			if err := g.pour(j, n); err != nil {
				return Outcome{}, err
			}
			charge += p.charge(j, n)
			p.window = p.window[:0]
		}
		return g.end(), nil
	}
}

// settled reads once and says whether the reading counts as settled.
func (p *person) settled() (float64, bool) {
	p.second()
	p.window = append(p.window, p.sim.Read())
	if len(p.window) < ruleWindow {
		return 0, false
	}
	w := p.window[len(p.window)-ruleWindow:]
	mid, slope, norm, mean := float64(ruleWindow-1)/2, 0.0, 0.0, 0.0
	for i, y := range w {
		x := float64(i) - mid
		slope, norm = slope+x*y, norm+x*x
	}
	for _, y := range w[ruleWindow-ruleMean:] {
		mean += y / ruleMean
	}
	ok := math.Abs(slope/norm) < ruleSlope
	if p.story != nil {
		fmt.Fprintf(p.story, "%5.0f s  reads %.3f  electrode %.3f of %.3f  settled %v\n", p.t, w[ruleWindow-1], p.sim.Shown(), p.sim.True(), ok)
	}
	return mean, ok
}

// dropMoves is |pH| that a coarse drop moves, from the last few additions; 0
// before the first, and when the last was a large one.
func (p *person) dropMoves() float64 {
	last := len(p.seen) - 1
	from := max(0, last-4)
	for i := from; i < last; i++ {
		if math.Abs(p.seen[i+1].charge-p.seen[i].charge) > 1.5*math.Abs(p.charge(coarse, 1)) {
			from = i + 1
		}
	}
	drops := (p.seen[last].charge - p.seen[from].charge) / p.charge(coarse, 1)
	if drops == 0 {
		return 0
	}
	return math.Abs((p.seen[last].ph - p.seen[from].ph) / drops)
}

// charge is the labelled charge of drops.
func (p *person) charge(j int, drops float64) float64 {
	v := chem.Volume(drops) * p.bench.Setup.Stocks[j].Drop
	return p.plan.LabelledCharge(coach.Addition{Stock: j, Volume: v, Drops: drops})
}

// forward reports whether the way from the reading to the aim is the plan's way.
func (p *person) forward(off float64) bool { return (off > 0) == p.bench.Up }

// dropwise gives one drop: of the coarse stock as long as the last ones moved
// less than what is left, else of the weaker one.
func dropwise(p *person, off float64) (int, float64) {
	switch {
	case !p.forward(off):
		return opposite, 1
	case p.dropMoves() > math.Abs(off):
		return weak, 1
	}
	return coarse, 1
}

// mostAtOnce gives 90 % of the plan, then goes on dropwise.
func mostAtOnce(p *person, off float64) (int, float64) {
	if n := math.Floor(0.9 * p.need); len(p.seen) == 1 && p.forward(off) && n >= 1 {
		return coarse, n
	}
	return dropwise(p, off)
}

// bySlope gives 70 % of what the local slope asks for; a tenth of the plan first.
func bySlope(p *person, off float64) (int, float64) {
	if !p.forward(off) {
		return opposite, 1
	}
	n := len(p.seen)
	if n == 1 {
		return coarse, math.Max(1, math.Floor(0.1*p.need))
	}
	a, b := p.seen[n-2], p.seen[n-1]
	slope := (b.ph - a.ph) / (b.charge - a.charge)
	want := 0.7 * off / slope
	if !(want*p.charge(coarse, 1) > 0) {
		return weak, 1 // noise: the reading went the wrong way
	}
	// Never more than has been given so far, doubled: slopes lie where curves bend.
	if drops := math.Floor(math.Min(want/p.charge(coarse, 1), p.need)); drops >= 4 {
		return coarse, drops
	}
	return weak, math.Max(1, math.Floor(want/p.charge(weak, 1)))
}
