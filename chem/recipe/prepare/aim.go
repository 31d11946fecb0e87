package prepare

import (
	"math"

	"example.org/halfdrop/chem/solved"
)

// Aim is what the meter is to show at the bench, and why it is not the target.
type Aim struct {
	Target, Shown float64
	MadeUp        float64 // at the bench, after making up to the mark
	Temperature   float64 // part of Shown − Target
	Strength      float64 // part: it is made stronger than it is used
	Later         float64 // part: something goes in once the pH is set
	Dilution      float64 // the last part: it is still to be made up to the mark
	// One standard deviation of what strength and temperature do, the pH in use held: a
	// stock that reads Shown is off by so much where it is used.
	StrengthSD, TemperatureSD float64
}

// aim splits the difference between the aim and the target into its reasons.
func (x *Draft) aim(r Recipe) {
	d := &x.Demand
	x.Aim = Aim{Target: d.PH, Shown: x.Forecast.Aim, MadeUp: d.PH, Later: x.Aim.Later}
	inUse := d.PH
	if m, err := solved.Describe(r.Solution.At(d.Bench)); err == nil {
		inUse = m.PH
	}
	if m, err := solved.Describe(d.AsStock(r.Solution).At(d.Bench)); err == nil {
		x.Aim.MadeUp = m.PH
		if d.Times > 1 { // what is off in both, as a pK, is not off between them
			x.Aim.StrengthSD = math.Sqrt(math.Max(0, m.Spread*m.Spread-r.Result.Spread*r.Result.Spread))
		}
	}
	x.Aim.TemperatureSD = r.Result.Doubts.PerDegree * math.Abs(float64(d.Bench-d.Use))
	x.Aim.Temperature = inUse - x.Aim.Target
	x.Aim.Strength = x.Aim.MadeUp - inUse
	x.Aim.Dilution = x.Aim.Shown - x.Aim.MadeUp - x.Aim.Later
}

// Diluted is what the meter shows of a stock that was diluted, at the bench.
func (a Aim) Diluted() float64 { return a.Target + a.Temperature }
