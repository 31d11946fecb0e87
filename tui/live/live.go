// Package live is a run in front of a person, from what is asked for to how it ended: the
// plan, the bench that it is done on (a meter on a line, a display that is read off, the
// simulated one), the journal, taking up again, and what is learned of the bench.
package live

import (
	"io"
	"time"

	"example.org/halfdrop/meter/link"
	"example.org/halfdrop/tui/terminal"
)

// Asked is what is asked for. Files and names that are empty are those of the data folder,
// or none.
type Asked struct {
	Sim       bool   // on the simulated bench
	ByHand    bool   // what a display shows is typed
	Port      string // of the meter
	Line      link.Asked
	Plan      string // file
	Journal   string // file to write
	Operator  string
	Electrode string
	// Calibrations is the file of the history of the electrodes.
	Calibrations string
	Seed         uint64  // of the simulated bench; 0 draws one
	Speed        float64 // simulated time runs so many times faster
	Plain        bool    // lines instead of a screen
	Resume       bool
	Bench        string // file of what is known of droppers, bottles and electrodes
	Forget       bool   // what earlier runs have shown
	Bare         Bare
	Find         bool   // an amount is to be determined
	Blank        string // journal of the blank that is subtracted

	Program   string // with its version, for the record
	Look      terminal.Options
	In        io.Reader
	Out, Talk io.Writer
	Clock     func() time.Time                // of a bench that is real; nil for time.Now
	Busy      func(what string) (done func()) // says what takes long; nil for nothing

	display func() (pH, temperature string) // of the simulated meter that is read off; nil for none
}

// Bare is a beaker that nobody weighed, as the command line gives it.
type Bare struct {
	PH, ML, Tolerance, TempC float64
	Titrants                 []string // bottles, as a person writes them
}

// busy says what takes long, until done is called.
func (t *Asked) busy(what string) (done func()) {
	if t.Busy == nil {
		return func() {}
	}
	return t.Busy(what)
}

func (t *Asked) now() time.Time {
	if t.Clock != nil {
		return t.Clock()
	}
	return time.Now()
}
