package calib

import (
	"fmt"
	"strings"
	"time"

	"example.org/halfdrop/meter/calib/course"
)

// Joint is the joint fit.
func Joint(dips []course.Dip) (mv []float64, cov [][]float64) {
	e, _ := course.Joint(dips)
	for i := range dips {
		mv = append(mv, e.MV[i])
		cov = append(cov, e.Cov[i][:])
	}
	return mv, cov
}

// Weighed are the suspicions about some points, as ln of how much likelier each is than
// that all is right; of a meter that calibrates itself where the points hold no mV.
func Weighed(points []Point, earlier []Calibration, at time.Time) (out []string) {
	accounts, _ := Remembered(earlier, at)
	if points[0].MV == nil {
		accounts = Itself
	}
	list := inquire(points, accounts)
	for _, s := range list[1:] {
		what := string(s.code)
		for _, i := range s.who {
			what += " " + points[i].Standard
		}
		if s.code == CodeOther {
			what += ": " + strings.Fields(s.text[strings.Index(s.text, " held "):])[1]
		}
		out = append(out, fmt.Sprintf("%-34s%.2f", what, s.logW-list[0].logW))
	}
	return out
}
