// Package hands is what hands do at a stir plate: drops fall one by one while
// the meter goes on, a pipette pours for some seconds, the last drop hangs, and
// an addition is put on record when a hand is free, or never.
//
// Measured on open recordings of titrations by hand: one to three drops a second;
// marks of additions up to 12 s late, one in twenty never made. The rest is a
// choice of this project.
package hands

import (
	"math"
	"math/rand/v2"
)

// Kind is how somebody gives and records.
type Kind uint8

const (
	Drip     Kind = iota // one to three drops a second, recorded 1 to 10 s after the last
	Careless             // as Drip, recorded up to 12 s after, and one in twenty never
	AtOnce               // all of it within an instant, recorded in the same; nobody can
)

// Parse is the kind of a name: drip or at-once.
func Parse(name string) (Kind, bool) {
	kind, ok := map[string]Kind{"drip": Drip, "at-once": AtOnce}[name]
	return kind, ok
}

// Hands give what is ordered. For one goroutine.
type Hands struct {
	kind Kind
	r    *rand.Rand
}

// New are hands that do the same for the same seed.
func New(kind Kind, seed uint64) *Hands {
	return &Hands{kind: kind, r: rand.New(rand.NewPCG(seed, 0x4a4d))}
}

// Figures of the hands, s.
const (
	reactLeast, reactMost = 1.0, 4.0  // from the order to the first drop
	slowest, quickest     = 1.0, 3.0  // drops a second
	sayLeast, sayMost     = 1.0, 10.0 // from the last drop to its record
	sayCareless           = 12.0
	forgets               = 0.05
	pourLeast, pourMost   = 2.0, 4.0 // a pipette
	pourSteps             = 8
)

// Giving is an addition on its way into the beaker.
type Giving struct {
	Falls []Fall  // in order
	Said  float64 // s, when it is put on record; +Inf when it is forgotten
}

// Fall is a part of an addition: one drop, or a part of what a pipette pours.
type Fall struct {
	T     float64 // s
	Share float64 // of the whole
}

// Drops is how many drops an addition has; 0 for one that is poured from a pipette.
type Drops float64

// Give begins at time now, s, to give so many drops.
func (h *Hands) Give(now float64, drops Drops) Giving {
	if h.kind == AtOnce {
		return Giving{Falls: []Fall{{now, 1}}, Said: now}
	}
	t := now + between(h.r, reactLeast, reactMost)
	n, pace := math.Ceil(float64(drops)), 1/between(h.r, slowest, quickest)
	if drops <= 0 {
		n, pace, drops = pourSteps, between(h.r, pourLeast, pourMost)/pourSteps, pourSteps
	}
	var g Giving
	for i := range int(n) {
		g.Falls = append(g.Falls, Fall{t, math.Min(1, float64(drops)-float64(i)) / float64(drops)})
		t += pace * (0.7 + 0.6*h.r.Float64())
	}
	last := g.Falls[len(g.Falls)-1].T
	switch {
	case h.kind == Careless && h.r.Float64() < forgets:
		g.Said = math.Inf(1)
	case h.kind == Careless:
		g.Said = last + between(h.r, sayLeast, sayCareless)
	default:
		g.Said = last + between(h.r, sayLeast, sayMost)
	}
	return g
}

func between(r *rand.Rand, low, high float64) float64 { return low + (high-low)*r.Float64() }

// Due takes the falls that are due at time now, s, and leaves the others.
func (g *Giving) Due(now float64) []Fall {
	n := 0
	for n < len(g.Falls) && g.Falls[n].T <= now {
		n++
	}
	due := g.Falls[:n]
	g.Falls = g.Falls[n:]
	return due
}

// Over reports whether everything has fallen and been put on record by then.
func (g *Giving) Over(now float64) bool { return len(g.Falls) == 0 && now >= g.Said }
