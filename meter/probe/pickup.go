package probe

import (
	"math"
	"slices"
	"sort"
)

// Electrical pick-up makes a meter show two lines: seen on an open recording, half
// of the readings on a lower line of 0.03 pH spread, the others 0.3 to 0.6 above
// it, changing from reading to reading; the lower one is that of the beaker.
const (
	pickWindow = 14   // readings looked at
	pickEach   = 4    // of them on each line, at least
	pickTurns  = 5    // changes between the lines: a beaker that changes makes one or two
	pickGap    = 0.15 // pH between the lines, at least
	pickPart   = 0.4  // of what the narrower line spreads by, at least: the upper one may be wide, and the lower one move
	pickTol    = 0.10 // pH, by which the lower line may rise from reading to reading, and more when some were left out
	pickMost   = 0.20 // pH, at the most
	pickRun    = 8    // readings in a row above that: the line has risen
	pickLasts  = 60   // readings without a second line after which there is none
)

// pickup leaves out the readings of the upper line.
type pickup struct {
	window []obs
	on     bool
	calm   int     // readings since the upper line was last seen
	last   float64 // pH, of the lower line
	over   []obs   // readings in a row that were left out
	n      int     // of all that were left out
}

// two looks for two lines; low are the readings of the lower one.
func (p *pickup) two() (low []obs, ok bool) {
	if len(p.window) < pickWindow {
		return nil, false
	}
	ys := make([]float64, len(p.window))
	for i, o := range p.window {
		ys[i] = o.y
	}
	sort.Float64s(ys)
	at, gap := 0, 0.0
	for i := pickEach; i <= len(ys)-pickEach; i++ {
		if d := ys[i] - ys[i-1]; d > gap {
			at, gap = i, d
		}
	}
	if at == 0 || gap < pickGap || gap < pickPart*math.Min(ys[at-1]-ys[0], ys[len(ys)-1]-ys[at]) {
		return nil, false
	}
	turns := 0
	for i, o := range p.window {
		if o.y < ys[at] {
			low = append(low, o)
		}
		if i > 0 && (o.y < ys[at]) != (p.window[i-1].y < ys[at]) {
			turns++
		}
	}
	return low, turns >= pickTurns
}

// above reports whether a reading stands above the lower of two lines.
func (p *pickup) above(y float64) bool {
	return y > p.last+math.Min(pickTol*(1+0.4*float64(len(p.over))), pickMost)
}

// push takes a reading. It counts when there is one line, or when it is of the
// lower of two; begun are the readings to begin anew with when two have just been
// found.
func (p pickup) push(o obs) (next pickup, count []obs, begun bool) {
	p.window = append(slices.Clip(p.window), o)
	if len(p.window) > pickWindow {
		p.window = p.window[1:]
	}
	if !p.on {
		low, ok := p.two()
		if !ok {
			return p, []obs{o}, false
		}
		p.on, p.calm, p.over, p.last = true, 0, nil, low[len(low)-1].y
		p.n += len(p.window) - len(low)
		return p, low[len(low)-1:], true
	}
	if !p.above(o.y) {
		if len(p.over) == 0 {
			if p.calm++; p.calm > pickLasts {
				p.on = false
			}
		} else {
			p.calm = 0
		}
		p.last, p.over = o.y, nil
		return p, []obs{o}, false
	}
	p.n++
	p.over = append(slices.Clip(p.over), o)
	if len(p.over) < pickRun {
		return p, nil, false
	}
	// It is rising: the earlier ones of them lie below it.
	least := slices.MinFunc(p.over[pickRun/2:], func(a, b obs) int {
		switch {
		case a.y < b.y:
			return -1
		case a.y > b.y:
			return 1
		}
		return 0
	})
	p.last, p.over, p.n = least.y, nil, p.n-1
	return p, []obs{{o.t, least.y}}, false
}

// Upper reports whether a reading to come would stand on the upper of two lines.
func (k *Tracker) Upper(ph float64) bool { return k.pick.on && k.pick.above(ph) }

// Pickup reports whether the meter shows two lines, of which the lower counts, and
// whether the latest reading was left out.
func (k *Tracker) Pickup() (on, left bool) { return k.pick.on, len(k.pick.over) > 0 }
