package calib

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/linalg"
	"example.org/halfdrop/meter/calib/nernst"
	"example.org/halfdrop/meter/calib/standards"
)

// Errors of a fit.
var (
	ErrPoints = errors.New("there must be two or more different standards")
	ErrValue  = errors.New("a point without a finite value")
)

// Fit is the line through the points.
type Fit struct {
	Slope    float64      // of the electrode, as a share of the Nernst slope: 1 is ideal
	Offset   float64      // mV at pH 7
	Temp     chem.Celsius // mean of the points
	Residual float64      // greatest distance of a point from the line, pH

	SlopeSD  float64 // standard deviation of Slope
	OffsetSD float64 // of Offset, mV
	Corr     float64 // correlation of the two

	residualSD float64 // of Residual, pH
}

// Spreads of what the points rest on beside the readings: a choice of this
// project on figures of the trade.
const (
	bottleSD   = 0.010 // pH: technical buffers say ±0.02 on the label (common practice, no source)
	primarySD  = 0.005 // pH: primary standards are made to ±0.01 (common practice, no source)
	alkalineSD = 0.020 // pH, above pH 9: they take up carbon dioxide (10.04 went to 9.89 in a day, seen)
	probeSD    = 0.3   // °C of a temperature probe (choice)
	handTempSD = 1.5   // °C of a temperature given by hand (choice)
)

// bottleSD is how well the pH of the liquid is known, as a standard deviation.
func (p Point) bottleSD() float64 {
	sd := bottleSD
	if p.Set == standards.Primary {
		sd = primarySD
	}
	if p.PH > 9 {
		sd = math.Max(sd, alkalineSD)
	}
	return sd
}

// tempSD is how well the temperature is known, °C.
func (p Point) tempSD() float64 {
	if p.TempByHand {
		return handTempSD
	}
	return probeSD
}

// readingCov is the covariance of the readings of two points, i not before j, mV².
func readingCov(points []Point, i, j int) float64 {
	p := points[i]
	switch {
	case j < len(p.Cov):
		return p.Cov[j]
	case i == j:
		sd := p.SD * nernst.Slope(chem.Celsius(p.TempC))
		return sd * sd
	}
	return 0
}

// covariance is that of the potentials against what the standards should give, mV².
func covariance(points []Point) [][]float64 {
	c := make([][]float64, len(points))
	for i, p := range points {
		c[i] = make([]float64, len(points))
		for j := range i {
			c[i][j] = readingCov(points, i, j)
			c[j][i] = c[i][j]
		}
		b := p.bottleSD() * nernst.Slope(chem.Celsius(p.TempC))
		c[i][i] = readingCov(points, i, i) + b*b
	}
	return c
}

// FitPoints draws the line of potential against the Nernst potential of the
// standards, each at its own temperature, that is likeliest with the spreads and
// covariances of readings and standards (generalised least squares: A. C. Aitken,
// Proc. R. Soc. Edinb. 55, 42, 1935, from memory). With two points it goes through
// both. When more points lie further from it than their spreads allow, the
// spreads are widened until they do (R. T. Birge, Phys. Rev. 40, 207, 1932, from
// memory).
func FitPoints(points []Point) (Fit, error) {
	l, err := newLeast(points)
	if err != nil {
		return Fit{}, err
	}
	return l.fit(), nil
}

// least are the least squares through some points.
type least struct {
	points       []Point
	x, y         []float64   // mV, of an ideal electrode and of this one
	c, w         [][]float64 // covariance of the potentials, mV², and its inverse
	a, b         []float64   // offset and slope are so much of each potential
	s11, s1x, sx float64     // sums over w of 1, x and x²
	det          float64
}

// newLeast prepares the least squares; the errors are those of FitPoints.
func newLeast(points []Point) (*least, error) {
	n := len(points)
	l := &least{points: points, x: make([]float64, n), y: make([]float64, n), a: make([]float64, n), b: make([]float64, n)}
	mean := 0.0
	for i, p := range points {
		l.x[i], l.y[i] = p.coordinates()
		if math.IsNaN(l.x[i]+l.y[i]) || math.IsInf(l.x[i]+l.y[i], 0) {
			return nil, fmt.Errorf("calib: standard %s: %w", p.Standard, ErrValue)
		}
		mean += l.x[i] / float64(n)
	}
	apart := 0.0
	for _, x := range l.x {
		apart += (x - mean) * (x - mean)
	}
	if n < 2 || apart < leastApart {
		return nil, fmt.Errorf("calib: %w", ErrPoints)
	}
	l.c = covariance(points)
	l.w, _ = inverse(l.c)
	for i := range n {
		for j := range n {
			l.s11 += l.w[i][j]
			l.s1x += l.w[i][j] * l.x[j]
			l.sx += l.w[i][j] * l.x[i] * l.x[j]
		}
	}
	l.det = l.s11*l.sx - l.s1x*l.s1x
	for i := range n {
		for j := range n {
			l.a[j] += l.w[i][j] * (l.sx - l.s1x*l.x[i]) / l.det
			l.b[j] += l.w[i][j] * (l.s11*l.x[i] - l.s1x) / l.det
		}
	}
	return l, nil
}

