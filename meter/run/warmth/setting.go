package warmth

import (
	"fmt"
	"math"
	"slices"

	"example.org/halfdrop/chem"
)

// setting is what the temperatures of a meter look like: a meter without a temperature probe
// sends the one that is set on it, 25.0 °C as it comes from the maker, with every reading
// (common practice, no source).
type setting struct {
	first  float64 // °C
	since  float64 // s
	n      int     // readings with it
	varies bool    // they have not all been the same
}

// Figures of judgement for a temperature that nobody measured, a choice of this project.
const (
	setFor  = 20.0 // s without a change in any digit
	setSeen = 6    // readings that it takes at least
	setOff  = 1.5  // °C from the plan: less is said by nobody and moves Tris by 0.04
)

// settings are the temperatures, °C, that meters are set to when nobody has set another.
var settings = []float64{20, 25}

// takes is the setting with a temperature more.
func (w setting) takes(t, at float64) setting {
	if w.n == 0 {
		w.first, w.since = t, at
	}
	w.n++
	w.varies = w.varies || t != w.first
	return w
}

// is reports whether the temperature is one that nobody measured, with another in the plan.
func (w setting) is(now float64, plan chem.Celsius) bool {
	return !w.varies && w.n >= setSeen && now-w.since >= setFor &&
		slices.Contains(settings, w.first) && math.Abs(w.first-float64(plan)) >= setOff
}

// words say so.
func (w setting) words(used chem.Celsius) string {
	return fmt.Sprintf("the meter sends %.1f °C without a change, as one without a temperature probe does; %.1f °C is used: a number and C, such as %.1fC, says how warm the beaker is", w.first, float64(used), float64(used))
}
