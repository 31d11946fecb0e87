package tui

import (
	"fmt"
	"math"

	"example.org/halfdrop/meter/run/view"
	"example.org/halfdrop/tui/screen/task"
)

// past is the readings of a run as they were shown.
type past struct {
	points   []task.TracePoint
	decimals int
}

// mostPast bounds the readings that are kept; of more every second one goes.
const mostPast = 8000

// see takes the reading of a view.
func (p *past) see(v view.View) {
	if !v.HasReading {
		return
	}
	p.decimals = v.Decimals
	t := v.T - v.Age
	if n := len(p.points); n > 0 && t-p.points[n-1].T < 0.2 {
		return
	}
	p.points = append(p.points, task.TracePoint{T: t, PH: v.PH})
	if len(p.points) > mostPast {
		for i := range mostPast / 2 {
			p.points[i] = p.points[2*i]
		}
		p.points = p.points[:mostPast/2]
	}
}

// trace is the readings with the additions of a view, the cursor at the end.
func (p *past) trace(v view.View) task.Trace {
	t := task.Trace{Points: p.points[:len(p.points):len(p.points)], Decimals: max(p.decimals, 1)}
	for i, e := range v.Entries {
		if e.T < p.points[0].T || e.Stock >= len(v.Titrants) {
			continue // before the person came
		}
		what := view.Amount(e.Drops, e.Volume) + " of " + v.Titrants[e.Stock]
		if e.Undone {
			what += ", withdrawn"
		}
		t.Doses = append(t.Doses, task.TraceDose{T: e.T, N: i + 1, Text: what})
	}
	t.Cursor = p.points[len(p.points)-1].T
	return t
}

// traceSpans are the times that a trace can show, s; 0 is all of it.
var traceSpans = []float64{30, 60, 120, 300, 600, 0}

// spanAt is the span so many steps from another.
func spanAt(span float64, by int) float64 {
	for i, s := range traceSpans {
		if s == span {
			return traceSpans[max(0, min(i+by, len(traceSpans)-1))]
		}
	}
	return 0
}

// evidence reads what shows a fault: the time of a reading as 1:34 or 94, an
// addition as +2; NaN when nothing is given, false when it means nothing.
func evidence(text string, v view.View) (at float64, addition, ok bool) {
	if text == "" {
		return math.NaN(), false, true
	}
	var n, minutes, sec int
	if k, _ := fmt.Sscanf(text, "+%d", &n); k == 1 {
		if n < 1 || n > len(v.Entries) {
			return 0, false, false
		}
		return v.Entries[n-1].T, true, true
	}
	if k, _ := fmt.Sscanf(text, "%d:%d", &minutes, &sec); k == 2 {
		return float64(60*minutes + sec), false, true
	}
	if k, _ := fmt.Sscanf(text, "%d", &sec); k == 1 {
		return float64(sec), false, true
	}
	return 0, false, false
}
