package dip

import (
	"fmt"
	"io"
	"time"

	"example.org/halfdrop/meter"
	"example.org/halfdrop/meter/calib/standards"
	"example.org/halfdrop/meter/calib/walk"
	"example.org/halfdrop/tui/widget"
)

// Rig is the meter in use, real or simulated.
type Rig struct {
	Source meter.Source
	Now    func() float64                  // s
	Wall   func(s float64) time.Time       // the time of day of a second
	Into   func(standards.Standard) string // the simulated hand; nil at a real bench
	Rinse  func()
	Proc   *walk.Procedure
	Out    io.Writer
	Talk   io.Writer
	Typed  bool    // what the meter shows is typed
	asked  bool    // for a temperature, as the meter sends none
	said   float64 // when the last line about the reading was written, s

	offered *walk.Unfinished // what was broken off, until the person has decided
	keep    func() error     // keeps what has been accepted; nil where nothing is kept
	forget  func() error     // and lets go of it, when it is complete
	unkept  error            // of keep, the last time

	show  func() // draws the screen; nil in line mode
	last  meter.Reading
	heard bool           // last is one
	trace []widget.Point // of the reading in the present standard, s and its unit
	link  string         // the last words about the line
	lost  bool
	told  string // the answer to what was typed last, for the screen
}

// tell answers what was typed.
func (r *Rig) tell(format string, args ...any) {
	r.told = fmt.Sprintf(format, args...)
	fmt.Fprintln(r.Talk, "  "+r.told)
}
