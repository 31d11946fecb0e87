package intent

import "example.org/halfdrop/meter/journal"

// IntentKind is what a person can want of a run.
type Kind uint8

const (
	// WantAdd records an addition that was made.
	Add Kind = iota
	// WantUndo withdraws the latest addition in force.
	Undo
	// WantConfirm answers a check: with a Code, that this is it; without, that it was
	// looked at and is as planned. ML is a new mark, where one is asked for.
	Confirm
	// WantRemark records words.
	Remark
	// WantEnd closes the run.
	End
	// WantCorrect restates an addition: another count, titrant or both.
	Correct
	// WantDose says that the drops of the order fall: so many until now.
	Dose
	// WantDecline says that nothing of the order was given.
	Decline
	// WantImmersed says that the electrode is in the beaker now.
	Immersed
	// WantGoOn wants what is safe now, and not to wait for a better reading.
	GoOn
	// WantBottle brings another titrant to the plate.
	Bottle
	// WantRead takes a value that was read off the display and typed.
	Read
	// WantWarm says how warm the beaker is, by a thermometer.
	Warm
	// WantCheck is a step of a check of the electrode in standards; Code says which.
	Check
	// WantUnamend withdraws an amendment of the plan: that of Code, else the latest.
	Unamend
	// WantNote puts on record what was weighed, a lot, or a name: see ParseNote.
	Note
)

// Intent is something a person wants.
type Intent struct {
	ID      int64 // of the front end, rising; comes back in View.Heard and in the Answer
	Kind    Kind
	Titrant string  // for WantAdd and WantDose; for WantCorrect empty when it was the right one
	Drops   float64 // for WantAdd, WantCorrect and WantDose, in drops
	ML      float64 // the same in mL when Drops is 0; both 0 correct the titrant alone
	Text    string  // remark, reason of an undo or correction, outcome of an end, a bottle as ParseBottle reads it, standards to check in
	Seq     int64   // for WantCorrect, Entry.Seq of the addition; 0 for the latest in force
	Code    string  // for WantRemark: what the person did, for programs; the text is the answer then; for WantConfirm and WantUnamend: of what; for WantCheck a step of the journal
	Sure    bool    // the amount, or the value, was asked about, and it is meant

	PH       float64 // for WantRead, with the digits that were typed
	Decimals int
	Stands   bool    // the display stands at it
	TempC    float64 // for WantWarm, °C
}

// Steps of a check, as the Code of an Intent WantCheck.
const (
	CheckOut  = journal.StepOut  // the electrode leaves the beaker; the Text names the standards, empty for the usual
	CheckIn   = journal.StepIn   // it is in the standard that is wanted
	CheckTake = journal.StepTake // the value counts as it is
	CheckStop = journal.StepStop // no more standards
)
