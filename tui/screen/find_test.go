package screen_test

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/find"
	"example.org/halfdrop/meter/run/view"
	"example.org/halfdrop/tui/screen"
	"example.org/halfdrop/tui/widget"
)

// found is the sample with an answer in the place of an aim.
func found(t *testing.T) screen.State {
	t.Helper()
	st := named("add")
	v := st.View
	nan := math.NaN()
	v.Found = &view.Finding{Stock: "NaOH 0.1 M", Classic: find.Classic{Steepest: 25.02, Second: nan, Before: 25.2, After: nan}, Found: find.Found{What: find.Strength,
		Name: "NaOH 0.1 M", Value: 0.09753, SD: 0.00035, Goal: 0.002, Passed: true, Misfit: 0.8,
		Stations: []find.Station{{Volume: 0.025636, SD: 0.000092, PH: 8.63}},
		Causes:   []find.Spread{{Cause: find.OfCarbonate, SD: 0.003}, {Cause: find.OfPH, SD: 0.0016}}}}
	v.Advice = coach.Advice{Do: coach.Add, Reason: coach.Tells, Aim: 8.6, Tolerance: 0.5, Volume: 0.00005, After: 9.1, Low: 8.4, High: 9.6}
	st.View = v
	return st
}

func TestTheAnswerStandsOnEveryScreen(t *testing.T) {
	for _, size := range [][2]int{{60, 20}, {80, 24}, {120, 40}, {150, 48}} {
		text := screen.Coach(found(t), size[0], size[1])
		lines := strings.Split(text, "\n")
		require.Len(t, lines, size[1])
		for _, l := range lines {
			assert.LessOrEqual(t, widget.Width(l), size[0], l)
		}
		for _, want := range []string{"0.09753 ± 0.00035 mol/L", "0.36 %", "0.20 %", "25.636 ± 0.092 mL", "ADD"} {
			assert.Contains(t, text, want, size)
		}
		assert.NotContains(t, text, "aim", size)
		assert.NotContains(t, text, "NaN", size)
	}
}

func TestWhatIsLookedForIsSaid(t *testing.T) {
	v := found(t).View
	assert.Equal(t, "To find: the strength of NaOH 0.1 M, to 0.20 %", screen.Wanted(v))
	assert.Equal(t, "So far 0.09753 ± 0.00035 mol/L, 0.36 %; equivalence 25.636 ± 0.092 mL at pH 8.6", screen.Heading(v))
	v.Found.What = find.Amount
	assert.Contains(t, screen.Wanted(v), "how much NaOH 0.1 M")
	v.Found = nil
	assert.Contains(t, screen.Wanted(v), "Target pH")
	assert.Contains(t, screen.Heading(v), "Aim ")
}

// In an exercise the answer is the person's: nothing of it is on the screen, and the
// readings are drawn without a line that would tell where they lead.
func TestTheAnswerIsHidden(t *testing.T) {
	st := found(t)
	v := st.View
	v.Points = []view.Point{{Charge: 0, PH: 3.1}, {Charge: 0.001, PH: 4.4}, {Charge: 0.002, PH: 6.0}}
	st.View = v.Hushed("Find it.")
	for _, size := range [][2]int{{60, 20}, {80, 24}, {120, 40}} {
		text := screen.Coach(st, size[0], size[1])
		for _, secret := range []string{"0.0975", "25.6", "25.0", "known to", "limited", "NaN", "equivalence pH"} {
			assert.NotContains(t, text, secret, size)
		}
		assert.Contains(t, text, "answer 24.85 mL", size)
		if size[1] >= 24 {
			assert.Contains(t, text, "└", "the readings are drawn")
		}
	}
	assert.Contains(t, screen.Heading(st.View), "The answer is yours")
}

// What limits the answer is whole at every size: the largest cause with its number.
func TestWhatLimitsTheAnswerIsWhole(t *testing.T) {
	for _, cause := range []find.Cause{find.OfMeter, find.OfBurette, find.OfCarbonate, find.OfPH, find.OfStrength, find.OfPurity, find.OfReading} {
		for _, size := range [][2]int{{60, 20}, {80, 24}, {100, 30}, {120, 40}, {200, 60}} {
			st := found(t)
			st.View.Found.Causes = []find.Spread{{Cause: cause, SD: 0.00123}, {Cause: find.OfSize, SD: 0.001}}
			text := screen.Coach(st, size[0], size[1])
			assert.Contains(t, text, "0.12 %", "%v: %s at %v", cause, cause, size)
		}
	}
}
