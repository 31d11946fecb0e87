package guard

import (
	"math"
	"time"
)

// What a temperature does that is one (choice). A beaker of 250 mL that comes
// from a cold room warms by 0.3 °C in the first minute; a column of minutes
// climbs by 1 in each, one of seconds by 60. Where the meter says °C, it is no column
// of minutes, and a concentrated buffer may warm as fast as it is neutralised: half a mole of
// strong base (about 56 kJ a mole of water formed, from memory) in a litre makes 7 °C.
const (
	warmSpan   = 60 * time.Second // over which it is watched
	warmOneWay = 0.75             // °C within that, without ever turning back: it is none
	warmNamed  = 15.0             // the same, where the line says °C, °F or K
	warmRange  = 0.5              // °C within which it keeps before it is believed
	warmDrift  = 0.2              // °C by which it may run one way meanwhile
	warmLate   = 20 * time.Second // for that long, when only a label says what it is, or after it was none
	warmLeast  = 3                // readings, at the least
	warmThin   = 250 * time.Millisecond
	warmGap    = 2 * time.Minute // without one, it is watched anew
)

// Why a number that is called a temperature is not used as one.
const (
	NoWarmth    = ""
	WarmWaits   = "it has not been seen for long enough"
	WarmJumps   = "it jumps"
	WarmOneWays = "it only goes one way, as a time or a volume does"
)

// warmth watches the temperatures of one meter and says which are believed. The
// zero value is ready.
type warmth struct {
	ring    []warm
	trusted bool
	late    bool   // it was none before: it has to prove itself for longer
	why     string // it is not trusted
}

type warm struct {
	at time.Time
	t  float64
}

// take judges the next temperature, °C. Labelled says that the line gives no
// unit with it.
func (w *warmth) take(at time.Time, t float64, labelled bool) bool {
	n, most := len(w.ring), warmNamed
	if labelled {
		most = warmOneWay
	}
	switch {
	case n == 0 || at.Sub(w.ring[n-1].at) > warmGap:
		*w = warmth{why: WarmWaits, late: w.late}
	case math.Abs(t-w.ring[n-1].t) > stepTemp:
		*w = warmth{why: WarmJumps, late: true}
	}
	w.push(at, t)
	if w.oneWay(w.ring) >= most {
		w.trusted, w.late, w.why = false, true, WarmOneWays
	}
	if !w.trusted && w.proven(at, labelled) {
		w.trusted, w.why = true, NoWarmth
	}
	return w.trusted
}

// push takes a temperature into the ring, unless it repeats the latest within a moment.
func (w *warmth) push(at time.Time, t float64) {
	if n := len(w.ring); n > 1 && at.Sub(w.ring[n-2].at) < warmThin {
		w.ring[n-1] = warm{at, t}
	} else {
		w.ring = append(w.ring, warm{at, t})
	}
	for len(w.ring) > warmLeast && at.Sub(w.ring[1].at) >= warmSpan {
		w.ring = w.ring[1:]
	}
}

// oneWay is by how much a list has risen or fallen, 0 when it has ever turned
// back, or is too short to say.
func (w *warmth) oneWay(list []warm) float64 {
	if len(list) < warmLeast {
		return 0
	}
	total := list[len(list)-1].t - list[0].t
	for i := 1; i < len(list); i++ {
		if (list[i].t-list[i-1].t)*total < 0 {
			return 0
		}
	}
	return math.Abs(total)
}

// proven reports whether the latest temperatures are those of a beaker. One that
// the line gives in °C, °F or K is believed until something speaks against it.
func (w *warmth) proven(at time.Time, labelled bool) bool {
	if !labelled && !w.late {
		return true // the meter says °C, and nothing speaks against it yet
	}
	from := len(w.ring) - 1
	for from > 0 && (at.Sub(w.ring[from].at) < warmLate || len(w.ring)-from < warmLeast) {
		from--
	}
	list := w.ring[from:]
	if len(list) < warmLeast || at.Sub(list[0].at) < warmLate {
		return false
	}
	low, high := list[0].t, list[0].t
	for _, x := range list {
		low, high = min(low, x.t), max(high, x.t)
	}
	return high-low <= warmRange && w.oneWay(list) < warmDrift
}
