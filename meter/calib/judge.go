package calib

import (
	"cmp"
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/meter/calib/nernst"
)

// Limits of a calibration. What each rests on stands in the Basis of its findings.
const (
	slopePass, slopeLow, slopeHigh = 95.0, 90.0, 105.0 // %
	slopeUsual                     = 102.0             // %, above which no sound electrode is found
	offsetPass, offsetStop         = 15.0, 30.0        // mV
	residualPass, residualStop     = 0.03, 0.10        // pH
	checkPass, checkStop           = 0.05, 0.10        // pH
	gapLow, gapHigh                = 2.0, 4.05         // pH between neighbouring standards: 2 and 4, and what warmth does to them
	warmPass, warmStop             = 2.0, 5.0          // °C
	slowTau                        = 20.0              // s
	wildNoise                      = 6.0               // mV
)

// limit is the level of a figure that should be small.
func limit(x, pass, stop float64) Level {
	switch x = math.Abs(x); {
	case x <= pass:
		return Pass
	case x <= stop:
		return Remark
	}
	return Stop
}

// ordered are the points by the pH of their standards.
func ordered(points []Point) []Point {
	return slices.SortedFunc(slices.Values(points), func(a, b Point) int { return cmp.Compare(a.PH, b.PH) })
}

// nearSDs is how many spreads from a limit a figure is called near it.
const nearSDs = 2.0

// near is the limit that lies within the spread of a figure.
func near(x, sd float64, limits ...float64) (float64, bool) {
	for _, l := range limits {
		if math.Abs(x-l) <= nearSDs*sd {
			return l, true
		}
	}
	return 0, false
}

func (f Fit) SlopeNear() bool {
	_, ok := near(f.SlopePercent(), 100*f.SlopeSD, slopeLow, slopePass, slopeHigh)
	return ok
}

func (f Fit) OffsetNear() bool {
	_, ok := near(math.Abs(f.Offset), f.OffsetSD, offsetPass, offsetStop)
	return ok
}

// nearWords say that the spread of a figure reaches over a limit.
func nearWords(limit string) string {
	return fmt.Sprintf("; it may as well lie on the other side of %s, which is within its spread", limit)
}

// judgeSlope judges the slope, with what to try unless the readings were explained by
// a mistake: then the electrode is not what is wrong.
func judgeSlope(f Fit, advise bool) Finding {
	out := Finding{Code: CodeSlope, Level: Pass, Basis: basisSlope}
	p, sd := f.SlopePercent(), 100*f.SlopeSD
	out.Text = fmt.Sprintf("slope %.1f ± %s %% of the ideal %.2f mV per pH at %.1f °C", p, ofTenths(sd), nernst.Slope(f.Temp), float64(f.Temp))
	switch {
	case p < slopeLow || p > slopeHigh:
		out.Level = Stop
		out.Text += ", outside 90–105 %"
		if !advise {
			break
		}
		if p < slopeLow {
			out.Text += ": clean and refill the electrode, let it soak, use fresh standards, calibrate again"
		} else {
			out.Text += ": no electrode is steeper than ideal; look for exchanged or stale standards and a wrong temperature"
		}
	case p < slopePass:
		out.Level = Remark
		out.Text += ", between 90 and 95 %"
		if advise {
			out.Text += ": refill, clean and soak the electrode"
		}
	}
	if l, ok := near(p, sd, slopeLow, slopePass, slopeHigh); ok {
		out.Text += nearWords(fmt.Sprintf("%g %%", l))
	}
	return out
}

// judgeOffset judges the offset in the same way.
func judgeOffset(f Fit, advise bool) Finding {
	out := Finding{Code: CodeOffset, Level: limit(f.Offset, offsetPass, offsetStop), Basis: basisOffset}
	out.Text = fmt.Sprintf("offset %+.1f ± %s mV at pH 7", Tenth(f.Offset), ofTenths(f.OffsetSD))
	tries := ""
	switch out.Level {
	case Remark:
		out.Text += ", more than ±15 mV"
		tries = ": check filling level, filling hole and junction"
	case Stop:
		out.Text += ", more than ±30 mV"
		tries = ": renew the filling, soak the electrode, or use another one"
	}
	if advise {
		out.Text += tries
	}
	if l, ok := near(math.Abs(f.Offset), f.OffsetSD, offsetPass, offsetStop); ok {
		out.Text += nearWords(fmt.Sprintf("±%g mV", l))
	}
	return out
}

