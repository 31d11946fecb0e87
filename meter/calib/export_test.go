package calib

import (
	"fmt"
	"math"
	"strings"
	"time"
)

// ReadStandards lets a test hand in a damaged table.
func ReadStandards(data []byte) error {
	_, err := readStandards(data)
	return err
}

// JointDip is a dip for a test.
type JointDip struct {
	T, Y []float64
	Gap  float64
}

// Joint is the joint fit.
func Joint(dips []JointDip) (mv []float64, cov [][]float64, fast, late, noise float64) {
	var list []approach
	for _, d := range dips {
		a := approach{gap: d.Gap, step: 0.1}
		for i := range d.T {
			a.bins = append(a.bins, bin{d.T[i], d.Y[i], 1})
		}
		list = append(list, a)
	}
	e, _ := joint(list)
	for i := range list {
		mv = append(mv, e.mv[i])
		cov = append(cov, e.cov[i][:])
	}
	return mv, cov, e.fast, e.late, e.sd
}

// Weighed are the suspicions about some points, as ln of how much likelier each is than
// that all is right; of a meter that calibrates itself where the points hold no mV.
func Weighed(points []Point, earlier []Calibration, at time.Time) (out []string) {
	accounts, _ := remembered(earlier, at)
	if points[0].MV == nil {
		accounts = itself
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

// Course is what is made of readings before they are fitted: the bins, and which of them
// is the first of the standard.
func Course(t, y []float64) (bt, by []float64, first int) {
	var list []sample
	for i := range t {
		list = append(list, sample{t[i], y[i]})
	}
	bins := binned(list)
	for _, b := range bins {
		bt, by = append(bt, b.t), append(by, b.y)
	}
	return bt, by, start(bins)
}

// Hiss is the noise from one reading to the next.
func Hiss(y []float64, step float64) float64 {
	a := approach{step: step}
	for i := range y {
		a.bins = append(a.bins, bin{float64(i), y[i], 1})
	}
	return a.hiss()
}

// Evidence is ln of the evidence of the likeliest account of where a course begins.
func Evidence(t, y []float64) float64 {
	var list []bin
	way := 0.0
	for i := range t {
		list = append(list, bin{t[i], y[i], 1})
		way = max(way, math.Abs(y[i]-y[len(y)-1]))
	}
	best := math.Inf(-1)
	for _, fast := range startFast {
		for _, late := range startLate {
			w, _ := startWith(list, fast, late, way+1)
			best = max(best, w)
		}
	}
	return best
}
