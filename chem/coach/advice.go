package coach

import (
	"slices"

	"example.org/halfdrop/chem"
)

// Action is the first word of an advice.
type Action uint8

const (
	// Wait: not settled yet, or nothing to do.
	Wait Action = iota
	// Add an addition.
	Add
	// Stop: the aim is reached.
	Stop
	// Check: something is wrong, look; no addition is advised.
	Check
)

var actionNames = [...]string{"wait", "add", "stop", "check"}

// String is the lower-case name used in the line protocol.
func (a Action) String() string {
	if int(a) < len(actionNames) {
		return actionNames[a]
	}
	return "unknown"
}

// Reason is why an advice is what it is; front ends turn it into words.
type Reason uint8

const (
	// NoReading: nothing to go by yet.
	NoReading Reason = iota
	// Settling: a better reading would change the advice, or make it surer.
	Settling
	// Stale: the last reading is too old to dose on.
	Stale
	// Faulty: the line or the reading is at fault.
	Faulty
	// Far: a safe step towards the aim.
	Far
	// Near: the last step, expected to land within the tolerance.
	Near
	// Probe: a small step, because several accounts of the beaker are open.
	Probe
	// Finer: the weaker stock, because a few drops of the stronger are too much.
	Finer
	// InTolerance: the settled reading is within the tolerance.
	InTolerance
	// Past: the aim was passed; the way back.
	Past
	// NoWayBack: the aim was passed and no titrant here leads back.
	NoWayBack
	// DropTooBig: one drop of the weakest titrant would move too far.
	DropTooBig
	// Mistaken: the readings speak for a gross mistake.
	Mistaken
	// NoRoom: what is needed does not fit under the mark.
	NoRoom
	// NoTitrant: no titrant here moves the pH the right way.
	NoTitrant
	// Stuck: the reading stands still where it has to move. The coach itself
	// does not say it; who reads the meter does.
	Stuck
	// Moved: the reading has left its level with no addition on record. Said
	// by who reads the meter, too.
	Moved
	// HandsOff: it will end within the tolerance, and has not been read there yet.
	HandsOff
	// Dosing: the addition ordered is being given. Said by who reads the meter.
	Dosing
	// Unsaid: the addition ordered seems to have been given, and nobody has said so.
	Unsaid
	// Unfit: the calibration of the meter is not fit to end on. Said by who reads
	// the meter.
	Unfit
	// Tells: of the additions possible, its reading is expected to tell most for the
	// time it takes. This and the following are said where an amount is looked for.
	Tells
	// Sure: the answer is as well known as was wanted.
	Sure
	// AsGood: no addition would make the answer much better.
	AsGood
	// Misfit: the readings fit no amount of what is said to be in the beaker.
	Misfit
	// NoPoint: no equivalence point is within reach.
	NoPoint
	// InStandard: the electrode is out of the beaker, for a check in standards. Said by
	// who reads the meter.
	InStandard
	// ManyDrops: the addition is more drops than anybody counts. Said by who knows how a
	// bottle is given.
	ManyDrops
)

// ReasonOf is the reason of a code; NoReading for none.
func ReasonOf(code string) Reason {
	return Reason(max(0, slices.Index(reasonCodes[:], code)))
}

var reasonCodes = [...]string{
	"no_reading", "settling", "stale", "faulty", "far", "near", "probe", "finer",
	"in_tolerance", "past", "no_way_back", "drop_too_big", "mistake", "no_room", "no_titrant", "stuck", "moved",
	"hands_off", "dosing", "given", "calibration", "tells", "sure", "as_good", "misfit", "no_point", "in_standard", "many_drops",
}

// String is the code used in the line protocol.
func (r Reason) String() string {
	if int(r) < len(reasonCodes) {
		return reasonCodes[r]
	}
	return "unknown"
}

// Advice is what to do next.
type Advice struct {
	Do     Action
	Reason Reason

	Aim       float64 // pH the meter should show now
	Tolerance float64

	// For Add; for Check the addition that was held back, and for Wait one that is safe
	// already, when it is a better reading that is waited for.
	Stock  int
	Drops  float64
	Volume chem.Volume // Drops times the labelled drop
	After  float64     // expected settled reading
	Low    float64     // and its central 95 %
	High   float64
	Chance float64 // of passing aim + tolerance with it

	OneDrop float64 // change of pH by one drop of the weakest stock near the aim; 0 when unknown
	Salt    float64 // mol of salt that a way back adds
	// For Mistaken, and for Wait before it is said: the accounts that the readings speak for, the likeliest
	// first, and their probability together. Several when the readings so far
	// cannot tell them apart.
	Mistakes []Mistake
	Weight   float64

	// Asking: of a Wait, that not one drop is safe yet. Who wants to go on gets one at the
	// chance that a person may agree to, or the question whether one is to be given.
	Asking bool
}

// Held reports whether an addition that is safe already, or a question, waits for a
// better reading.
func (a Advice) Held() bool {
	return a.Do == Wait && a.Reason == Settling && (a.Drops > 0 || len(a.Mistakes) > 0 || a.Asking)
}

// Codes name what a Check is about, for a confirmation to refer to.
func (a Advice) Codes() []string {
	if a.Reason != Mistaken {
		return []string{a.Reason.String()}
	}
	out := make([]string, len(a.Mistakes))
	for i, m := range a.Mistakes {
		out[i] = m.Code
	}
	return out
}