func judgeResidual(f Fit) Finding {
	out := Finding{Code: CodeResidual, Level: limit(f.Residual, residualPass, residualStop), Basis: basisResidual,
		Text: fmt.Sprintf("residual %s pH from one line, where %s is expected", under(f.Residual), ofThousandths(f.residualSD))}
	if l, ok := near(f.Residual, f.residualSD, residualPass, residualStop); ok && out.Level != Pass {
		out.Text += nearWords(fmt.Sprintf("%.2f", l))
	}
	return out
}

// ofTenths and ofThousandths are a standard deviation beside a figure with one
// decimal, and beside a pH with three: never less than the last digit.
func ofTenths(sd float64) string      { return fmt.Sprintf("%.1f", math.Max(sd, 0.1)) }
func ofThousandths(sd float64) string { return fmt.Sprintf("%.3f", math.Max(sd, 0.001)) }

// under is a residual with three decimals, or that it is less than the last of them.
func under(x float64) string {
	if s := fmt.Sprintf("%.3f", x); s != "0.000" {
		return s
	}
	return "< 0.001"
}

// nearCheck says that the spread of what a standard is off by reaches over a limit.
func nearCheck(d, sd float64) string {
	if l, ok := near(math.Abs(d), sd, checkPass, checkStop); ok {
		return nearWords(fmt.Sprintf("%.2f", l))
	}
	return ""
}

// What follows from a display that is off: it is all there is to go by, or a run goes by the
// mV beside it and shows otherwise than the display.
const (
	byDisplay = ": calibrate the meter with its own keys, then check again"
	byMV      = "; a run goes by its mV, and so shows otherwise than the display"
)

// judgeShown judges what the meter shows by its own calibration, with what follows; that is
// empty where the readings were explained by a mistake.
func judgeShown(points []Point, follows string) []Finding {
	var out []Finding
	for _, p := range points {
		if p.Shown == nil {
			continue
		}
		d, sd := *p.Shown-p.PH, math.Hypot(p.SD, p.bottleSD())
		f := Finding{Code: CodeShown, Level: limit(d, checkPass, checkStop), Basis: basisShown,
			Text: fmt.Sprintf("in %s, pH %.2f at %.1f °C, the meter shows %.2f, off by %+.3f ± %s", p.Label(), p.PH, p.TempC, *p.Shown, d, ofThousandths(sd)) + nearCheck(d, sd)}
		if f.Level != Pass {
			f.Text += follows
		}
		out = append(out, f)
	}
	return out
}

func judgeSpan(points []Point) []Finding {
	var out []Finding
	list := ordered(points)
	for i := 1; i < len(list); i++ {
		a, b := list[i-1], list[i]
		gap := b.PH - a.PH
		f := Finding{Code: CodeSpan, Level: Remark, Basis: basisSpan}
		switch {
		case gap <= gapLow:
			f.Text = fmt.Sprintf("%s and %s are only %.2f pH apart: the slope is known less well", a.Label(), b.Label(), gap)
		case gap > gapHigh:
			f.Text = fmt.Sprintf("%s and %s are %.2f pH apart: put one between them", a.Label(), b.Label(), gap)
		default:
			continue
		}
		out = append(out, f)
	}
	return out
}

func judgeTemps(points []Point) []Finding {
	low, high, byHand := math.Inf(1), math.Inf(-1), false
	for _, p := range points {
		low, high = min(low, p.TempC), max(high, p.TempC)
		byHand = byHand || p.TempByHand
	}
	var out []Finding
	if d := high - low; d > warmPass {
		out = append(out, Finding{Code: CodeSpread, Level: limit(d, warmPass, warmStop), Basis: basisWarm,
			Text: fmt.Sprintf("the standards were %.1f °C apart in temperature: let them come to bench temperature", d)})
	}
	if (low < usualLow || high > usualHigh) && !byHand {
		out = append(out, Finding{Code: CodeSpread, Level: Remark, Basis: basisUsual,
			Text: fmt.Sprintf("the meter says that the standards are at %.1f °C, where a bench is at %g to %g: put a thermometer in them; an error of 10 °C changes the slope by 3.4 %%", (low+high)/2, usualLow, usualHigh)})
	}
	if byHand {
		out = append(out, Finding{Code: CodeSpread, Level: Note, Basis: basisInside,
			Text: "the temperature was typed; an error of 10 °C makes 0.1 pH three pH units away from 7"})
	}
	return out
}

