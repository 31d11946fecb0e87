package past

import (
	"cmp"
	"errors"
	"fmt"
	"math"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/foreign"
	"example.org/halfdrop/meter/planfile"
	"example.org/halfdrop/meter/remedy"
)

// Figures of a log of which nobody says how it was made: what the sensors of open
// recordings were off (0.3 to 0.6 pH), a hand that reads a burette to half a division.
const (
	strangeShift     = 0.4  // pH
	strangeSlope     = 10.0 // %
	strangeBend      = 0.1  // pH
	strangeRead      = 0.05 // mL, at most: a five-hundredth of what was given where that is less,
	strangeShare     = 1.0 / 500
	strangeLeast     = 0.005 // mL, and at least
	StrangeTolerance = 0.05  // pH round an aim that was asked for
	StrangeMolar     = 0.5   // % by which the strength of the titrant may be off
	strangeHeld      = 0.02  // % that the readings may move it: a strange meter says nothing of it
	strangeGuess     = 200.0 // % by which the amount may be off
	strangeVessel    = 3.0   // times the volume given
)

// review is what can be said of a log, with the answer of a determination where one is
// asked for.
func (p *Asked) review(l *foreign.Log) (foreign.LogReview, error) {
	v := l.Review(p.Fit)
	if p.Said != nil && p.Said("aim") {
		v.Passed = l.Passes(chem.PH(p.Aim), p.Tolerance, v.Fit)
	}
	if p.Plan == "" && p.Of == "" {
		return v, nil
	}
	s, err := p.lookedFor(l)
	if err != nil {
		return v, err
	}
	f, err := l.Determine(s, p.Fit.Temp)
	if err != nil {
		return v, remedy.With(err, "is it the right substance, and the right titrant (--of, --titrant)? --volume and --volume-is say what the volumes are")
	}
	if p.Of != "" {
		foreign.Scaled(f, p.MolarSD/100)
	}
	v.Tell(f)
	return v, nil
}

// lookedFor is the plan of a determination that a log is one of.
func (p *Asked) lookedFor(l *foreign.Log) (*recipe.Setup, error) {
	if p.Plan != "" {
		plan, err := planfile.LoadFind(p.Plan)
		if err != nil {
			return nil, err
		}
		return recipe.Compile(plan)
	}
	sample, molar := cmp.Or(p.Fit.SampleML, l.Known.SampleML), cmp.Or(p.Fit.Molar, l.Known.Molar)
	at := l.Steepest()
	switch {
	case molar == 0 || sample == 0:
		return nil, remedy.Call(errors.New("--of needs to know the titrant"), "--molar is the strength of the titrant in mol/L, --sample-ml the volume before the first addition")
	case math.IsNaN(at):
		return nil, fmt.Errorf("--of: %w", foreign.ErrNoCurve)
	}
	titrant := p.Titrant
	if titrant == "" {
		titrant = "NaOH"
		if l.Rows[len(l.Rows)-1].PH < l.Rows[0].PH {
			titrant = "HCl"
		}
	}
	points := l.Points()
	last := points[len(points)-1].ML
	num := func(x float64) *float64 { return &x }
	plan := recipe.Plan{Name: p.Of + " in a log",
		Find: &recipe.Find{What: "amount", GuessPct: num(strangeGuess), SampleML: num(sample), MeterSD: num(strangeShift), SlopePct: num(strangeSlope),
			BendSD: num(strangeBend), ReadML: num(math.Max(strangeLeast, math.Min(strangeRead, strangeShare*last)))},
		Beaker:   recipe.Beaker{StartML: num(sample), FinalML: num(sample + strangeVessel*last)},
		Weighed:  []recipe.Weighed{{Reagent: p.Of, MMol: num(at * molar)}},
		Titrants: []recipe.Titrant{{Name: fmt.Sprintf("%s %g M", titrant, molar), Reagent: titrant, Molar: num(molar), By: "burette", MolarSDPct: num(strangeHeld)}}}
	temp, _ := l.Temperature(p.Fit.Temp)
	plan.Beaker.TempC = num(float64(temp))
	return recipe.Compile(plan)
}
