package view

import (
	"math"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/meter/calib"
	"example.org/halfdrop/meter/calib/walk"
	"example.org/halfdrop/meter/probe"
)

// Entry is one addition as keyed.
type Entry struct {
	Seq     int64
	T       float64 // s, of its confirmation
	From    float64 // s, when it began to show or to fall
	Stock   int
	Drops   float64 // 0 when measured in mL
	Volume  chem.Volume
	Undone  bool
	Changed bool           // restated by a correction
	Before  probe.Estimate // of the end value before it
	Advised bool           // as the coach had advised
}

// Point is a settled reading of one composition.
type Point struct {
	After  int     // additions in force when it was read
	Charge float64 // labelled charge added until then, mol
	PH     float64
	SD     float64
}

// Value is a reading at rest.
type Value struct {
	PH float64 // without its noise
	SD float64 // give or take
	T  float64 // s, of the latest reading in it
}

// Offer is what may be done already, while a better reading is waited for that would make
// it surer: an addition that is safe, or a question about what is in the beaker.
type Offer struct {
	Asks    bool // a question; there is no addition then
	Unsafe  bool // with Asks: nothing is safe yet; the coach goes by the reading as it is then
	Titrant string
	Drops   float64     // 0 where it is given in mL
	Volume  chem.Volume //
	After   float64     // pH that it is expected to end at
	Wait    float64     // s that the better reading is waited for at most
}

// Falling is how far an order has been carried out, as far as it shows.
type Falling struct {
	Since float64 // s, when it began
	Rest  bool    // the reading is at rest again
	Past  bool    // the reading is past the aim already: no more of it
	Asks  bool    // nobody has said that it was given, though it looks like it
	// Against: the reading has gone the other way than the order leads.
	Against bool
	Left    bool    // the run was broken off after it was ordered
	Unseen  bool    // no movement was seen
	Rinsed  bool    // the electrode was out after it was ordered
	Like    float64 // drops that the reading has moved by, when they are quite another number; else 0
}

// Giving is an addition of which the drops fall one by one into a simulated beaker.
type Giving struct {
	Titrant string
	Drops   float64
	Fallen  float64
}

// Instead is what would be given of a drop that is too large.
type Instead struct {
	Drops   float64
	Volume  chem.Volume
	Titrant string
	After   float64 // where it is expected to land
	Chance  float64 // of passing the tolerance by it
}

// Away is a check in standards as a front end shows it.
type Away struct {
	Stage    walk.Stage // what it waits for; Done when the electrode is to go back
	Standard string     // the one in hand
	Name     string     // its nominal value
	Number   int        // of it, from 1
	Of       int
	Known    bool    // it was calibrated in that standard: the same bottle tells more
	Odd      string  // why it is asked about, in the stage Ask
	End      float64 // pH that an ideal electrode would show where the reading ends; NaN when unknown
	SD       float64 // its spread, pH
	Verdict  *calib.Verification
}

// Next is when the coach wants the next value that is typed.
type Next struct {
	In     float64 // s from now; below zero when it is overdue
	Stands bool    // one in passing would not help: it is wanted when the display stands
	Mixing bool    // nothing was typed since the beaker was changed
	Creeps bool    // the display stands, and what its late part still goes would change the advice
}

// ToldStep is the step, s, in which the time until a value is wanted is told (choice).
const ToldStep = 5.0

// Told is the time until the value in steps that nobody has to watch, s.
func (n *Next) Told() float64 {
	if n.In > 2*ToldStep {
		return math.Ceil(n.In/ToldStep) * ToldStep
	}
	return math.Ceil(n.In)
}
