// Package order is an addition that was advised and stands: whether it is being carried out, as
// far as the readings tell, and what speaks against it; pure.
package order

import (
	"math"

	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/probe"
)

// Standing is an addition that was advised and stands until it is carried out, declined or
// overtaken; the zero value is none.
type Standing struct {
	Advice *journal.Advice // nil when none stands
	Stock  int
	Pull   float64        // the direction in which its bottle moves the reading, 1 or −1
	ByML   bool           // its bottle is given in mL
	T      float64        // s, when it was given
	Dosed  float64        // s, when somebody said that its first drop falls; 0 when nobody has
	Begun  float64        // s, when its first drops were seen; 0 when they were not
	PastAt float64        // s, since when every reading has been well past where it leads; 0 when it is not
	Far    float64        // pH, the furthest that the reading seemed to end at since
	FarNow float64        // pH, what it showed then, without its noise
	FarAt  float64        // s, when it did first
	Est    probe.Estimate // of the reading when it was ordered
	Aim    float64        // pH, of the plan alone at the temperature of then
	Was    float64        // drops of the order that it replaced while nothing had fallen; 0 for none
	Blind  bool           // nobody knows what is in the beaker, and no addition has answered yet
	Rinsed bool           // the electrode was put in again while it was carried out
	Astray bool           // the reading went against it for a while
	Left   bool           // the run was broken off with it in sight: nobody saw what was done
}

// Beaker is what shows of a beaker at a time.
type Beaker struct {
	T          float64 // s
	Est        probe.Estimate
	Moves      []probe.Move
	WildAt     float64                        // s, when a wild reading was seen last; NaN for never
	Resolution float64                        // pH, of the last digit
	Back       float64                        // s, when readings came back after a silence; 0 where they did not
	Shown      float64                        // the latest reading, believed or not
	ByHand     bool                           // a person types what the display shows
	Drops      func(from, to float64) float64 // how many of the order lead from one pH to another
}

// Stands reports whether one does.
func (o *Standing) Stands() bool { return o.Advice != nil }

// Is reports whether an addition is what was ordered.
func (o *Standing) Is(a *journal.Addition) bool {
	if o.Advice == nil || o.Advice.Titrant != a.Titrant {
		return false
	}
	if a.Drops == 0 && !o.ByML && o.Advice.Drops > 0 { // of an order in drops, to the digit that is said
		return math.Abs(o.Advice.ML-a.ML) <= o.Advice.ML/o.Advice.Drops*0.75
	}
	return o.Advice.Drops == a.Drops || a.Drops == 0 && math.Abs(o.Advice.ML-a.ML) < 1e-6
}

// Same reports whether an addition is the order that stands.
func (o *Standing) Same(a journal.Advice) bool {
	return a.Titrant == o.Advice.Titrant && a.Drops == o.Advice.Drops && a.ML == o.Advice.ML
}

// Figures of judgement about orders, a choice of this project.
const (
	askAfter  = 12.0 // s at rest before it is asked whether what was ordered was given
	askTold   = 30.0 // s after a first drop was told, when nothing moves
	askWay    = 40.0 // s after it came to rest, where the reading is still on its way, or drops are still to fall
	askUnseen = 60.0 // s after an order, when the reading has come nearer though no movement was seen
	flickers  = 1.5  // digits by which a value that is read off may go to and fro
	ShowsFrom = 2.0  // s before an order from which on a movement may be its doing: it was on the screen
)

// PerDrop is how long a drop takes to fall, s, at a slow pace.
const PerDrop = 0.7
