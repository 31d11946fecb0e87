// Package calibtest has calibrations for the tests of other rooms.
package calibtest

import (
	"time"

	"example.org/halfdrop/meter/calib"
	"example.org/halfdrop/meter/calib/nernst"
	"example.org/halfdrop/meter/calib/standards"
)

// Aged is a calibration in 7.00 and 4.01 at 22 °C of an electrode some months of thirty
// days after 10 January 2026, with a slope in % of the ideal one.
func Aged(electrode string, months int, slope float64) calib.Calibration {
	return Made(electrode, 30*months, Glass{SlopePct: slope})
}

// Glass is how an electrode is: its slope in % of the ideal one, offset in mV and time
// constant in s.
type Glass struct{ SlopePct, OffsetMV, TauS float64 }

// Made is a calibration as Aged has it, some days after 10 January 2026.
func Made(electrode string, days int, g Glass) calib.Calibration {
	at := time.Date(2026, 1, 10, 9, 0, 0, 0, time.UTC).AddDate(0, 0, days)
	var points []calib.Point
	for _, name := range []string{"7.00", "4.01"} {
		s, _ := standards.Find(name, standards.Technical)
		p, _ := calib.NewPoint(s, 22)
		mv := g.OffsetMV + g.SlopePct/100*nernst.MV(p.PH, 22)
		p.MV, p.At, p.TauS = &mv, at, g.TauS
		points = append(points, p)
	}
	c, _ := calib.Judge(calib.About{Electrode: electrode, At: at}, points, nil)
	return c
}
