package calib

import (
	"math"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/linalg"
	"example.org/halfdrop/meter/calib/nernst"
)

// A check in use asks what has become of the electrode since it was calibrated. By
// how much the label of a bottle is off stands in the line as well as in the check
// when both are of that bottle, and is no shift; nor is it counted among the spreads
// then. What the readings in the standards were worth is counted both times.

// portionSD is by how much two portions of one bottle differ on one day, pH (choice):
// what carries over from a rinsed electrode.
const portionSD = 0.003

// ofOneBottle reports whether two points were read in portions of one bottle: of the
// same standard, unless it is known that the lots differ.
func ofOneBottle(a, b Point) bool {
	return a.Standard == b.Standard && a.Set == b.Set && (a.Lot == b.Lot || a.Lot == "" || b.Lot == "")
}

// labelSD is how well a label tells the pH of a full bottle; what goes on in an open
// one is in bottleSD.
func (p Point) labelSD() float64 { return math.Min(p.bottleSD(), bottleSD) }

// since is the covariance, pH², of what points read too high by a calibration, beyond
// what they did when it was made; nil stands for none, and for that of a meter which
// shows a pH by itself: then it is that of what they read.
func since(c *Calibration, points []Point) [][]float64 {
	d := covariance(points)
	slope := 1.0
	if c != nil && !c.Checks() && c.Usable() && points[0].MV != nil {
		if l, err := newLeast(c.Points); err == nil {
			slope = c.SlopePct / 100
			l.since(d, points)
		}
	}
	for i, p := range points {
		for j, q := range points {
			d[i][j] /= slope * slope * nernst.Slope(chem.Celsius(p.TempC)) * nernst.Slope(chem.Celsius(q.TempC))
		}
	}
	return d
}

// since makes the covariance of potentials in standards, mV², that of what they differ
// from the line by.
func (l *least) since(d [][]float64, points []Point) {
	n := len(l.points)
	hat := make([][]float64, len(points)) // the line at a point is so much of each of its own
	one := make([][]float64, len(points)) // covariance with each of those
	for i, p := range points {
		x, _ := p.coordinates()
		hat[i], one[i] = l.hat(x), make([]float64, n)
		for j, q := range l.points {
			if ofOneBottle(p, q) {
				one[i][j] = p.labelSD() * nernst.Slope(chem.Celsius(p.TempC)) * q.labelSD() * nernst.Slope(chem.Celsius(q.TempC))
				portion := portionSD * nernst.Slope(chem.Celsius(p.TempC))
				d[i][i] += portion * portion
			}
		}
	}
	for i := range points {
		for j := range points {
			d[i][j] += linalg.Form(hat[i], l.c, hat[j]) - linalg.Dot(one[i], hat[j]) - linalg.Dot(hat[i], one[j])
		}
	}
}

// hat is how much of each of its points the line is at a potential of an ideal electrode.
func (l *least) hat(x float64) []float64 {
	out := make([]float64, len(l.points))
	for i := range out {
		out[i] = l.a[i] + x*l.b[i]
	}
	return out
}

// besideLine is the standard deviation, pH, of what a standard that took no part in a line
// reads by it too high.
func besideLine(points []Point, check Point) float64 {
	l, err := newLeast(points)
	if err != nil {
		return math.Inf(1)
	}
	x, _ := check.coordinates()
	k := nernst.Slope(chem.Celsius(check.TempC))
	label := check.bottleSD() * k
	v := readingCov([]Point{check}, 0, 0) + label*label
	with := make([]float64, len(points)) // covariances of the readings
	if n := len(points); len(check.Cov) == n+1 {
		copy(with, check.Cov)
		v += check.Cov[n] - readingCov([]Point{check}, 0, 0)
	}
	hat := l.hat(x)
	v += linalg.Form(hat, l.c, hat) - 2*linalg.Dot(hat, with)
	return math.Sqrt(math.Max(v, 0)) / (math.Abs(l.fit().Slope) * k)
}

// spread is the standard deviation of a sum of so much of each, by their covariance.
func spread(cov [][]float64, of []float64) float64 {
	return math.Sqrt(math.Max(linalg.Form(of, cov, of), 0))
}

// readSD is what of such a sum is of the readings in the points, pH.
func readSD(points []Point, of []float64) float64 {
	cov := make([][]float64, len(points))
	for i, p := range points {
		cov[i] = make([]float64, len(points))
		for j, q := range points {
			cov[i][j] = readingCov(points, max(i, j), min(i, j)) / (nernst.Slope(chem.Celsius(p.TempC)) * nernst.Slope(chem.Celsius(q.TempC)))
		}
	}
	return spread(cov, of)
}