// leastApart is how far apart standards must be to tell a slope, mV²: two of them 0.3
// pH, 18 mV (choice).
const leastApart = 150.0

// fit is the line.
func (l *least) fit() (f Fit) {
	n, points, x, y, w := len(l.points), l.points, l.x, l.y, l.w
	for i, p := range points {
		f.Temp += chem.Celsius(p.TempC / float64(n))
		f.Offset += l.a[i] * y[i]
		f.Slope += l.b[i] * y[i]
	}
	varSlope, varOffset, cov := l.s11/l.det, l.sx/l.det, -l.s1x/l.det

	if n > 2 {
		off := make([]float64, n)
		for i := range off {
			off[i] = y[i] - f.Offset - f.Slope*x[i]
		}
		k := math.Max(1, linalg.Form(off, w, off)/float64(n-2))
		varSlope, varOffset, cov = k*varSlope, k*varOffset, k*cov
	}
	for i, p := range points {
		if d := math.Abs(f.missed(p)); d >= f.Residual {
			left := l.c[i][i] - (l.sx-2*l.s1x*x[i]+l.s11*x[i]*x[i])/l.det
			f.Residual, f.residualSD = d, math.Sqrt(math.Max(left, 0))/nernst.Slope(chem.Celsius(p.TempC))
		}
	}
	warm := f.Slope * meanTempSD(points) / f.Temp.Kelvin() // the slope is one of the ideal at that temperature
	f.SlopeSD, f.OffsetSD = math.Sqrt(varSlope+warm*warm), math.Sqrt(varOffset)
	f.Corr = cov / (f.SlopeSD * f.OffsetSD)
	return f
}

// meanTempSD is how well the temperature of the standards is known, °C: one
// probe, or one person, has measured them all.
func meanTempSD(points []Point) (sd float64) {
	for _, p := range points {
		sd += p.tempSD() / float64(len(points))
	}
	return sd
}

// inverse is that of a symmetric positive definite matrix, and the logarithm of its
// determinant. Own variances stand on every diagonal here.
func inverse(m [][]float64) (w [][]float64, lnDet float64) {
	n := len(m)
	l := slices.Concat(m...)
	linalg.Cholesky(l, n)
	for i := range n {
		row := make([]float64, n)
		row[i] = 1
		linalg.Forward(l, n, row)
		linalg.Backward(l, n, row)
		w, lnDet = append(w, row), lnDet+2*math.Log(l[i*n+i])
	}
	return w, lnDet
}

// coordinates are the potentials of an ideal electrode and of this one, mV.
func (p Point) coordinates() (x, y float64) {
	return nernst.MV(p.PH, chem.Celsius(p.TempC)), p.Potential()
}

// PH is the pH of a potential, mV, by the line.
func (f Fit) PH(mv float64, t chem.Celsius) float64 {
	return 7 - (mv-f.Offset)/(f.Slope*nernst.Slope(t))
}

// SpreadAt is the standard deviation of a pH by the line, as far as it is that of
// the line: infinite without a slope.
func (f Fit) SpreadAt(ph float64, t chem.Celsius) float64 {
	x := nernst.MV(ph, t)
	v := f.OffsetSD*f.OffsetSD + 2*x*f.Corr*f.OffsetSD*f.SlopeSD + x*x*f.SlopeSD*f.SlopeSD
	if !(f.Slope > 0) {
		return math.Inf(1)
	}
	return math.Sqrt(math.Max(v, 0)) / (f.Slope * nernst.Slope(t))
}

// missed is how far a point lies from the line, pH: mV over the Nernst slope,
// so that it is a number for an electrode without any slope as well.
func (f Fit) missed(p Point) float64 {
	x, y := p.coordinates()
	return (y - f.Offset - f.Slope*x) / nernst.Slope(chem.Celsius(p.TempC))
}

// SlopePercent is the slope in % of that of an ideal electrode.
func (f Fit) SlopePercent() float64 { return 100 * f.Slope }

// between is the slope from one point to another, as a share of the ideal.
func between(a, b Point) float64 {
	xa, ya := a.coordinates()
	xb, yb := b.coordinates()
	return (yb - ya) / (xb - xa)
}
