package coach

import (
	"math"
	"slices"

	"example.org/halfdrop/chem/coach/belief"
	"example.org/halfdrop/chem/coach/normal"
)

// Present is the reading to decide on.
type Present struct {
	PH      float64 // estimate of the end value, as the meter would show it
	SD      float64 // its spread now
	FinalSD float64 // the spread it would have when waited for
	Shown   float64 // what the meter shows now, without its noise
	Settled bool    // waiting would make it little better
	Typed   bool    // somebody types what the meter shows: a value more costs less than an addition
	Stands  bool    // somebody says that the display stands: waiting would make it no better
	Age     float64 // s since the beaker last changed
	Waited  float64 // s that earlier compositions of the run were waited for, together
	Drift   float64 // pH a second by which the display still moves, for sure
	Tau     float64 // s, time constant of the fast part of the answer; 0 where nothing is known
	Creep   float64 // pH a second by which it may still move, as far as its latest readings tell
	Done    bool    // done was said of this composition
	GoOn    bool    // somebody wants what is safe now rather than a better reading
}

// patient reports whether it is worth waiting for a better reading: its spread is
// a large part of the way that is left, and each further addition costs more time
// than that.
func (p Present) patient(aim, tolerance float64) bool {
	way := math.Abs(p.PH - aim)
	if p.Stands || p.GoOn {
		return false
	}
	if p.Typed { // nearer the aim it is what another value would change
		return way > farWay*tolerance && p.SD > typedShare*way && p.Age < farTyped
	}
	if way > farWay*tolerance {
		return p.SD > farShare*way && p.Age < math.Max(farAge, farTaus*p.Tau)
	}
	return p.SD > math.Max(clearShare*tolerance, wayShare*way) && p.worn() < clearAge
}

// worn is how old the composition is for the patience of whoever stands there, s: after
// long waits in the same run the next ones are shorter. What the late part of an
// electrode hides shows meanwhile, whether drops fall or not.
func (p Present) worn() float64 {
	return p.Age + math.Min(wornMost, math.Max(0, p.Waited-wornFrom))
}

// Longest is for how long, s, a better reading is waited for at most.
func (p Present) Longest() float64 { return math.Max(0, longAge-p.worn()) }

// Of the waits of a run, together, s: from which on they make the next one shorter, each
// second by one, and by how much at the most.
const (
	wornFrom = 240.0
	wornMost = 120.0
)

// gain is the share of the dose on a better reading from which on it is given now:
// another value that is typed costs less than another addition.
func (p Present) gain() float64 {
	if p.Typed {
		return typedGain
	}
	return waitGain
}

// Unripe reports whether the reading is so vague, and so far from the aim of an advice, that
// nothing could be advised on it but to wait.
func (p Present) Unripe(a Advice) bool {
	return math.Abs(p.PH-a.Aim) > unripeFrom*a.Tolerance && p.patient(a.Aim, a.Tolerance)
}

// unripeFrom is how far from the aim, in tolerances, an exact aim does not matter.
const unripeFrom = 3.0

// A reading is waited for until its spread is this part of the tolerance or of
// the way that is left, or for this long, s; done is said on one that is vaguer.
const (
	clearShare = 0.28
	wayShare   = 0.035
	farWay     = 20.0 // tolerances: further, less is waited for
	farShare   = 0.015
	farTaus    = 5.0 // time constants of a slow electrode, or a viscous beaker, where that is longer
	farAge     = 45.0
	typedShare = 0.02  // of values that are typed
	farTyped   = 150.0 // which come one a minute
	typedGain  = 0.98  // and waitGain of them
	clearAge   = 240.0
	doneAge    = 400.0
	// A reading that is no vaguer than this many times what it can be, this long after
	// the beaker was touched, s, is as good as it gets.
	bestShare = 1.1
	bestAge   = 45.0
	longShare = 1.35  // the same for one that has had four minutes
	longAge   = 280.0 // from here on what is safe is given, however vague it is
	// From here on, in spreads of a display at rest, the late part of a value that
	// stands is worth another look before anybody is sent home.
	lateSDs = 1.6
	// At rest is what is no further from its end, and no less sure of it, than this part
	// of the tolerance.
	atRestShare = 0.6
	// As part of the tolerance, within which done is said before a spread is to be trusted.
	doneWithin = 0.75
	edgeAt     = 0.92 // and before anybody has waited for long
	// From here on, as part of the tolerance, it is worth going on towards the aim.
	edgeShare = 0.5
)

