package calib

import (
	"errors"
	"fmt"
	"math"

	"example.org/halfdrop/chem"
)

// Errors of a fit.
var (
	ErrPoints = errors.New("two or more different standards are wanted")
	ErrValue  = errors.New("a point without a finite value")
)

// Fit is the line through the points.
type Fit struct {
	Slope    float64      // of the electrode, as a share of the Nernst slope: 1 is ideal
	Offset   float64      // mV at pH 7
	Temp     chem.Celsius // mean of the points
	Residual float64      // greatest distance of a point from the line, pH
}

// FitPoints draws the least-squares line of potential against the Nernst
// potential of the standards, each at its own temperature. With two points it
// goes through both.
func FitPoints(points []Point) (Fit, error) {
	var f Fit
	n := float64(len(points))
	sx, sy := 0.0, 0.0
	for _, p := range points {
		x, y := p.coordinates()
		if math.IsNaN(x+y) || math.IsInf(x+y, 0) {
			return f, fmt.Errorf("calib: standard %s: %w", p.Standard, ErrValue)
		}
		sx, sy = sx+x, sy+y
		f.Temp += chem.Celsius(p.TempC / n)
	}
	sxx, sxy := 0.0, 0.0
	for _, p := range points {
		x, y := p.coordinates()
		sxx += (x - sx/n) * (x - sx/n)
		sxy += (x - sx/n) * (y - sy/n)
	}
	// Standards closer than 0.3 pH (about 18 mV) say nothing about a slope.
	if len(points) < 2 || sxx < 150 {
		return Fit{}, fmt.Errorf("calib: %w", ErrPoints)
	}
	f.Slope = sxy / sxx
	f.Offset = sy/n - f.Slope*sx/n
	for _, p := range points {
		f.Residual = math.Max(f.Residual, math.Abs(f.missed(p)))
	}
	return f, nil
}

// coordinates are the potentials of an ideal electrode and of this one, mV.
func (p Point) coordinates() (x, y float64) {
	return IdealMV(p.PH, chem.Celsius(p.TempC)), p.potential()
}

// PH is the pH of a potential, mV, by the line.
func (f Fit) PH(mv float64, t chem.Celsius) float64 {
	return 7 - (mv-f.Offset)/(f.Slope*NernstSlope(t))
}

// missed is how far a point lies from the line, pH: mV over the Nernst slope,
// so that it is a number for an electrode without any slope as well.
func (f Fit) missed(p Point) float64 {
	x, y := p.coordinates()
	return (y - f.Offset - f.Slope*x) / NernstSlope(chem.Celsius(p.TempC))
}

// SlopePercent is the slope in % of that of an ideal electrode.
func (f Fit) SlopePercent() float64 { return 100 * f.Slope }

// between is the slope from one point to another, as a share of the ideal.
func between(a, b Point) float64 {
	xa, ya := a.coordinates()
	xb, yb := b.coordinates()
	return (yb - ya) / (xb - xa)
}
