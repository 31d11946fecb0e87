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
	at := time.Date(2026, 1, 10, 9, 0, 0, 0, time.UTC).AddDate(0, 0, 30*months)
	var points []calib.Point
	for _, name := range []string{"7.00", "4.01"} {
		s, _ := standards.Find(name, standards.Technical)
		p, _ := calib.NewPoint(s, 22)
		mv := slope / 100 * nernst.MV(p.PH, 22)
		p.MV, p.At = &mv, at
		points = append(points, p)
	}
	c, _ := calib.Judge(calib.About{Electrode: electrode, At: at}, points, nil)
	return c
}
