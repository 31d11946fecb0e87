// Package warmth is how warm a beaker is, as far as the meter sends it or a person says so,
// and what its temperature alone does to the readings; pure.
package warmth

import (
	"fmt"
	"math"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/meter/run/recorded"
)

// Thermometer is what is known of how warm the beaker is. It is a value.
type Thermometer struct {
	sent float64 // °C, without its noise; NaN when none was sent that anybody measured
	at   float64 // s, when one was sent last
	told bool    // a person has read it off a thermometer
	set  setting // what the meter sends, while it does not change
}

// Unread is a thermometer of which nothing is known.
func Unread() Thermometer { return Thermometer{sent: math.NaN()} }

// Figures of judgement about temperatures, a choice of this project.
const (
	tempGone  = 10.0 // s for which a meter that has sent one may send readings without
	newWeight = 0.2  // of the latest, beside those before it
)

// Came is what a temperature that the meter sends makes of those before it.
type Came int

// What becomes of one.
const (
	Passed Came = iota // it is not used: no beaker on a bench has it, or nobody measured it
	Unsaid             // those before it were not measured either
	First              // it is the first
	Later
)

// Take takes a temperature, °C, that was sent at a time, s, in a run whose plan has another.
// One that cannot be that of a beaker on a bench is not used, nor is one that nobody measured.
func (w *Thermometer) Take(at, t float64, plan chem.Celsius) Came {
	w.at = at
	if !recorded.OnBench(t) {
		return Passed
	}
	was := !math.IsNaN(w.sent)
	w.set = w.set.takes(t, at)
	switch set := w.set.is(at, plan); {
	case set && !was:
		return Passed
	case set:
		w.sent = math.NaN()
		return Unsaid
	case !was:
		w.sent = t
		return First
	}
	w.sent += newWeight * (t - w.sent)
	return Later
}

// Elsewhere notes that one was sent, at a time, s, which is not that of the beaker.
func (w *Thermometer) Elsewhere(at float64) { w.at = at }

// Tell notes that a person has read one off a thermometer.
func (w *Thermometer) Tell() { w.told = true }

// Sent is the temperature, °C, by what the meter sends; false when it sends none that counts.
func (w *Thermometer) Sent() (t float64, ok bool) { return w.sent, !math.IsNaN(w.sent) }

// Measured reports whether somebody measures the temperature, the latest reading being of a
// time, s.
func (w *Thermometer) Measured(read float64) bool {
	if math.IsNaN(w.sent) {
		return w.told
	}
	return !w.gone(read)
}

// gone reports whether the meter has stopped sending one.
func (w *Thermometer) gone(read float64) bool { return !math.IsNaN(w.sent) && read-w.at > tempGone }

// Words say what is to be known of the temperature at the latest reading, s: where the meter
// sends none any more, or one that nobody measured, instead of that of the plan, so that
// another is used. Empty where nothing is.
func (w *Thermometer) Words(read float64, plan, used chem.Celsius) string {
	switch {
	case w.gone(read):
		return fmt.Sprintf("no temperature of use comes from the meter now; %.1f °C is kept", w.sent)
	case w.set.is(read, plan) && !w.told:
		return w.set.words(used)
	}
	return ""
}
