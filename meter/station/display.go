package station

import (
	"fmt"
	"strconv"
	"sync"

	"example.org/halfdrop/meter/sim"
)

// Display is the display of the simulated meter: it changes as often as the meter
// would send a reading, however often somebody looks.
type Display struct {
	Bench *sim.Bench
	Now   func() float64 // s

	mu   sync.Mutex
	next float64 // s, of the next reading
	text string
	warm string // °C
}

// Shows is what it shows: a pH, and the temperature beside it.
func (d *Display) Shows() (ph, temperature string) {
	d.mu.Lock()
	defer d.mu.Unlock()
	if t := d.Now(); t >= d.next || d.text == "" {
		d.Bench.Advance(t)
		r := d.Bench.Sample()
		d.text, d.next = strconv.FormatFloat(r.Value, 'f', r.Decimals, 64), t+sim.Every.Seconds()
		d.warm = fmt.Sprintf("%.1f °C", d.Bench.TempShown())
	}
	return d.text, d.warm
}
