// Package screen draws the screens of the program. A screen is a pure function
// of its state and of the size it is given.
package screen

import (
	"example.org/halfdrop/meter/run/view"
	"example.org/halfdrop/tui/keyrow"
	"example.org/halfdrop/tui/widget"
)

// Hand is what the person is about to record.
type Hand struct {
	Titrant string // what it will be recorded as
	Other   bool   // Titrant was chosen by hand and is not the one advised
	Typed   string // digits typed so far, with an m at the end for mL
	ML      bool   // they are mL without it
	PH      bool   // they are the pH that the display shows

	Counting bool
	Counted  float64 // drops fallen
	Wanted   float64 // drops advised when the count began; 0 when none were
}

// State is everything that the coach screen shows.
type State struct {
	View view.View
	Hand Hand

	Display string // what the display of a simulated meter shows, to be read off; empty for none
	Warm    string // the temperature beside it, "21.0 °C"

	Said    string // what the run has answered last
	Refused bool   // it refused something
	Message string // answer to the last key
	Wrong   bool   // Message says that a key did nothing
	Prompt  string // a question or a line of text being typed; goes before Message
	Bell    bool

	Past bool // a run that is looked back on: its curve goes before what to do

	Keys []keyrow.Key // in order of weight, for the row of hints
	Help []keyrow.Key // not empty while the help is shown
	Page int          // of the help, from 0

	Set *widget.Set
}
