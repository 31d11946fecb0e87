// Package meter holds the words in which every source of readings speaks: a
// serial pH meter, the simulated bench and a replayed log differ in nothing
// that the rest of the program can see. It does no input or output itself.
package meter

import (
	"context"
	"errors"
	"fmt"
	"math"
	"strings"
	"time"
)

// Quantity is what the number of a reading measures.
type Quantity uint8

const (
	PH        Quantity = iota // a pH as the meter computed it with its own calibration
	Millivolt                 // the potential of the electrode in mV, not yet a pH
)

// Flags are the words that a meter adds to a number about itself.
type Flags uint16

const (
	Stable     Flags = 1 << iota // says that the meter itself calls the reading final
	Unstable                     // says that the meter itself calls the reading not final
	OverRange                    // says that the meter shows no number because it is too high
	UnderRange                   // says that the meter shows no number because it is too low
	NoProbe                      // says that the meter reports no electrode
	TempByHand                   // says that the temperature was keyed into the meter, not measured
	// BadTemp says that the meter sent a temperature that cannot be one of a
	// solution, so that the reading has none.
	BadTemp
	// NoTemp says that a number which may be a temperature is not used as one:
	// it may be in °F, or it behaves as no temperature does.
	NoTemp
	Typed  // says that a person has read the value off a display and typed it
	Stands // says that the person has seen the display stand still at it
	// Unnamed says that the line has numbers which nobody has named; they are
	// not used.
	Unnamed
)

// Has reports whether all of the flags in want are set.
func (f Flags) Has(want Flags) bool { return f&want == want }

// Reading is one value that a meter sent.
type Reading struct {
	At       time.Time // when its last byte was received
	Quantity Quantity
	Value    float64 // pH, or mV; NaN when a flag says that there is no number
	Decimals int     // digits sent after the decimal mark: the resolution is 10^-Decimals
	TempC    float64 // °C; meaningful only when HasTemp, or as what was sent when NoTemp is set
	HasTemp  bool    // the meter sent a temperature with the value
	MV       float64 // mV sent beside a pH; meaningful only when HasMV
	HasMV    bool    // the meter sent both; Quantity is PH then
	Flags    Flags
	Channel  string // of the meter, as sent: "1"; empty when the line names none
	Raw      string // the line as received, without its terminator and its parity bits
}

// Usable reports whether the reading holds a finite number without a range flag.
// It says nothing about whether the number is believable.
func (r Reading) Usable() bool {
	return !math.IsNaN(r.Value) && !math.IsInf(r.Value, 0) && r.Flags&(OverRange|UnderRange|NoProbe) == 0
}

// Resolution is the step of the last digit sent, in the unit of the reading.
func (r Reading) Resolution() float64 { return math.Pow10(-r.Decimals) }

// Link is the state of the line between program and meter.
type Link uint8

const (
	Closed  Link = iota // nothing has been opened yet, or the source has ended
	Opening             // trying to open the line
	Live                // readings arrive
	Quiet               // the line is open and nothing readable has come for a while
	Lost                // the line went away; the source keeps trying to get it back
)

var linkNames = [...]string{"closed", "opening", "live", "quiet", "lost"}

// String is the lower-case name of the state.
func (l Link) String() string {
	if int(l) < len(linkNames) {
		return linkNames[l]
	}
	return "unknown"
}

// ReportKind tells the kinds of Report apart.
type ReportKind uint8

const (
	GotReading ReportKind = iota // carries a Reading
	GotBadLine                   // carries, in Text, a line that could not be read as a reading
	GotLink                      // carries a change of the Link and, in Text, the words for a person
)

// Report is one thing that a Source has to say.
type Report struct {
	Kind    ReportKind
	At      time.Time
	Reading Reading // for GotReading
	Link    Link    // for GotLink
	Text    string  // bad line as received, or what happened and what to try
	Err     error   // for GotBadLine why it is no reading, for a lost link the cause; may be nil
}

// Source is anything that readings come from.
type Source interface {
	// Run sends reports in the order in which they happened until ctx ends,
	// then returns ctx's error; it returns another error only when it can
	// never go on. A line that is lost is reported, not returned: Run tries
	// to get it back by itself. Run blocks when nobody receives.
	Run(ctx context.Context, out chan<- Report) error
	// String names the source for people: a port name, "simulated bench".
	String() string
}

// Errors when a port is opened.
var (
	ErrNoPort     = errors.New("no such port")
	ErrBusy       = errors.New("port is in use by another program")
	ErrPermission = errors.New("no permission to open the port")
)

// Errors when bytes are read as a reading.
var (
	ErrNotReading = errors.New("not a reading")
	ErrImpossible = errors.New("a value that cannot be a pH")
)

// Words is a reading in words: "pH 7.021, 25.1 °C, stable".
func Words(r Reading) string {
	var parts []string
	switch {
	case !r.Usable():
		parts = append(parts, "no number")
	case r.Quantity == Millivolt:
		parts = append(parts, fmt.Sprintf("%.*f mV", r.Decimals, r.Value))
	default:
		parts = append(parts, fmt.Sprintf("pH %.*f", r.Decimals, r.Value))
	}
	if r.HasMV {
		parts = append(parts, fmt.Sprintf("%g mV", r.MV))
	}
	switch {
	case r.HasTemp:
		parts = append(parts, fmt.Sprintf("%g °C", r.TempC))
	case r.Flags.Has(NoTemp):
		parts = append(parts, fmt.Sprintf("%g °C not used yet", r.TempC))
	}
	if r.Channel != "" {
		parts = append(parts, "channel "+r.Channel)
	}
	for _, f := range []struct {
		flag  Flags
		words string
	}{
		{Stable, "stable"}, {Unstable, "unstable"}, {OverRange, "over range"},
		{UnderRange, "under range"}, {NoProbe, "no electrode"},
		{TempByHand, "temperature set by hand"}, {BadTemp, "an impossible temperature"},
		{Unnamed, "a number without a name is ignored"},
	} {
		if r.Flags.Has(f.flag) {
			parts = append(parts, f.words)
		}
	}
	return strings.Join(parts, ", ")
}
