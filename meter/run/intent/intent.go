package intent

import "example.org/halfdrop/meter/journal"

// Kind is what a person can want of a run.
type Kind uint8

const (
	// Add records an addition that was made.
	Add Kind = iota
	// Undo withdraws the latest addition in force.
	Undo
	// Confirm answers a check: with a Code, that this is it; without, that it was
	// looked at and is as planned. ML is a new mark, where one is asked for.
	Confirm
	// Remark records words.
	Remark
	// End closes the run.
	End
	// Correct restates an addition: another count, titrant or both.
	Correct
	// Dose says that the drops of the order fall: so many until now.
	Dose
	// Decline says that nothing of the order was given.
	Decline
	// Immersed says that the electrode is in the beaker now.
	Immersed
	// GoOn wants what is safe now, and not to wait for a better reading.
	GoOn
	// Bottle brings another titrant to the plate.
	Bottle
	// Read takes a value that was read off the display and typed.
	Read
	// Warm says how warm the beaker is, by a thermometer.
	Warm
	// Check is a step of a check of the electrode in standards; Code says which.
	Check
	// Unamend withdraws an amendment of the plan: that of Code, else the latest.
	Unamend
	// Note puts on record what was weighed, a lot, or a name: see typed.NoteHelp.
	Note
)

// Intent is something a person wants.
type Intent struct {
	ID      int64 // of the front end, rising; comes back in View.Heard and in the Answer
	Kind    Kind
	Titrant string  // for Add and Dose; for Correct empty when it was the right one
	Drops   float64 // for Add, Correct and Dose, in drops
	ML      float64 // the same in mL when Drops is 0; both 0 correct the titrant alone
	Text    string  // remark, reason of an undo or correction, outcome of an end, a bottle as typed.Bottle reads it, standards to check in
	Seq     int64   // for Correct, Entry.Seq of the addition; 0 for the latest in force
	Code    string  // for Remark: what the person did, for programs; the text is the answer then; for Confirm and Unamend: of what; for Check a step of the journal
	Sure    bool    // the amount, or the value, was asked about, and it is meant

	PH       float64 // for Read, with the digits that were typed
	Decimals int
	Stands   bool    // the display stands at it
	TempC    float64 // for Warm, °C
}

// Steps of a check, as the Code of an Intent Check.
const (
	CheckOut  = journal.StepOut  // the electrode leaves the beaker; the Text names the standards, empty for the usual
	CheckIn   = journal.StepIn   // it is in the standard that is wanted
	CheckTake = journal.StepTake // the value counts as it is
	CheckStop = journal.StepStop // no more standards
)
