package serial

import "example.org/halfdrop/meter"

// event is what happens to a line.
type event uint8

const (
	opened  event = iota // the port is open
	refused              // an attempt to open it failed
	read                 // a reading came
	silence              // no reading for the quiet time
	broke                // the port went away
)

// step is the state of the link after an event. Every pair has an answer; those
// that cannot happen leave the state as it is.
func step(s meter.Link, e event) meter.Link {
	switch e {
	case opened:
		if s == meter.Closed || s == meter.Lost {
			return meter.Opening
		}
	case refused:
		if s == meter.Closed || s == meter.Opening {
			return meter.Lost
		}
	case read:
		if s == meter.Opening || s == meter.Quiet {
			return meter.Live
		}
	case silence:
		if s == meter.Opening || s == meter.Live {
			return meter.Quiet
		}
	case broke:
		if s != meter.Closed {
			return meter.Lost
		}
	}
	return s
}
