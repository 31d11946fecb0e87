package sift

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

// Lines leaves out the readings of the upper one of two lines. It is a value: Push returns a new
// one and leaves the old one as it was.
type Lines struct {
	window []Sample
	on     bool
	calm   int      // readings since the upper line was last seen
	last   float64  // pH, of the lower line
	over   []Sample // readings in a row that were left out
}

// two looks for two lines; low are the readings of the lower one.
func (l *Lines) two() (low []Sample, ok bool) {
	if len(l.window) < pickWindow {
		return nil, false
	}
	ys := make([]float64, len(l.window))
	for i, o := range l.window {
		ys[i] = o.PH
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
	for i, o := range l.window {
		if o.PH < ys[at] {
			low = append(low, o)
		}
		if i > 0 && (o.PH < ys[at]) != (l.window[i-1].PH < ys[at]) {
			turns++
		}
	}
	return low, turns >= pickTurns
}

// above reports whether a reading stands above the lower of two lines.
func (l *Lines) above(y float64) bool {
	return y > l.last+math.Min(pickTol*(1+0.4*float64(len(l.over))), pickMost)
}

// Push takes a reading. It counts when there is one line, or when it is of the
// lower of two; begun says that two have just been found, and count is what to begin anew
// with.
func (l Lines) Push(o Sample) (next Lines, count []Sample, begun bool) {
	l.window = append(slices.Clip(l.window), o)
	if len(l.window) > pickWindow {
		l.window = l.window[1:]
	}
	if !l.on {
		low, ok := l.two()
		if !ok {
			return l, []Sample{o}, false
		}
		l.on, l.calm, l.over, l.last = true, 0, nil, low[len(low)-1].PH
		return l, low[len(low)-1:], true
	}
	if !l.above(o.PH) {
		if len(l.over) == 0 {
			if l.calm++; l.calm > pickLasts {
				l.on = false
			}
		} else {
			l.calm = 0
		}
		l.last, l.over = o.PH, nil
		return l, []Sample{o}, false
	}
	l.over = append(slices.Clip(l.over), o)
	if len(l.over) < pickRun {
		return l, nil, false
	}
	// It is rising: the earlier ones of them lie below it.
	least := slices.MinFunc(l.over[pickRun/2:], func(a, b Sample) int {
		switch {
		case a.PH < b.PH:
			return -1
		case a.PH > b.PH:
			return 1
		}
		return 0
	})
	l.last, l.over = least.PH, nil
	return l, []Sample{{T: o.T, PH: least.PH, Temp: o.Temp}}, false
}

// On reports whether there are two lines, of which the lower counts.
func (l *Lines) On() bool { return l.on }

// Left reports whether the latest reading was left out.
func (l *Lines) Left() bool { return len(l.over) > 0 }

// Upper reports whether a reading to come, pH, would stand on the upper of two lines.
func (l *Lines) Upper(ph float64) bool { return l.on && l.above(ph) }
