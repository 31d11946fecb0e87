package view_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/find"
	"example.org/halfdrop/meter/probe"
	"example.org/halfdrop/meter/run/view"
)

// Drops are spoken of as drops while somebody would count them; from 41 on a volume is
// what is measured off. The figure is a choice of this project.
func TestManyDropsAreAVolume(t *testing.T) {
	const drop = 0.05 * chem.Millilitre
	for drops, want := range map[float64]string{
		0.5: "half a drop", 1: "1 drop", 21: "21 drops", 40: "40 drops", 41: "41 drops (2.05 mL)", 79: "79 drops (3.95 mL)",
	} {
		assert.Equal(t, want, view.Amount(drops, chem.Volume(drops)*drop))
	}
}

// A volume has three figures to 10 mL, to 100 mL, and above; on the scale of a burette
// none that was set is left out, and none is said twice from 100 mL on.
func TestDigitsOfAVolume(t *testing.T) {
	for ml, want := range map[float64]string{
		7.126: "7.13", 9.5: "9.50", 12.34: "12.3", 60.25: "60.2", 99.25: "99.2", 123.4: "123", 210.6: "211",
	} {
		assert.Equal(t, want, view.Millilitres(chem.Volume(ml)*chem.Millilitre), "%g mL", ml)
	}
	for ml, want := range map[float64]string{
		25: "25.00 mL", 60.5: "60.50 mL", 99: "99.00 mL", 1.275: "1.275 mL", 100: "100 mL", 150.5: "150.5 mL",
	} {
		assert.Equal(t, want, view.Amount(0, chem.Volume(ml)*chem.Millilitre), "set to %g mL", ml)
	}
}

// The end of a reading has the digits of the meter as long as its spread fills the third:
// from 0.0995, which would be written 0.10 or 0.100, there are two.
func TestDigitsOfAnEnd(t *testing.T) {
	for sd, want := range map[float64]int{0.004: 3, 0.06: 3, 0.099: 3, 0.0996: 2, 0.15: 2} {
		v := view.View{Decimals: 3, Settling: probe.Estimate{SD: sd}}
		assert.Equal(t, want, v.EndDigits(), "± %g", sd)
	}
}

// A spread that would be written 0.00 gets one more digit, and no other does.
func TestASpreadIsNeverNothing(t *testing.T) {
	for sd, want := range map[float64]string{0.0031: "± 0.003 ", 0.0049: "± 0.005 ", 0.0051: "± 0.01 ", 0.009: "± 0.01 "} {
		v := view.View{Decimals: 2, Settling: probe.Estimate{End: 7.4, SD: sd}}
		v.Advice = coach.Advice{Do: coach.Wait, Reason: coach.HandsOff, Aim: 7.4, Tolerance: 0.05}
		assert.Contains(t, v.Why(), want, "%g", sd)
	}
}

// A chance is said in per cent but at both ends, where nobody knows it that well.
func TestAChanceInWords(t *testing.T) {
	for p, want := range map[float64]string{
		0.003: "less than 1 %", 0.0099: "less than 1 %", 0.0101: "of 1 %", 0.5: "of 50 %", 0.985: "of 98 %", 0.988: "of 99 %", 0.992: "more than 99 %",
	} {
		v := view.View{Instead: &view.Instead{Drops: 1, Volume: 0.05 * chem.Millilitre, Titrant: "HCl 1 M", After: 7.31, Chance: p}}
		v.Advice = coach.Advice{Do: coach.Check, Reason: coach.DropTooBig, OneDrop: 0.1, Tolerance: 0.02}
		assert.Contains(t, v.Why(), want, "%g", p)
	}
}

// The time until a value is wanted is told by the second when it is near, and in steps of
// 5 s when nobody has to watch it.
func TestTimeIsToldInSteps(t *testing.T) {
	for in, want := range map[float64]float64{3.2: 4, 7.5: 8, 9.1: 10, 10.5: 15, 11: 15, 16.2: 20, 19: 20, 21: 25} {
		n := view.Next{In: in}
		assert.Equal(t, want, n.Told(), "%g s", in)
	}
}

// titrated is what was found of an invented bottle: 25 mL to its equivalence point.
func titrated() *view.Finding {
	nan := math.NaN()
	f := &view.Finding{Found: find.Found{What: find.Strength, Name: "NaOH, invented", Value: 0.1, SD: 0.0002, Goal: 0.001, Widened: 1,
		Stations: []find.Station{{Volume: 25 * chem.Millilitre}}, Causes: []find.Spread{{Cause: find.OfStrength, SD: 0.002}}}}
	f.Classic = find.Classic{Steepest: nan, Second: nan, Before: nan, After: nan}
	return f
}

// What scatters widens a spread; from 1.3 times on that is the first thing to be said.
func TestScatterIsNamed(t *testing.T) {
	for widened, named := range map[float64]bool{1: false, 1.2: false, 1.4: true, 2: true} {
		f := titrated()
		f.Widened = widened
		assert.Equal(t, named, len(f.Limit()) > 10 && f.Limit()[:10] == "scattering", "%g: %s", widened, f.Limit())
	}
}

// A repeat is advised where half as much again as was wanted is left of the spread.
func TestARepeatIsAdvised(t *testing.T) {
	for sd, advised := range map[float64]bool{0.00011: false, 0.00014: false, 0.00016: true, 0.0003: true} {
		f := titrated()
		f.SD = sd
		v := view.View{Found: f}
		v.Advice = coach.Advice{Do: coach.Stop, Reason: coach.AsGood}
		if advised {
			assert.Contains(t, v.Why(), "a repeat comes closer", "± %g", sd)
		} else {
			assert.NotContains(t, v.Why(), "a repeat comes closer", "± %g", sd)
		}
	}
}

// The classical answers are said to differ from 0.2 % on for the steepest point, and from
// 0.5 % on for Gran's lines, which are less exact by themselves.
func TestClassicalAnswersDiffer(t *testing.T) {
	set := map[string]func(*find.Classic, float64){
		"the steepest point": func(c *find.Classic, ml float64) { c.Steepest = ml },
		"Gran before":        func(c *find.Classic, ml float64) { c.Before = ml },
		"Gran after":         func(c *find.Classic, ml float64) { c.After = ml },
	}
	for _, tt := range []struct {
		what string
		off  float64 // per cent
		said bool
	}{
		{"the steepest point", 0.15, false}, {"the steepest point", 0.25, true},
		{"Gran before", 0.4, false}, {"Gran before", 0.6, true},
		{"Gran after", -0.4, false}, {"Gran after", -0.6, true},
	} {
		f := titrated()
		set[tt.what](&f.Classic, 25*(1+tt.off/100))
		if tt.said {
			assert.Contains(t, f.Differ(), tt.what, "%g %% off", tt.off)
		} else {
			assert.Equal(t, "they agree", f.Differ(), "%s, %g %% off", tt.what, tt.off)
		}
	}
}

// Large figures are written out: nobody at a plate reads 3e+02.
func TestNoExponentIsSaid(t *testing.T) {
	var v view.View
	v.Advice = coach.Advice{Do: coach.Check, Reason: coach.DropTooBig, OneDrop: 6, Tolerance: 0.02}
	assert.Contains(t, v.Why(), "300 times your tolerance")
	v.Advice = coach.Advice{Do: coach.Add, Reason: coach.Past, Salt: 0.142, Aim: 7, Tolerance: 0.02}
	assert.Contains(t, v.Why(), "leaves 140 mmol of salt")
}