// judgeReadings judges how the points came about.
func judgeReadings(points []Point) []Finding {
	var out []Finding
	memory := map[string]bool{}
	var tails []string // where nothing but a late part was seen
	tail := 0.0
	for _, p := range points {
		if p.TauS > slowTau {
			out = append(out, Finding{Code: CodeSlow, Level: Remark, Basis: basisSlow,
				Text: fmt.Sprintf("in %s the electrode answered with a time constant of %.0f s: clean and soak it", p.Label(), p.TauS)})
		}
		if p.TailS > slowTau {
			tails, tail = append(tails, p.Label()), math.Max(tail, p.TailS)
		}
		if p.Noise > Scatters {
			f := Finding{Code: CodeNoise, Level: limit(p.Noise, Scatters, wildNoise), Basis: basisNoise,
				Text: fmt.Sprintf("in %s the readings scatter by %s pH; their mean allows for that, but look for bubbles, hard stirring or a loose plug", p.Label(), ofThousandths(p.Noise/nernst.Slope(chem.Celsius(p.TempC))))}
			if f.Level == Stop {
				f.Text = fmt.Sprintf("in %s the readings scatter by %s pH, which no sound electrode in the liquid does: a bubble at the bulb, a loose plug, a broken lead, or the junction above the surface", p.Label(), ofThousandths(p.Noise/nernst.Slope(chem.Celsius(p.TempC))))
			}
			out = append(out, f)
		}
		if p.ByHand {
			out = append(out, Finding{Code: CodeByHand, Level: Remark, Basis: basisHand,
				Text: fmt.Sprintf("in %s the value was accepted by hand before it had settled where it was expected", p.Label())})
		}
		if p.Typed {
			out = append(out, Finding{Code: CodeTyped, Level: Note, Basis: basisTyped,
				Text: fmt.Sprintf("in %s the value was read off and typed: it counts as known to ± %.2f pH", p.Label(), p.SD)})
		}
		if Expired(p.Expiry, p.At) {
			out = append(out, Finding{Code: CodeExpired, Level: Remark, Basis: basisExpiry,
				Text: fmt.Sprintf("the bottle of %s expired on %s", p.Label(), p.Expiry)})
		}
		if s, err := Exact(p); err == nil && s.Values[0].By == "memory" {
			memory[p.Label()] = true
		}
	}
	if len(tails) > 0 {
		out = append(out, Finding{Code: CodeSlow, Level: Note, Basis: basisTail,
			Text: fmt.Sprintf("in %s only the last part of the way was seen, with a time constant of %.0f s: a late part, which the value allows for, or a slow electrode that had been in for long; confirm as soon as it is in, and the two can be told apart", strings.Join(tails, ", "), tail)})
	}
	if len(memory) > 0 {
		out = append(out, Finding{Code: CodeMemory, Level: Note, Basis: basisMemory,
			Text: "compare the pH of " + strings.Join(slices.Sorted(maps.Keys(memory)), ", ") + " with the table on the bottle"})
	}
	return out
}

// judgeCheck judges a standard that took no part in the line, by what it reads and how
// well that is known.
func judgeCheck(check Point, got, sd float64, points []Point) []Finding {
	d := got - check.PH
	f := Finding{Code: CodeCheck, Level: limit(d, checkPass, checkStop), Basis: basisCheck,
		Text: fmt.Sprintf("check standard %s, pH %.2f at %.1f °C, reads %.2f, off by %+.3f ± %s", check.Label(), check.PH, check.TempC, got, d, ofThousandths(sd)) + nearCheck(d, sd)}
	if f.Level == Stop {
		f.Text += ": calibrate again with fresh standards"
	}
	out := []Finding{f}
	list := ordered(points)
	if check.PH < list[0].PH || check.PH > list[len(list)-1].PH {
		out = append(out, Finding{Code: CodeCheck, Level: Remark, Basis: basisBetween,
			Text: fmt.Sprintf("the check standard %s does not lie between the others", check.Label())})
	}
	return out
}

// Scatters is the noise of a reading, mV, that is worth a word: 0.03 pH.
const Scatters = 1.8
