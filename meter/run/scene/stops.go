// Package scene is what chemistry says of a bench beside its readings: the charge that
// each stop speaks for, where a plan may begin, the standards that electrodes come from.
package scene

import (
	"math"
	"slices"
	"sync"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter/spot"
)

// Stops remembers the settled readings of a run as they were worked out last: those
// of earlier compositions stay what they are.
type Stops struct {
	mu    sync.Mutex
	bench *coach.Bench
	adds  []coach.Addition
	obs   []coach.Observation
	list  []spot.Stop
}

// Of are the settled readings of a history, with the charge that each speaks for.
func (m *Stops) Of(b *coach.Bench, adds []coach.Addition, obs []coach.Observation) []spot.Stop {
	obs = slices.DeleteFunc(slices.Clone(obs), func(o coach.Observation) bool {
		return o.After > len(adds) || math.IsNaN(o.PH) || math.IsInf(o.SD, 0)
	})
	m.mu.Lock()
	defer m.mu.Unlock()
	known := 0
	for m.bench == b && known < min(len(obs), len(m.obs)) && obs[known] == m.obs[known] && obs[known].After <= len(m.adds) &&
		slices.Equal(adds[:obs[known].After], m.adds[:obs[known].After]) {
		known++
	}
	list := slices.Clone(m.list[:known])
	for _, o := range obs[known:] {
		list = append(list, stop(b, o, adds[:o.After]))
	}
	m.bench, m.adds, m.obs, m.list = b, adds, obs, list
	return slices.Clip(list)
}

// stop is a settled reading with the charge that it speaks for.
func stop(b *coach.Bench, o coach.Observation, adds []coach.Addition) spot.Stop {
	comp := b.Weighed.Plus(1, b.Water)
	for _, a := range adds {
		comp = comp.Plus(a.Volume.Litres(), b.Stocks[a.Stock].PerLitre)
	}
	near := comp.Strength / comp.Water / 2
	const step = 0.01 // pH
	low := b.Model.ChargeAt(chem.PH(o.PH-step), near, &comp).Charge
	high := b.Model.ChargeAt(chem.PH(o.PH+step), near, &comp).Charge
	return spot.Stop{After: o.After, PH: o.PH, SD: o.SD, Extra: -(low + high) / 2, Capacity: math.Abs(high-low) / (2 * step)}
}
