package calib

import (
	"fmt"
	"math"
	"time"

	"example.org/halfdrop/meter/phrase"
)

// How an electrode changes by itself from one calibration to the next, a choice of
// this project: a random walk, and a scatter that the spreads do not hold.
const (
	slopeWalk     = 0.0012 // a root day
	offsetWalk    = 0.4    // mV a root day
	slopeScatter  = 0.003
	offsetScatter = 0.8 // mV
	itChanged     = 0.10
)

// telling are the calibrations of a list that say something of the electrode: of its
// mV, and not bent by a mistake.
func telling(list []Calibration) []Calibration {
	return phrase.Only(list, func(c Calibration) bool { return !c.Checks() && c.Possible() && !hasCause(c.Findings) })
}

// Remembered are the accounts of an electrode that was calibrated before: it is as
// it was, as far as electrodes stay so, or something has happened to it.
func Remembered(earlier []Calibration, at time.Time) ([]Account, int) {
	list := telling(earlier)
	if len(list) == 0 {
		return Unseen, 0
	}
	var a Account
	var vs, vo float64
	var last time.Time
	for i, c := range list {
		f := c.fit()
		ss := f.SlopeSD*f.SlopeSD + slopeScatter*slopeScatter
		so := f.OffsetSD*f.OffsetSD + offsetScatter*offsetScatter
		if i == 0 {
			a.slope, a.offset, vs, vo, last = f.Slope, f.Offset, ss, so, c.At
			continue
		}
		days := math.Max(c.At.Sub(last).Hours()/24, 0)
		vs, vo, last = vs+slopeWalk*slopeWalk*days, vo+offsetWalk*offsetWalk*days, c.At
		a.slope += vs / (vs + ss) * (f.Slope - a.slope)
		a.offset += vo / (vo + so) * (f.Offset - a.offset)
		vs, vo = vs*ss/(vs+ss), vo*so/(vo+so)
	}
	days := math.Max(at.Sub(last).Hours()/24, 0)
	a.slopeSD = math.Sqrt(vs + slopeWalk*slopeWalk*days + slopeScatter*slopeScatter)
	a.offsetSD = math.Sqrt(vo + offsetWalk*offsetWalk*days + offsetScatter*offsetScatter)
	a.weight = 1 - itChanged
	out := []Account{a}
	for _, u := range Unseen {
		u.weight *= itChanged
		out = append(out, u)
	}
	return out, len(list)
}

// stepSDs is from how many spreads on a difference from the calibrations before is
// called a step (choice).
const stepSDs = 3.0

// judgeStep compares a line with what the same electrode was before.
func judgeStep(f Fit, earlier []Calibration, at time.Time) (out []Finding) {
	list, n := Remembered(earlier, at)
	if n == 0 {
		return nil
	}
	a := list[0]
	of := "the calibration before"
	if n > 1 {
		of = fmt.Sprintf("%d calibrations before", n)
	}
	ds, do := (f.Slope-a.slope)/math.Hypot(f.SlopeSD, a.slopeSD), (f.Offset-a.offset)/math.Hypot(f.OffsetSD, a.offsetSD)
	if math.Abs(ds) > stepSDs {
		out = append(out, Finding{Code: CodeStep, Level: Remark, Basis: basisStep,
			Text: fmt.Sprintf("slope %.1f %%, where %.1f ± %s %% was expected from %s: a step, not ageing; a wrong standard or a fault", f.SlopePercent(), 100*a.slope, ofTenths(100*math.Hypot(f.SlopeSD, a.slopeSD)), of)})
	}
	if math.Abs(do) > stepSDs {
		out = append(out, Finding{Code: CodeStep, Level: Remark, Basis: basisStep,
			Text: fmt.Sprintf("offset %+.1f mV, where %+.1f ± %s mV was expected from %s: a step, not ageing; a wrong standard or a fault", Tenth(f.Offset), Tenth(a.offset), ofTenths(math.Hypot(f.OffsetSD, a.offsetSD)), of)})
	}
	return out
}

// judgeAgeing sees a slow fall of the slope, or a slow change of the offset.
func judgeAgeing(c Calibration, earlier []Calibration) (out []Finding) {
	t, err := TrendOf(append(append([]Calibration(nil), earlier...), c))
	if err != nil {
		return nil
	}
	if t.Slope.Clear() && t.Slope.PerMonth < 0 {
		out = append(out, Finding{Code: CodeAgeing, Level: Note, Basis: basisStep, Text: "the electrode is ageing: " + t.slopeWords()})
	}
	return out
}
