// Package recorded turns readings of a meter into those of the journal and back, and says
// which cannot be the pH of what is in a beaker; pure.
package recorded

import (
	"fmt"
	"math"
	"strings"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/meter"
	"example.org/halfdrop/meter/calib/nernst"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/phrase"
)

// ByHand is the source of a run whose readings a person reads off and types.
const ByHand = "read off and typed"

// TypedFrom reports whether a source is one whose readings are typed; behind a comma
// stands whose display it is, when that is known.
func TypedFrom(source string) bool {
	return source == ByHand || strings.HasPrefix(source, ByHand+", ")
}

// lowest and highest pH that a reading may show to be believed.
const (
	lowestPH  = -1.0
	highestPH = 15.0
)

// Reading is a reading as the journal keeps it, refused when it cannot be
// the pH of what is in the beaker.
func Reading(r meter.Reading) *journal.Reading {
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

// OnBench reports whether t, °C, can be the temperature of a beaker.
func OnBench(t float64) bool { return t >= 0.5 && t <= 60 }

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
	ph, ok := PH(r, 25)
	switch {
	case r.Refused != "":
	case !ok:
		r.Refused = "a reading without a value"
	case r.TempC != nil && !OnBench(*r.TempC):
		r.Refused = fmt.Sprintf("%g °C is not a plausible temperature for a beaker on a bench, and the meter computes its pH with it: %s", phrase.Decimals(*r.TempC, 1), tempRemedy)
	case !(ph >= lowestPH && ph <= highestPH):
		r.Refused = fmt.Sprintf("%g cannot be the pH of the beaker: check electrode and plug", phrase.Decimals(ph, 3))
	}
}

// PH is the pH of a reading at tempC; mV alone become pH by the theoretical
// slope (59.16 mV at 25 °C, 0.1984 mV per K: USP <791>) and a zero at pH 7.
func PH(r *journal.Reading, tempC float64) (float64, bool) {
	if r.PH != nil {
		return *r.PH, true
	}
	if r.MV == nil {
		return 0, false
	}
	return nernst.PH(*r.MV, chem.Celsius(tempC)), true
}

// Sent is a reading as the meter sent it.
func Sent(r *journal.Reading) meter.Reading {
	out := meter.Reading{Decimals: r.Decimals}
	if r.Typed {
		out.Flags |= meter.Typed
	}
	if r.TempC != nil {
		out.HasTemp, out.TempC = true, *r.TempC
	}
	switch {
	case r.PH != nil:
		out.Quantity, out.Value = meter.PH, *r.PH
		if r.MV != nil {
			out.HasMV, out.MV = true, *r.MV
		}
	case r.MV != nil:
		out.Quantity, out.Value = meter.Millivolt, *r.MV
	}
	return out
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
