package practice

import (
	"math"

	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/replay"
)

// Figures for telling whether readings are those of the bench, a choice of
// this project: an addition falls a few hundredths of a second later than it
// is recorded, which shows for some seconds and no longer.
const (
	sameReading = 0.015 // pH
	sameShare   = 0.85
	leastKnown  = 20 // readings, below which nothing is said
)

// genuine is the share of the readings that the bench of the slip shows again
// when everything recorded is done to it once more; 1 when it cannot be told.
func (e *Exercise) genuine(r *replay.Run, s Slip) float64 {
	if e.Calibrate != nil || !(s.Every > 0) { // mV have a noise of their own
		return 1
	}
	b, _, err := e.NewBench(s.Seed)
	if err != nil {
		return 1
	}
	c := course{}
	doses, given := map[int64]journal.Addition{}, len(e.Given)
	n, same, at := 0, 0, math.NaN()
	for ev := range r.Events {
		if ev.Kind != journal.Read {
			if given > 0 && ev.Kind == journal.Added {
				given--
				doses[ev.Seq] = *ev.Added
			} else if ev.Kind != journal.Started {
				b.Advance(ev.T)
				if c.repeat(e, b, ev, doses) != nil {
					return 0
				}
			}
			continue
		}
		if at += s.Every; n == 0 {
			at = math.Round(ev.T/s.Every) * s.Every
		}
		b.Advance(at)
		n++
		if y := b.Read(); ev.Reading.PH != nil && math.Abs(y-*ev.Reading.PH) <= sameReading {
			same++
		}
	}
	if n < leastKnown {
		return 1
	}
	return float64(same) / float64(n)
}
