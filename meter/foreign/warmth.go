package foreign

import (
	"cmp"
	"fmt"
	"math"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/fit"
	"example.org/halfdrop/meter/phrase"
)

// How warm the sample was moves the alkaline branch of a curve: the ion product of water
// goes by 0.034 in pK a degree at 25 °C (pKw 14.167, 13.995 and 13.833 at 20, 25 and 30 °C,
// from memory of handbook tables). A log that says nothing of it was taken as 25.0 °C, and a
// sound meter in a laboratory of 18 °C was said to show 0.24 too high, with a pK as far off
// and a spread of 0.007.
const (
	usualTemp   chem.Celsius = 25
	usualTempSD chem.Celsius = 4 // of a laboratory that nobody has measured, a choice
)

// Temperature is how warm the sample was, and whether that is known: as o says it, in the
// rows, or in the lines above them.
func (l *Log) Temperature(said chem.Celsius) (t chem.Celsius, known bool) {
	t = cmp.Or(said, l.temp(), chem.Celsius(l.Known.TempC))
	return cmp.Or(t, usualTemp), t != 0
}

// temp is the mean of the temperatures in the rows, °C; 0 where there are none.
func (l *Log) temp() chem.Celsius {
	n, sum := 0, 0.0
	for _, r := range l.Rows {
		if !math.IsNaN(r.Temp) && r.Temp > 0 && r.Temp < 60 {
			n, sum = n+1, sum+r.Temp
		}
	}
	if n == 0 {
		return 0
	}
	return chem.Celsius(sum / float64(n))
}

// atSomeTemperature is the fit of a curve of which nobody says how warm it was: every spread
// holds what another temperature would have made of the figure.
func atSomeTemperature(points []fit.Point, o fit.Options) (*fit.Result, error) {
	f, err := fit.Curve(points, o)
	if err != nil {
		return nil, err
	}
	o.Temp += usualTempSD
	warm, err := fit.Curve(points, o)
	if err != nil || len(warm.Sites) != len(f.Sites) || len(warm.Ends) != len(f.Ends) {
		// another number of acids: what is known of water alone
		const perDegree = 0.034
		moved := perDegree * float64(usualTempSD)
		widen(&f.Shift, f.Shift.Value+moved)
		for i := range f.Sites {
			widen(&f.Sites[i].PK, f.Sites[i].PK.Value+moved)
		}
		return f, nil
	}
	widen(&f.Shift, warm.Shift.Value)
	widen(&f.Excess, warm.Excess.Value)
	if o.Molar == 0 {
		widen(&f.Molar, warm.Molar.Value)
	}
	for i := range f.Sites {
		widen(&f.Sites[i].PK, warm.Sites[i].PK.Value)
		widen(&f.Sites[i].MMol, warm.Sites[i].MMol.Value)
		widen(&f.Sites[i].ML, warm.Sites[i].ML.Value)
	}
	for i := range f.Ends {
		widen(&f.Ends[i], warm.Ends[i].Value)
	}
	return f, nil
}

// widen adds to a spread what the value would be a standard deviation away.
func widen(v *fit.Value, other float64) { v.SD = math.Hypot(v.SD, other-v.Value) }

// coldOrWarm says on what temperature the figures rest, where nobody gave one.
func coldOrWarm() string {
	return fmt.Sprintf("the temperature is not known: taken as %s ± %s °C, which is in the spreads (--temp-c says it, or a column)",
		phrase.Number(float64(usualTemp)), phrase.Number(float64(usualTempSD)))
}
