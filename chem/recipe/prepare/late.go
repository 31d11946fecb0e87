package prepare

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/recipe/buffer"
	"example.org/halfdrop/chem/solved"
	"example.org/halfdrop/chem/table"
)

// sort tells apart what waits, and reports whether anything does.
func (x *Draft) sort() (some bool) {
	for i, m := range x.Measures {
		x.Measures[i].Late = x.waits(m)
		some = some || x.Measures[i].Late
	}
	o := x.Other
	if o == nil {
		return some
	}
	for i, m := range o.Measures {
		o.Measures[i].Late = x.waits(m)
	}
	if list := early(o.Measures); len(list) < len(o.Measures) {
		if r, err := solved.Describe(contentOf(list).At(x.Demand.Use).MadeUpTo(x.Demand.InUse())); err == nil {
			o.Start = r.PH
		}
	}
	return some
}

// waits reports whether a measure waits until the pH is set: what the table says so of, what air
// takes away and leaves the pH as it is, and what would leave as a poisonous gas on the way there.
// What does so at the target itself has its share in the pH, whenever it goes in.
func (x *Draft) waits(m Measure) bool {
	if gas, _ := x.gas(m, x.Demand.PH); gas {
		return false
	}
	onTheWay, _ := x.gas(m, x.lowest())
	fresh := m.Reagent.Fresh != "" && x.Demand.CanWait(m.Reagent, m.Amount, x.InUse.Capacity)
	return m.Reagent.Late != "" || (onTheWay || fresh) && !x.isBuffer(m)
}

// isBuffer reports whether a measure is of the buffer itself, which what is to wait waits for.
func (x *Draft) isBuffer(m Measure) bool {
	return slices.ContainsFunc(m.Reagent.Parts, func(p table.Part) bool { return p.System == x.Buffer.System })
}

// lowest is the lowest pH that the beaker has on the way to the target, made in either of the
// ways that are offered.
func (x *Draft) lowest() float64 {
	ph := x.Demand.PH
	if x.Way == buffer.ByTitrant {
		ph = math.Min(ph, x.Forecast.Start)
	}
	if o := x.Other; o != nil && o.Way == buffer.ByTitrant {
		ph = math.Min(ph, o.Start)
	}
	return ph
}

// gas reports whether so much of a measure is a poisonous gas at a pH that it is said, and
// says how much of what.
func (x *Draft) gas(m Measure, ph float64) (is bool, words string) {
	share, gas := buffer.Gas(m.Reagent, ph, x.Demand.Use)
	return share >= buffer.GasShare, fmt.Sprintf("at pH %.1f, %s %% of it is %s", ph, chem.Digits(100*share, 2), gas)
}

// lateStep is the step of a measure that waits, with the reason.
func (x *Draft) lateStep(m Measure) Step {
	s := m.step(true)
	why := cmp.Or(m.Reagent.Late, m.Reagent.Fresh)
	if why == "" {
		_, gas := x.gas(m, x.lowest())
		why = "before, " + gas
	}
	s.Details = append([]string{"Not earlier: " + why + "."}, s.Details...)
	return s
}

// earlyStep is the step of a measure that does not wait: with a warning, where it gives off
// a poisonous gas at once.
func (x *Draft) earlyStep(m Measure) Step {
	s := m.step(false)
	if is, _ := x.gas(m, x.Demand.PH); is {
		low := x.Demand.PH
		if x.Way == buffer.ByTitrant {
			low = math.Min(low, x.Forecast.Start)
		}
		_, gas := x.gas(m, low)
		s.Cautions = append(s.Cautions, "In the fume cupboard from this step on: "+gas+". The safety data sheet and the rules of your laboratory come first.")
	}
	return s
}
