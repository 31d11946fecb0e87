package tui

import (
	"strconv"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter/run"
)

// Left is the outcome of a run that was ended before its aim.
const Left = "left by the operator"

// Outcome is what to write at the end of a run that is ended in this state.
func Outcome(v run.View) string {
	if v.Advice.Do != coach.Stop {
		return Left
	}
	return "in tolerance at " + strconv.FormatFloat(v.PH, 'f', max(v.Decimals, 1), 64)
}