// best reports whether waiting for a better reading is of no use any more: a display
// that stands, a reading that has had its time, or one that is as good as it gets.
func (p Present) best() bool {
	return p.Stands || p.worn() >= doneAge || p.Settled && p.SD <= bestShare*p.FinalSD && p.Age >= bestAge ||
		p.worn() >= clearAge && p.SD <= longShare*p.FinalSD
}

// rests reports whether the reading stands within the tolerance where it will end.
func (p Present) rests(aim, tolerance float64) bool {
	return math.Abs(p.Shown-aim) <= tolerance && math.Abs(p.Shown-p.PH) <= restShare*tolerance
}

// onTheEdge reports whether a reading stands so near to the edge of the tolerance that done is
// not said of it yet: one that has just mixed, whose spread is not to be trusted that soon; or
// at the very edge, where the next digit would take it back.
func (p Present) onTheEdge(aim, tolerance float64) bool {
	switch off := math.Abs(p.Shown - aim); {
	case p.Stands:
		return false
	case p.Age < likelyAge && off > doneWithin*tolerance:
		return true
	default:
		return !p.Done && !p.Typed && p.worn() < clearAge && off > edgeAt*tolerance
	}
}

// atRest reports whether the reading is at rest as far as a tolerance is concerned:
// waiting would make it little better, or it has come so near to where it will end,
// and that is known so well, that a better one would tell nobody anything.
func (p Present) atRest(tolerance float64) bool {
	return p.still(tolerance) && (p.Settled || math.Max(p.SD, math.Abs(p.Shown-p.PH)) <= atRestShare*tolerance)
}

// still reports whether the display has stopped moving, as far as a tolerance is concerned:
// whatever is thought of where it will end, one that goes on moving is not at rest.
func (p Present) still(tolerance float64) bool {
	return math.Max(p.Drift, p.Creep)*stillFor <= restShare*tolerance
}

// moves reports whether the display goes on moving by so much of the way that is left that
// no addition is to be reckoned on where it is thought to end.
func (p Present) moves(aim, tolerance float64) bool {
	return !p.Stands && !p.GoOn && p.worn() < clearAge &&
		p.Drift*movesFor > movesShare*math.Max(math.Abs(p.PH-aim), tolerance)
}

// movesFor is the time, s, in which a display that an addition is reckoned on may go no
// further than movesShare of the way that is left.
const (
	movesFor   = 10.0
	movesShare = 0.1
)

// stillFor is the time, s, in which a display at rest may go no further than restShare.
const stillFor = 40.0

// inside is the chance that the reading ends within the tolerance, by itself.
func (p Present) inside(aim, tolerance float64) float64 {
	sd := math.Max(p.SD, 1e-6)
	return normal.Phi((aim+tolerance-p.PH)/sd) - normal.Phi((aim-tolerance-p.PH)/sd)
}

// restShare is how far a reading at rest may still have to go, as part of the tolerance.
const restShare = 0.5

// clear reports whether the reading is good enough to accuse somebody by.
func (p Present) clear() bool {
	return p.Settled || p.Age >= nameLeast && p.SD <= math.Max(nameSD, 2*p.FinalSD)
}

// nameLeast is how long the beaker has been as it is, s, before a reading that is still on
// its way accuses somebody: an electrode that is put in or taken out just then does not.
const nameLeast = 10.0

// Request is everything that an advice rests on.
type Request struct {
	History   History // with the settled readings of the earlier compositions only
	Now       Present
	Confirmed []string // codes of what a person has looked at and wants to go on with
	Asked     bool     // a mistake is asked about already, on this composition
	Aside     []int    // stocks that are not to be had
	Begun     bool     // the first drops of the order that stands may show already
}

// accuses is the probability of any mistake at which it is named.
func (r Request) accuses() float64 {
	if r.Asked {
		return stillAt
	}
	return belief.NamedAt
}

// allConfirmed reports whether a person has already looked at the likeliest of
// these mistakes.
func (r Request) allConfirmed(ms []Mistake) bool {
	return len(ms) == 0 || slices.Contains(r.Confirmed, ms[0].Code)
}

// agreed is how often a person has agreed to go on in spite of a reason.
func (r Request) agreed(why Reason) (n int) {
	for _, c := range r.Confirmed {
		if c == why.String() {
			n++
		}
	}
	return n
}

// moreRoom is what an addition may take beyond the mark when a person has agreed
// to it, as part of the final volume.
const moreRoom = 0.10
