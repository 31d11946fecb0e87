package main

import (
	"fmt"
	"strconv"
	"sync"

	"example.org/halfdrop/meter/run"
	"example.org/halfdrop/meter/sim"
)

// readOff makes of the simulated bench one whose meter has no line, where the run is
// by hand: its display is shown, and a person types what it shows.
func (t *titration) readOff(at place, b *sim.Bench, clock *sim.Clock) place {
	if !t.byHand {
		return at
	}
	d := &simDisplay{bench: b, now: clock.Seconds}
	t.display = d.shows
	at.name, at.source = run.ByHand+", "+at.name, noLine{}
	return at
}

// simDisplay is the display of the simulated meter: it changes as often as the meter
// would send a reading, however often somebody looks.
type simDisplay struct {
	bench *sim.Bench
	now   func() float64 // s

	mu   sync.Mutex
	next float64 // s, of the next reading
	text string
	warm string // °C
}

// shows is what it shows: a pH, and the temperature beside it.
func (d *simDisplay) shows() (ph, temperature string) {
	d.mu.Lock()
	defer d.mu.Unlock()
	if t := d.now(); t >= d.next || d.text == "" {
		d.bench.Advance(t)
		r := d.bench.Sample()
		d.text, d.next = strconv.FormatFloat(r.Value, 'f', r.Decimals, 64), t+simEvery.Seconds()
		d.warm = fmt.Sprintf("%.1f °C", d.bench.TempShown())
	}
	return d.text, d.warm
}
