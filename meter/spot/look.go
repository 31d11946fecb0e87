package spot

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
)

// Case is what else is known when somebody looks.
type Case struct {
	T         float64 // s, now
	StartLow  float64 // pH, the range that the plan allows at the start; NaN when unknown
	StartHigh float64
	Buffer    float64  // mol of buffer weighed
	BenchTemp float64  // °C, as planned
	Tolerance float64  // pH
	Stops     []Stop   // settled readings, the present one last
	Doses     []Dose   // additions in force
	Suspects  []string // codes of the coach's accounts, the likeliest first
	rested    bool     // the present reading has stood for long
	Noise     float64  // pH, of a reading, as the run has learned it
	Pickup    bool     // the meter shows two lines, of which the lower counts
	Step      *Step    // the reading has left its level by itself and is at rest at another
}

// Step is a change that nothing on record explains.
type Step struct{ From, To float64 } // pH

// Stop is a settled reading of one composition.
type Stop struct {
	After    int     // additions in force before it
	PH, SD   float64 // where it settled, and the spread of that
	Extra    float64 // charge that the beaker holds beyond the labels for it, mol
	Capacity float64 // mol of charge per pH there
}

// Dose is an addition.
type Dose struct {
	Stock  int
	Drops  float64 // 0 when measured in mL
	Charge float64 // by the label, mol; acid below zero
}

// Look is what can be named, the weightiest first.
func (e Eye) Look(c Case) []Finding {
	e.now.gather()
	h := e.now.measure(c.Noise)
	c.rested = h.age > 90
	var out []Finding
	add := func(f Finding, ok bool) {
		if ok && !slices.ContainsFunc(out, func(x Finding) bool { return x.Fault == f.Fault }) {
			out = append(out, f)
		}
	}
	if !c.Pickup {
		add(e.dry(c))
		add(e.bubbles(c))
		add(e.jumped(c))
	}
	add(e.creeping(c))
	add(e.still(c, h))
	add(e.byTemperature(c))
	slow, lags, isSlow := e.slow(c, h)
	if len(out) == 0 {
		add(e.carried(c, h))
	}
	if len(out) == 0 {
		add(slow, isSlow)
	}
	if !lags && c.Step == nil {
		add(e.undelayed(c, h))
		add(e.spiking(c, h))
	}
	if len(out) == 0 && !lags {
		add(e.drifting(c, h))
	}
	add(e.haste(c))
	if !lags && !slices.ContainsFunc(out, func(f Finding) bool { return kinds[f.Fault].blurs }) {
		add(stepped(c))
		for _, f := range responses(c) {
			add(f, true)
		}
	}
	if f, ok := suspect(c); ok && len(out) == 0 && !lags {
		out = append(out, f)
	}
	return out
}

// suspect is what the coach has worked out by itself, which weighs every
// reading: an addition that missed, or something that was not logged. It counts
// when the other additions agree with each other.
func suspect(c Case) (Finding, bool) {
	if len(c.Suspects) == 0 {
		return Finding{}, false
	}
	kind, number, _ := strings.Cut(c.Suspects[0], ":")
	all := answers(c)
	k, err := strconv.Atoi(number)
	i := slices.IndexFunc(all, func(a response) bool { return a.to >= k })
	if err != nil || i < 0 || len(all) < 3 || !explain(all, i, nil).agrees() {
		return Finding{}, false
	}
	switch kind {
	case "unlogged":
		return found(Unlogged, c.T, fmt.Sprintf("around addition %d more entered the beaker than was logged", k)), len(all) >= 4 && math.Abs(all[i].r-1)*all[i].size > 0.06
	case "missed":
		return found(Missed, c.T, fmt.Sprintf("addition %d had no response, the others did", k), Hung), true
	}
	return Finding{}, false
}

// off is how far a reading is from where the plan allows a start, pH.
func (c Case) off(y float64) float64 { return math.Max(0, math.Max(c.StartLow-y, y-c.StartHigh)) }
