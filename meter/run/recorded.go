package run

import (
	"fmt"
	"math"

	"example.org/halfdrop/meter"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/phrase"
)

// lowest and highest pH that a reading may show to be believed.
const (
	lowestPH  = -1.0
	highestPH = 15.0
)

// Recorded is a reading as the journal keeps it, refused when it cannot be
// the pH of what is in the beaker.
func Recorded(r meter.Reading) *journal.Reading {
	out := &journal.Reading{Decimals: r.Decimals, Flags: flagNames(r.Flags),
		Typed: r.Flags.Has(meter.Typed), Stands: r.Flags.Has(meter.Typed | meter.Stands)}
	if r.HasTemp && !math.IsNaN(r.TempC) {
		t := r.TempC
		out.TempC = &t
	}
	switch {
	case !r.Usable():
		out.Refused = noNumber(r.Flags)
	case r.Flags.Has(meter.BadTemp):
		out.Refused = "the meter sends an impossible temperature, and computes its pH with it: " + tempRemedy
	case r.Quantity == meter.Millivolt:
		v := r.Value
		out.MV = &v
	default:
		v := r.Value
		out.PH = &v
		if r.HasMV && !math.IsNaN(r.MV) && !math.IsInf(r.MV, 0) {
			mv := r.MV
			out.MV = &mv
		}
	}
	Refuse(out)
	return out
}

// tempRemedy is what to try about a temperature that cannot be.
const tempRemedy = "check the plug of its temperature probe, or set the temperature by hand on the meter"

// onBench reports whether t, °C, can be the temperature of a beaker.
func onBench(t float64) bool { return t >= 0.5 && t <= 60 }

// noNumber says what a meter means that sends a flag for a number.
func noNumber(f meter.Flags) string {
	switch {
	case f.Has(meter.OverRange):
		return "the meter shows no number, it is over range: is the electrode in the beaker, and its plug home?"
	case f.Has(meter.UnderRange):
		return "the meter shows no number, it is under range: is the electrode in the beaker, and its plug home?"
	case f.Has(meter.NoProbe):
		return "the meter finds no electrode: check its plug"
	}
	return "the meter shows no number"
}

// Refuse marks a reading that cannot be the pH of what is in the beaker.
func Refuse(r *journal.Reading) {
	ph, ok := value(r, 25)
	switch {
	case r.Refused != "":
	case !ok:
		r.Refused = "a reading without a value"
	case r.TempC != nil && !onBench(*r.TempC):
		r.Refused = fmt.Sprintf("%g °C is not a plausible temperature for a beaker on a bench, and the meter computes its pH with it: %s", phrase.Rounded(*r.TempC, 1), tempRemedy)
	case !(ph >= lowestPH && ph <= highestPH):
		r.Refused = fmt.Sprintf("%g cannot be the pH of the beaker: check electrode and plug", phrase.Rounded(ph, 3))
	}
}

func flagNames(f meter.Flags) []string {
	var out []string
	for _, n := range []struct {
		flag meter.Flags
		name string
	}{
		{meter.Stable, "stable"}, {meter.Unstable, "unstable"}, {meter.OverRange, "over"},
		{meter.UnderRange, "under"}, {meter.NoProbe, "no probe"}, {meter.BadTemp, "bad temperature"},
	} {
		if f.Has(n.flag) {
			out = append(out, n.name)
		}
	}
	return out
}
