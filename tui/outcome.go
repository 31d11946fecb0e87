package tui

import (
	"strconv"

	"example.org/halfdrop/meter/run/view"
)

// Left is the outcome of a run that was ended before its aim.
const Left = "ended before the aim"

// LeftUnread is that of one that was ended while the reading was not at rest.
const LeftUnread = Left + ", not read at rest"

// LeftOpen is that of one that looked for an amount, and ended before that was known.
const LeftOpen = "ended before the answer was known"

// outcome is what to write at the end of a run that is ended in this state. A
// value is named only when it was read at rest.
func outcome(v view.View) string {
	switch {
	case v.Found != nil && v.Inside():
		return "found: " + v.Found.Words()
	case v.Found != nil:
		return LeftOpen
	case v.Inside():
		return "in tolerance at " + strconv.FormatFloat(v.Read.PH, 'f', max(v.Decimals, 1), 64)
	case v.HasReading && !v.AtRest:
		return LeftUnread
	}
	return Left
}
