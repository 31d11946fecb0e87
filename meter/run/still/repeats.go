// Package still is whether a reading stands still, by the readings alone: it repeats one
// number to the last digit, or is about the same for some seconds; pure.
package still

import "math"

// Repeats is how long the readings have repeated one number to the last digit.
type Repeats struct {
	y     float64
	since float64 // s; NaN before a reading
	seen  float64 // s, of the latest reading that counts
	n     int     // readings that repeated it
	pace  float64 // pH/s, how fast it moved before, over two stretches the slower
	went  float64 // and over the last of them, falling below 0: a step is no pace, nor is there and back
	from  float64 // pH, where the open stretch began
	at    float64 // s, when
}

// Figures of judgement for a reading that stands still where it must move, a
// choice of this project.
const (
	For      = 18.0 // s without a change in any digit after an addition
	Moves    = 4.0  // digits that it should have made
	DeadFor  = 10.0 // s without a change after it had been moving: no meter shows so seldom
	paceSpan = 1.0  // s over which a pace is taken, at least
	deadRuns = 3    // readings that repeat one: two alike are chance
	deadTau  = 1.0  // s, quicker than any electrode: what is moving goes on for that long at least
)

// Push takes a reading.
func (w *Repeats) Push(t, y float64) {
	w.seen = t
	if w.since == 0 && w.n == 0 && w.y == 0 {
		*w = Repeats{y: y, since: t, seen: t, from: y, at: t}
		return
	}
	if y == w.y {
		w.n++
		return
	}
	if w.n > 0 && t-w.since > paceSpan { // it stood there
		w.went, w.from, w.at = 0, w.y, math.Max(w.at, t-paceSpan)
	}
	// Of a fast meter, single digits from reading to reading are no pace.
	if dt := t - w.at; dt >= paceSpan {
		went := (y - w.from) / dt
		w.pace = 0
		if went*w.went > 0 {
			w.pace = math.Min(math.Abs(went), math.Abs(w.went))
		}
		w.went = went
		w.from, w.at = y, t
	}
	w.y, w.since, w.n = y, t, 0
}

// Repeated reports whether a value is the number that is repeated.
func (w *Repeats) Repeated(y float64) bool { return y == w.y }

// Since is since when, s.
func (w *Repeats) Since() float64 { return w.since }

// Standing is for how long the readings have repeated the same number, s. A
// meter that sends nothing says nothing of it.
func (w *Repeats) Standing() float64 { return w.seen - w.since }

// Halted reports whether the reading stands still where the pace it had must have carried
// it on, of a meter with a resolution, pH: between two looks of a slow one, or for good.
func (w *Repeats) Halted(resolution float64) bool {
	on := w.pace * deadTau * -math.Expm1(-w.Standing()/deadTau)
	return w.n >= deadRuns && on >= Moves*resolution
}
