package view

import (
	"fmt"
	"math"

	"example.org/halfdrop/meter/probe"
)

// handsOffWords say why the reading is left alone.
func (v View) handsOffWords() string {
	a, e := v.Advice, v.Settling
	switch {
	case v.outside():
		return v.atTheEdge(v.ph(e.End), v.spread(e.SD)) + "; a better reading decides"
	case e.SD > a.Tolerance:
		what := "what was given"
		if len(v.Entries) == 0 {
			what = "the reading"
		}
		return fmt.Sprintf("%s should end within the tolerance of %s; it counts once read at rest", what, v.ph(a.Aim))
	}
	return fmt.Sprintf("%s ± %s is within the tolerance of %s; it counts once read at rest", v.ph(e.End), v.spread(e.SD), v.ph(a.Aim))
}

// outside reports whether the reading is thought to end outside the tolerance.
func (v View) outside() bool {
	return math.Abs(v.Settling.End-v.Advice.Aim) > v.Advice.Tolerance+outsideLeast
}

// outsideLeast is what a difference of two pH is off by in the last digits of a number.
const outsideLeast = 1e-9

// atTheEdge names an end outside the tolerance, give or take, and what it is at the edge of.
func (v View) atTheEdge(end, spread string) string {
	a := v.Advice
	return fmt.Sprintf("%s ± %s is at the edge of %s to %s", end, spread, v.ph(a.Aim-a.Tolerance), v.ph(a.Aim+a.Tolerance))
}

func (v View) settlingWords() string {
	e := v.Settling
	switch {
	case v.Leaving:
		return fmt.Sprintf("it is leaving %s; %s, or leave the electrode where it is", v.ph(v.Level), v.enterWhat())
	case e.State == probe.Empty:
		return "let it mix, and wait for the readings after the addition"
	case math.IsInf(e.SD, 0) || e.SD >= VagueSD:
		return "too early to say where the reading will end"
	}
	return fmt.Sprintf("%s %s ± %s%s", v.course(), v.end(), v.endSpread(), v.surer())
}

// course says how the reading goes to its end, in words before a number.
func (v View) course() string {
	if v.Settled() {
		return "it stands at about"
	}
	return "on its way to about"
}
